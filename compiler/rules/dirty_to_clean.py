"""Whether the dirtiest comes off first, and nothing dirty is carried to where it is clean."""

from __future__ import annotations

from collections.abc import Iterator

from compiler.analysis.state import Contamination, Where
from compiler.analysis.visits import Check as Look
from compiler.analysis.visits import Visit
from compiler.analysis.world import BODY_COVERS, BREATHING, EYES, FACE_COVERS, SLEEVED
from compiler.findings import Finding, Level, Rule
from compiler.model.clinic import Zone
from compiler.model.kit import Kind
from compiler.model.protocol import Begin, Go, Remove, Wear
from compiler.rules.evidence import (
    be,
    both,
    clean_first,
    found,
    hand_words,
    hands_dirtied,
    put_on,
    the,
)
from compiler.rules.sights import each, entering, named, without

FACE_LAST = (
    "nipcm-appendix-6",
    "wrha-ppe",
    "racgp-ipc-2023",
    "msf-2014",
    "cdc-covid-ppe-2020",
    "phe-agp-2020",
)

EYES_ON = Rule(
    "eye-protection-left-on",
    Level.MUST,
    "Eye protection is still worn when the mask or respirator comes off.",
    FACE_LAST,
)
GOWN_ON = Rule(
    "gown-left-on",
    Level.MUST,
    "A gown, coverall or apron is still worn when the mask or respirator comes off.",
    FACE_LAST,
)
APRON_ON = Rule(
    "apron-left-on",
    Level.MUST,
    "The apron is still worn when the gown or coverall comes off.",
    ("msf-2014", "cdc-ebola-ppe-2014", "who-filovirus-2016"),
)
HOOD_ON = Rule(
    "hood-left-on",
    Level.MAY,
    "A separate hood is still worn when the gown or coverall comes off.",
    ("who-filovirus-2016", "cdc-ebola-ppe-2014"),
)
RESPIRATOR_IN_ROOM = Rule(
    "respirator-off-in-room",
    Level.MUST,
    "The respirator comes off inside the contaminated area under airborne precautions.",
    ("nipcm-appendix-6", "racgp-ipc-2023", "phe-agp-2020"),
)
PPE_IN_CLEAN = Rule(
    "dirty-ppe-in-clean-area", Level.MUST, "A clean area is entered in contaminated PPE."
)
HANDS_IN_CLEAN = Rule(
    "dirty-hands-in-clean-area",
    Level.MUST,
    "A clean area is entered with contaminated bare hands.",
    ("wrha-ppe", "cdc-covid-ppe-2020"),
)
CLEAN_AFTER_DIRTY = Rule(
    "clean-item-after-dirty",
    Level.SHOULD,
    "A clean item is put on with hands that touched something less clean.",
    ("cdc-covid-ppe-2020",),
)

RULES = (
    EYES_ON,
    GOWN_ON,
    APRON_ON,
    HOOD_ON,
    RESPIRATOR_IN_ROOM,
    PPE_IN_CLEAN,
    HANDS_IN_CLEAN,
    CLEAN_AFTER_DIRTY,
)


def _removed_early(
    visit: Visit, rule: Rule, early: frozenset[Kind], later: frozenset[Kind]
) -> Iterator[Finding]:
    """Something of `later` comes off while something of `early` stays on."""
    phrase, world = visit.phrase, visit.world
    assert isinstance(phrase, Remove)
    joined = [world.item_index[name] for name in phrase.items]
    moved = [i for i in joined if world.kinds[i] in later and visit.before.worn(i)]
    left = [i for i in world.worn_of(visit.before, early) if i not in joined]
    if moved and left:
        name, above = the(visit, moved), the(visit, left)
        yield found(
            visit,
            rule,
            f"The {above} {be(above)} still worn when the {name} "
            f"{be(name, 'comes', 'come')} off.",
            *(put_on(visit, world.items[i].name) for i in left),
            label="comes off here",
            remedy=f"take the {above} off before the {name}",
        )


def eye_protection_left_on(visit: Visit) -> Iterator[Finding]:
    """Mask or respirator before eye protection; powered respirators are exempt."""
    yield from _removed_early(visit, EYES_ON, EYES, FACE_COVERS)


def gown_left_on(visit: Visit) -> Iterator[Finding]:
    """Mask or respirator before body protection; powered respirators are exempt."""
    yield from _removed_early(visit, GOWN_ON, BODY_COVERS, FACE_COVERS)


def apron_left_on(visit: Visit) -> Iterator[Finding]:
    """Gown or coverall before apron."""
    yield from _removed_early(visit, APRON_ON, frozenset({Kind.APRON}), SLEEVED)


def hood_left_on(visit: Visit) -> Iterator[Finding]:
    """Gown or coverall before hood."""
    yield from _removed_early(visit, HOOD_ON, frozenset({Kind.HOOD}), SLEEVED)


def respirator_off_in_room(visit: Visit) -> Iterator[Finding]:
    """The last breathing protection gone while the air is contaminated.

    A powered respirator may come off inside over a respirator that stays on. Source: Handbook
    of COVID-19 prevention and treatment, Zhejiang University School of Medicine 2020.
    """
    phrase, world = visit.phrase, visit.world
    assert isinstance(phrase, Remove)
    taken = [n for n in phrase.items if world.kinds[world.item_index[n]] in BREATHING]
    joined = {world.item_index[name] for name in phrase.items}
    left = [i for i in world.worn_of(visit.before, BREATHING) if i not in joined]
    airborne = "airborne" in world.protocol.precautions
    if taken and not left and airborne and world.zone(visit.before.area) is Zone.CONTAMINATED:
        name = both(tuple(taken))
        yield found(
            visit,
            RESPIRATOR_IN_ROOM,
            f"The {name} {be(name, 'comes', 'come')} off in the {visit.before.area}, where the "
            "air is contaminated.",
            label="comes off here",
            remedy="leave and close the door first",
        )


def dirty_ppe_in_clean_area(visit: Visit) -> Iterator[Finding]:
    """Contaminated items walk into a clean area."""
    if not _enters_clean(visit):
        return
    items = visit.before.items
    dirty = [
        i
        for i, item in enumerate(items)
        if item.where is Where.WORN and item.outside is Contamination.CONTAMINATED
    ]
    if dirty:
        name = the(visit, dirty)
        yield found(
            visit,
            PPE_IN_CLEAN,
            f"The {name} {be(name)} contaminated and still worn on entering the "
            f"{_area(visit)}.",
            *(put_on(visit, visit.world.items[i].name) for i in dirty),
            label="enters here",
            remedy=f"take the {name} off before entering",
        )


def dirty_hands_in_clean_area(visit: Visit) -> Iterator[Finding]:
    """Contaminated hands walk into a clean area."""
    world = visit.world
    if world.glove(visit.before) >= 0 or not _enters_clean(visit):
        return
    if visit.before.hands is Contamination.CONTAMINATED:
        yield found(
            visit,
            HANDS_IN_CLEAN,
            f"Hands are contaminated on entering the {_area(visit)}.",
            hands_dirtied(visit, Contamination.CONTAMINATED),
            label="enters here",
            remedy="add a hand hygiene step before entering",
        )


def _area(visit: Visit) -> str:
    assert isinstance(visit.phrase, Go | Begin)
    return visit.phrase.area


def _enters_clean(visit: Visit) -> bool:
    area = _area(visit)
    return area != visit.before.area and visit.world.zone(area) is Zone.CLEAN


def clean_item_after_dirty(visit: Visit) -> Iterator[Finding]:
    """Hands that may be contaminated put on a clean item."""
    world, phrase = visit.world, visit.phrase
    assert isinstance(phrase, Wear)
    item = visit.before.items[world.item_index[phrase.item]]
    if phrase.assistant or item.where is Where.WORN or not visit.before.cleaned:
        return
    fresh = item.where in {Where.READY, Where.DISCARDED, Where.SENT}
    kept_clean = item.where is Where.KEPT and item.outside is Contamination.CLEAN
    clean = fresh or kept_clean
    if clean and world.hand_level(visit.before) is Contamination.TOUCHED:
        yield found(
            visit,
            CLEAN_AFTER_DIRTY,
            f"The {phrase.item} {be(phrase.item)} clean, and {be(phrase.item)} put on with "
            f"{hand_words(visit)} that touched something less clean.",
            hands_dirtied(visit, Contamination.TOUCHED),
            label="put on here",
            remedy=clean_first(visit),
        )


CHECKS = (
    Look((Remove,), eye_protection_left_on, each(Where.WORN, EYES, FACE_COVERS)),
    Look((Remove,), gown_left_on, each(Where.WORN, BODY_COVERS, FACE_COVERS)),
    Look((Remove,), apron_left_on, each(Where.WORN, frozenset({Kind.APRON}), SLEEVED)),
    Look((Remove,), hood_left_on, each(Where.WORN, frozenset({Kind.HOOD}), SLEEVED)),
    Look((Remove,), respirator_off_in_room, without(BREATHING, BREATHING)),
    Look((Go, Begin), dirty_ppe_in_clean_area, entering(Zone.CLEAN, each(Where.WORN))),
    Look((Go, Begin), dirty_hands_in_clean_area, entering(Zone.CLEAN, named), hands=True),
    Look((Wear,), clean_item_after_dirty, named, hands=True),
)
