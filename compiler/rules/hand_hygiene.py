"""Whether hands are clean before they touch what has to stay clean, and when policy says so."""

from __future__ import annotations

from collections.abc import Iterator
from types import NoneType

from compiler.analysis.state import Contamination, Owed, Where
from compiler.analysis.visits import Check as Look
from compiler.analysis.visits import Visit
from compiler.analysis.world import CHANGED_INTO, FACE, FACE_COVERS, HAIR
from compiler.findings import Finding, Level, Rule
from compiler.model.clinic import Policy, Purpose, Zone
from compiler.model.protocol import Check, Hygiene, Keep, Remove, Touch, Wear
from compiler.rules.evidence import (
    be,
    both,
    clean_first,
    found,
    hand_words,
    hands_dirtied,
    last_removal,
)
from compiler.rules.sights import named

FIRST_MISSING = Rule(
    "first-hand-hygiene-missing",
    Level.MUST,
    "The first item is put on before hands have been cleaned.",
    ("nipcm-appendix-6", "wrha-ppe", "racgp-ipc-2023"),
    waivable=False,
)
SKIPPED = Rule(
    "hand-hygiene-skipped",
    Level.MUST,
    "Hands are not cleaned where the clinic's own policy asks for it.",
    ("wrha-ppe", "racgp-ipc-2023", "phe-agp-2020"),
)
LAST_MISSING = Rule(
    "last-hand-hygiene-missing",
    Level.MUST,
    "Hands are not cleaned after the last item has come off.",
    ("cdc-covid-ppe-2020", "nipcm-appendix-6", "wrha-ppe"),
    waivable=False,
)
TO_FACE = Rule(
    "dirty-hands-to-face",
    Level.MUST,
    "Contaminated hands or gloves reach the face or the hair.",
    ("cdc-ppe-sequence-2014",),
)
ON_CLEAN_ITEM = Rule(
    "dirty-hands-on-clean-item",
    Level.MUST,
    "Contaminated hands or gloves handle an item or a fixture that is clean.",
)
IN_STORE = Rule(
    "dirty-hands-in-store",
    Level.MUST,
    "Contaminated hands or gloves reach into a place where kept items hang or lie.",
)
RUB_AGAINST_SPORES = Rule(
    "rub-against-spores",
    Level.MUST,
    "Handrub is used where spores ask for soap and water.",
    ("who-hand-hygiene-2009",),
)
GLOVES_NOT_ALLOWED = Rule(
    "glove-hygiene-forbidden",
    Level.MUST,
    "Hand hygiene on gloves, which the clinic's policy forbids.",
)
MISSES_HANDS = Rule(
    "hygiene-misses-hands",
    Level.MUST,
    "Hand hygiene for bare hands while gloves are worn, or on gloves that are not worn.",
)

RULES = (
    FIRST_MISSING,
    SKIPPED,
    LAST_MISSING,
    TO_FACE,
    ON_CLEAN_ITEM,
    IN_STORE,
    RUB_AGAINST_SPORES,
    GLOVES_NOT_ALLOWED,
    MISSES_HANDS,
)


def first_hand_hygiene_missing(visit: Visit) -> Iterator[Finding]:
    """Nothing was cleaned before the first item."""
    assert isinstance(visit.phrase, Wear)
    index = visit.world.item_index[visit.phrase.item]
    if not visit.before.cleaned and visit.world.kinds[index] not in CHANGED_INTO:
        yield found(
            visit,
            FIRST_MISSING,
            f"The {visit.phrase.item} {be(visit.phrase.item)} the first to go on, and hands "
            "have not been cleaned.",
            label="the first item",
            remedy="add a hand hygiene step before it",
        )


def hand_hygiene_skipped(visit: Visit) -> Iterator[Finding]:
    """The policy wants hands cleaned between what came off last and this."""
    policy = visit.world.clinic.policy
    owed_at = {Policy.EVERY_ITEM: Owed.ITEM, Policy.AFTER_GLOVES: Owed.GLOVES}.get(policy)
    if owed_at is None or visit.before.owed < owed_at or _cannot_yet(visit):
        return
    phrase = visit.phrase
    assert isinstance(phrase, Remove | Wear)
    following = both(phrase.items) if isinstance(phrase, Remove) else phrase.item
    doing = "taking off" if isinstance(phrase, Remove) else "putting on"
    before, where = last_removal(visit)
    yield found(
        visit,
        SKIPPED,
        f"Hands are not cleaned between taking off the {before} and {doing} the {following}; "
        f'the policy is "{policy.value}".',
        where,
        label="the next item",
        remedy="add a hand hygiene step between the two",
    )


def _cannot_yet(visit: Visit) -> bool:
    """Gloves are still worn and may not be cleaned: bare hands come later."""
    return visit.world.glove(visit.before) >= 0 and not visit.world.clinic.hygiene_on_gloves


def last_hand_hygiene_missing(visit: Visit) -> Iterator[Finding]:
    """Something was handled after the last hand hygiene."""
    if not visit.last_part or not visit.before.handled:
        return
    before, where = last_removal(visit)
    after = f"the {before} {be(before, 'has', 'have')} come off"
    if where is None and not visit.before.owed:
        after = "something was handled that may be dirty"
    yield found(
        visit,
        LAST_MISSING,
        f"Hands are not cleaned at the end, after {after}.",
        where,
        label="the last step",
        remedy="end with a hand hygiene step",
    )


def dirty_hands_to_face(visit: Visit) -> Iterator[Finding]:
    """Contaminated hands put something on the face or head, or take it off."""
    world, phrase = visit.world, visit.phrase
    if isinstance(phrase, Remove):
        indices, assisted = [world.item_index[n] for n in phrase.items], phrase.assistant
    else:
        assert isinstance(phrase, Wear | Check)
        indices = [world.item_index[phrase.item]]
        assisted = isinstance(phrase, Wear) and phrase.assistant
    near = FACE_COVERS if isinstance(phrase, Check) else FACE | HAIR
    near_face = [i for i in indices if world.kinds[i] in near]
    if assisted or not near_face or world.hand_level(visit.before) < Contamination.CONTAMINATED:
        return
    name = both(tuple(world.items[i].name for i in near_face))
    region = "hair" if all(world.kinds[i] in HAIR for i in near_face) else "face"
    verb = {Wear: "puts on", Remove: "takes off", Check: "checks"}[type(phrase)]
    yield found(
        visit,
        TO_FACE,
        f"Contaminated {hand_words(visit)} reach the {region} when the wearer {verb} "
        f"the {name}.",
        hands_dirtied(visit, Contamination.CONTAMINATED),
        label=f"hands at the {region} here",
        remedy=clean_first(visit),
    )


def dirty_hands_on_clean_item(visit: Visit) -> Iterator[Finding]:
    """Contaminated hands put on a garment or touch a clean fixture."""
    world, phrase = visit.world, visit.phrase
    if world.hand_level(visit.before) < Contamination.CONTAMINATED:
        return
    if isinstance(phrase, Wear):
        index = world.item_index[phrase.item]
        item = visit.before.items[index]
        fresh = item.where in {Where.READY, Where.DISCARDED, Where.SENT}
        if world.kinds[index] in FACE | HAIR or phrase.assistant or item.where is Where.WORN:
            return
        if not fresh and item.outside is Contamination.CONTAMINATED:
            return
        name = phrase.item
    else:
        assert isinstance(phrase, Touch)
        place = world.clinic.places[phrase.place]
        spot = world.place_index[phrase.place]
        if world.zone(place.area) is Zone.CONTAMINATED or visit.before.places[spot]:
            return
        name = phrase.place
    yield found(
        visit,
        ON_CLEAN_ITEM,
        f"Contaminated {hand_words(visit)} handle the {name}, which {be(name)} clean.",
        hands_dirtied(visit, Contamination.CONTAMINATED),
        label="handled here",
        remedy=clean_first(visit),
    )


def dirty_hands_in_store(visit: Visit) -> Iterator[Finding]:
    """Contaminated hands at a hook or bag for kept items."""
    phrase = visit.phrase
    assert isinstance(phrase, Keep)
    place = visit.world.clinic.places.get(phrase.place)
    if not place or place.purpose is not Purpose.KEEPING:
        return
    if visit.world.hand_level(visit.before) is Contamination.CONTAMINATED:
        yield found(
            visit,
            IN_STORE,
            f"Contaminated {hand_words(visit)} reach the {place.name}, where kept items stay.",
            hands_dirtied(visit, Contamination.CONTAMINATED),
            label="kept here",
            remedy=clean_first(visit, "the item comes off"),
        )


def rub_against_spores(visit: Visit) -> Iterator[Finding]:
    """Handrub on hands that may carry spores."""
    assert isinstance(visit.phrase, Hygiene)
    if visit.phrase.wash or not visit.world.protocol.spores:
        return
    if visit.world.hand_level(visit.before) > Contamination.CLEAN:
        yield found(
            visit,
            RUB_AGAINST_SPORES,
            f"Handrub does not take spores off {hand_words(visit)}.",
            hands_dirtied(visit, Contamination.TOUCHED),
            label="handrub here",
            remedy=f'wash with soap and water: "handwash{_where(visit)}"',
        )


def _where(visit: Visit) -> str:
    return " on gloves" if visit.world.glove(visit.before) >= 0 else ""


def glove_hygiene_forbidden(visit: Visit) -> Iterator[Finding]:
    """Hygiene on gloves against the policy."""
    assert isinstance(visit.phrase, Hygiene)
    if visit.phrase.on_gloves and not visit.world.clinic.hygiene_on_gloves:
        yield found(
            visit,
            GLOVES_NOT_ALLOWED,
            "Gloves are cleaned here, and clinic.yaml forbids hand hygiene on gloves.",
            label="on gloves",
            remedy="take the gloves off and clean bare hands, or change the policy",
        )


def hygiene_misses_hands(visit: Visit) -> Iterator[Finding]:
    """Bare-hand hygiene in gloves, or glove hygiene without gloves."""
    assert isinstance(visit.phrase, Hygiene)
    glove = visit.world.glove(visit.before)
    if visit.phrase.on_gloves == (glove >= 0):
        return
    verb = "handwash" if visit.phrase.wash else "handrub"
    if glove >= 0:
        worn = visit.world.items[glove].name
        message = f"The {worn} are still worn, so bare hands are not reached."
        allowed = visit.world.clinic.hygiene_on_gloves
        also = f'write "{verb} on gloves", or ' if allowed else ""
        remedy = f"{also}take the gloves off first"
    else:
        message = "Gloves are to be cleaned, but none are worn on this way."
        remedy = f'write "{verb}" without "on gloves", or keep the gloves on until here'
    yield found(visit, MISSES_HANDS, message, label="cleaned here", remedy=remedy)


CHECKS = (
    Look((Wear,), first_hand_hygiene_missing, named),
    Look((Remove, Wear), hand_hygiene_skipped, named, hands=True),
    Look((NoneType,), last_hand_hygiene_missing, named),
    Look((Wear, Remove, Check), dirty_hands_to_face, named, hands=True),
    Look((Wear, Touch), dirty_hands_on_clean_item, named, hands=True),
    Look((Keep,), dirty_hands_in_store, named, hands=True),
    Look((Hygiene,), rub_against_spores, named, hands=True),
    Look((Hygiene,), glove_hygiene_forbidden, named),
    Look((Hygiene,), hygiene_misses_hands, named, hands=True),
)
