"""Whether what the precautions ask for is on, sealed and layered before it is needed."""

from __future__ import annotations

from collections.abc import Iterator
from types import NoneType

from compiler.analysis.explore import Visit
from compiler.analysis.world import FACE_COVERS, SLEEVED, World
from compiler.findings import Finding, Level, Rule
from compiler.model.clinic import Zone
from compiler.model.kit import Kind
from compiler.model.protocol import Activity, Begin, Go, Remove, Touch, Wear
from compiler.rules.evidence import Checks, be, found, last_removal, put_on, the

BARRIER_MISSING = Rule(
    "barrier-missing-at-entry",
    Level.MUST,
    "A contaminated area is entered without what the precautions ask for.",
    ("cdc-isolation-2007",),
)
UNSEALED = Rule(
    "seal-unchecked",
    Level.MUST,
    "A respirator is worn into the room, or taken off after use, without a seal check.",
    ("osha-1910-134", "cdc-covid-ppe-2020"),
)
CUFF_TRAPPED = Rule(
    "cuff-trapped",
    Level.MAY,
    "A sleeve is pulled off under gloves that lie over its cuff.",
)
UNDER_CUFF = Rule(
    "gloves-before-gown",
    Level.SHOULD,
    "The only gloves go on before the gown or coverall, so that no glove covers the cuff.",
    ("cdc-covid-ppe-2020", "nipcm-appendix-6", "wrha-ppe"),
)
WORK_BARE = Rule(
    "work-without-barrier",
    Level.MUST,
    "Something is handled in the contaminated area after a barrier has come off.",
    ("cdc-isolation-2007",),
)

RULES = (BARRIER_MISSING, UNSEALED, CUFF_TRAPPED, UNDER_CUFF, WORK_BARE)

GLOVES = "gloves"
BREATHING = frozenset({Kind.RESPIRATOR, Kind.POWERED_RESPIRATOR})
BARRIERS: dict[str, tuple[tuple[str, frozenset[Kind]], ...]] = {
    "contact": (
        (GLOVES, frozenset({Kind.GLOVES})),
        ("a gown, coverall or apron", SLEEVED | {Kind.APRON}),
    ),
    "droplet": (("a mask or respirator", FACE_COVERS | {Kind.POWERED_RESPIRATOR}),),
    "airborne": (("a respirator", BREATHING),),
}
"""What each kind of precautions asks for on entry: words, and the kinds that satisfy it.

Source: Guideline for Isolation Precautions, CDC 2007, tables from memory.
"""


def missing_barriers(world: World, worn: tuple[int, ...]) -> list[str]:
    """What the protocol's precautions ask for and nobody wears."""
    kinds = {world.kinds[i] for i in worn}
    asked = (b for p in world.protocol.precautions for b in BARRIERS.get(p, ()))
    wanting = dict.fromkeys(words for words, enough in asked if not kinds & enough)
    if "a respirator" in wanting:
        wanting.pop("a mask or respirator", None)
    return list(wanting)


def barrier_missing_at_entry(visit: Visit) -> Iterator[Finding]:
    """Goes in with something missing."""
    if visit.phrase is None:
        area, wanting = visit.before.area, _gloves_forgotten(visit)
    else:
        assert isinstance(visit.phrase, Go | Begin)
        area, wanting = visit.phrase.area, []
        if _goes_in(visit):
            wanting = missing_barriers(visit.world, visit.before.worn)
        if visit.phrase.at.start in visit.world.gloves_inside:
            wanting = [words for words in wanting if words != GLOVES]
    for words in wanting:
        precautions = ", ".join(visit.world.protocol.precautions)
        yield found(
            visit,
            BARRIER_MISSING,
            f"The {area} is entered without {words}; the precautions are {precautions}.",
            label="enters here",
            remedy=f"put on {words} before this on every way, or correct the precautions",
        )


def _gloves_forgotten(visit: Visit) -> list[str]:
    """Gloves that were to go on just inside, and are not on when putting on is over.

    Source: Infection prevention and control guidelines, chapter 3, Royal Australian College of
    General Practitioners 2023: gloves can go on when entering the patient area.
    """
    world, donning = visit.world, visit.part.begin.activity is Activity.DONNING
    if not donning or world.zone(visit.before.area) is not Zone.CONTAMINATED:
        return []
    return [words for words in missing_barriers(world, visit.before.worn) if words == GLOVES]


def _goes_in(visit: Visit) -> bool:
    assert isinstance(visit.phrase, Go | Begin)
    inside = visit.world.zone(visit.phrase.area) is Zone.CONTAMINATED
    return inside and visit.phrase.area != visit.before.area


def seal_unchecked(visit: Visit) -> Iterator[Finding]:
    """A respirator without a seal check since it was put on."""
    world, phrase = visit.world, visit.phrase
    if isinstance(phrase, Remove):
        # one that was worn inside has been told on the way in
        candidates = [] if visit.before.entered else [world.item_index[n] for n in phrase.items]
    else:
        candidates = list(visit.before.worn) if _goes_in(visit) else []
    for index in candidates:
        worn = index in visit.before.worn
        if not worn or world.kinds[index] is not Kind.RESPIRATOR:
            continue
        if visit.before.items[index].checked:
            continue
        name = world.items[index].name
        yield found(
            visit,
            UNSEALED,
            f"The {name} {be(name)} worn without a seal check.",
            label="needed before this",
            at=put_on(visit, name),
            remedy=f'add a step with "check {name}" after it is put on',
        )


def cuff_trapped(visit: Visit) -> Iterator[Finding]:
    """Gown or coverall comes off while gloves over its cuff stay on."""
    world, phrase = visit.world, visit.phrase
    assert isinstance(phrase, Remove)
    joined = [world.item_index[n] for n in phrase.items]
    for index in joined:
        if world.kinds[index] not in SLEEVED or index not in visit.before.worn:
            continue
        later = visit.before.worn[visit.before.worn.index(index) + 1 :]
        over = [
            i
            for i in later
            if i in world.gloves and i not in joined and world.items[i].layer != "inner"
        ]
        if over:
            name, gloves = world.items[index].name, the(visit, over)
            yield found(
                visit,
                CUFF_TRAPPED,
                f"The {gloves} lie over the cuffs of the {name}, which "
                f"{be(name, 'comes', 'come')} off first.",
                put_on(visit, world.items[over[0]].name),
                label="comes off here",
                remedy=f"take the {gloves} off first, or both together",
            )


def gloves_before_gown(visit: Visit) -> Iterator[Finding]:
    """A gown goes on over the only pair of gloves."""
    world, phrase = visit.world, visit.phrase
    assert isinstance(phrase, Wear)
    if world.kinds[world.item_index[phrase.item]] not in SLEEVED:
        return
    single = [i for i in visit.before.worn if i in world.gloves and not world.items[i].layer]
    if single:
        gloves = the(visit, single)
        yield found(
            visit,
            UNDER_CUFF,
            f"The {gloves} {be(gloves)} already on when the {phrase.item} "
            f"{be(phrase.item, 'goes', 'go')} on, so the cuff is left outside.",
            put_on(visit, world.items[single[0]].name),
            label="goes on here",
            remedy=f"put the {gloves} on last, over the cuffs",
        )


def work_without_barrier(visit: Visit) -> Iterator[Finding]:
    """Handles equipment in the contaminated area with something missing."""
    assert isinstance(visit.phrase, Touch)
    world = visit.world
    if world.zone(visit.before.area) is not Zone.CONTAMINATED or not visit.before.owed:
        return
    for words in missing_barriers(world, visit.before.worn):
        before, where = last_removal(visit)
        yield found(
            visit,
            WORK_BARE,
            f"The {visit.phrase.place} {be(visit.phrase.place)} handled in the "
            f"{visit.before.area} without {words}, after the {before} "
            f"{be(before, 'has', 'have')} come off.",
            where,
            label="handled here",
            remedy=f"do this before the {before} {be(before, 'comes', 'come')} off",
        )


CHECKS: Checks = (
    ((Go, Begin, NoneType), barrier_missing_at_entry),
    ((Go, Begin, Remove), seal_unchecked),
    ((Remove,), cuff_trapped),
    ((Wear,), gloves_before_gown),
    ((Touch,), work_without_barrier),
)
