"""Whether what the precautions ask for is on, sealed and layered before it is needed."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from types import NoneType

from compiler.analysis.state import Where
from compiler.analysis.visits import Check as Look
from compiler.analysis.visits import Visit
from compiler.analysis.world import BODY_COVERS, BREATHING, FACE_COVERS, SLEEVED
from compiler.findings import Finding, Level, Rule
from compiler.model.clinic import Zone
from compiler.model.kit import Kind
from compiler.model.protocol import Begin, Go, Remove, Touch, Wear
from compiler.rules.evidence import be, found, last_removal, put_on, the
from compiler.rules.sights import each, entering, named, without

BARRIER_MISSING = Rule(
    "barrier-missing-at-entry",
    Level.MUST,
    "A contaminated area is entered without what the precautions ask for.",
    ("cdc-isolation-2007",),
)
UNSEALED = Rule(
    "seal-unchecked",
    Level.MUST,
    "A respirator is worn into a contaminated area, or taken off unused, with no seal check.",
    ("osha-1910-134", "cdc-covid-ppe-2020"),
)
CUFF_TRAPPED = Rule(
    "cuff-trapped",
    Level.MAY,
    "A sleeve is pulled off under gloves that lie over its cuff.",
    ("okamoto-2019", "iss-covid-2020", "cdc-ppe-sequence-2014"),
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

GLOVES = frozenset({Kind.GLOVES})
RESPIRATORS = frozenset({Kind.RESPIRATOR})
BARRIERS: dict[str, tuple[tuple[str, frozenset[Kind]], ...]] = {
    "contact": (("gloves", GLOVES), ("a gown, coverall or apron", BODY_COVERS)),
    "droplet": (("a mask or respirator", FACE_COVERS | {Kind.POWERED_RESPIRATOR}),),
    "airborne": (("a respirator", BREATHING),),
}
"""What each kind of precautions asks for on entry: words, and the kinds that satisfy it.

Source: Guideline for Isolation Precautions, CDC 2007, tables from memory.
"""


@dataclass(frozen=True, slots=True)
class Barrier:
    """Looks whether one barrier is worn where the precautions ask for it."""

    precaution: str
    words: str
    kinds: frozenset[Kind]

    def missing(self, visit: Visit) -> bool:
        """Whether the protocol asks for it and nobody wears it."""
        asked = visit.world.protocol.precautions
        if self.precaution not in asked:
            return False
        # airborne precautions ask for a respirator, which is a droplet barrier too
        if self.precaution == "droplet" and "airborne" in asked:
            return False
        return not visit.world.worn_of(visit.before, self.kinds)

    def at_entry(self, visit: Visit) -> Iterator[Finding]:
        """Goes in without it; gloves that go on just inside are asked for once dressed."""
        if visit.phrase is None:
            if self.kinds is not GLOVES or not visit.before.gloves_due:
                return
            inside = visit.world.zone(visit.before.area) is Zone.CONTAMINATED
            area = visit.before.area if inside else "contaminated area"
        else:
            assert isinstance(visit.phrase, Go | Begin)
            area = visit.phrase.area
            follows = visit.phrase.at.start in visit.world.gloves_inside
            if not _goes_in(visit) or (self.kinds is GLOVES and follows):
                return
        if self.missing(visit):
            precautions = ", ".join(visit.world.protocol.precautions)
            yield found(
                visit,
                BARRIER_MISSING,
                f"The {area} is entered without {self.words}; the precautions are "
                f"{precautions}.",
                label="enters here",
                remedy=f"put on {self.words} before this on every way, or correct the "
                "precautions",
            )

    def at_work(self, visit: Visit) -> Iterator[Finding]:
        """Handles equipment in the contaminated area after it has come off."""
        assert isinstance(visit.phrase, Touch)
        inside = visit.world.zone(visit.before.area) is Zone.CONTAMINATED
        if not inside or not visit.before.owed or not self.missing(visit):
            return
        before, where = last_removal(visit)
        yield found(
            visit,
            WORK_BARE,
            f"The {visit.phrase.place} {be(visit.phrase.place)} handled in the "
            f"{visit.before.area} without {self.words}, after the {before} "
            f"{be(before, 'has', 'have')} come off.",
            where,
            label="handled here",
            remedy=f"do this before the {before} {be(before, 'comes', 'come')} off",
        )


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
        candidates = list(world.of_kinds(RESPIRATORS)) if _goes_in(visit) else []
    for index in candidates:
        item = visit.before.items[index]
        if item.where is not Where.WORN or item.checked:
            continue
        if world.kinds[index] is not Kind.RESPIRATOR:
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
        if world.kinds[index] not in SLEEVED or not visit.before.worn(index):
            continue
        over = [
            i
            for i in world.worn_of(visit.before, GLOVES)
            if i not in joined
            and world.items[i].layer != "inner"
            and world.later(visit.before, i, index)
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
    index = world.item_index[phrase.item]
    if world.kinds[index] not in SLEEVED or visit.before.worn(index):
        return
    single = [i for i in world.worn_of(visit.before, GLOVES) if not world.items[i].layer]
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


_BARRIERS = tuple(
    Barrier(precaution, *barrier)
    for precaution, barriers in BARRIERS.items()
    for barrier in barriers
)
CHECKS = (
    *(
        Look((Go, Begin, NoneType), b.at_entry, entering(Zone.CONTAMINATED, without(b.kinds)))
        for b in _BARRIERS
    ),
    *(Look((Touch,), b.at_work, without(b.kinds)) for b in _BARRIERS),
    Look(
        (Go, Begin),
        seal_unchecked,
        entering(Zone.CONTAMINATED, each(Where.WORN, RESPIRATORS)),
    ),
    Look((Remove,), seal_unchecked, named),
    Look((Remove,), cuff_trapped, each(Where.WORN, GLOVES, SLEEVED)),
    Look((Wear,), gloves_before_gown, each(Where.WORN, GLOVES, SLEEVED)),
)
