"""When each rule strikes: the table "When a rule strikes" of `compiler/README.md`, row by row.

Every rule looks at one event and the state before it.
"""

from __future__ import annotations

from collections.abc import Iterator

from compiler.model.clinic import Clinic, Purpose, Zone
from compiler.model.kit import AfterUse, Kind, Kit
from compiler.model.protocol import (
    Begin,
    Check,
    Discard,
    Disinfect,
    Go,
    Hygiene,
    Keep,
    Observed,
    Protocol,
    Remove,
    Send,
    Touch,
    Wear,
    every_step,
)
from tests.reference.effects import BODY, CLEAN, CONTAMINATED, TOUCHED, Text
from tests.reference.scene import GOWNS, MASKS, PartEnds, Scene, Strike


def strikes_at(
    event: object, state: dict, text: Text, protocol: Protocol, clinic: Clinic, kit: Kit
) -> Iterator[Strike]:
    """What strikes at an event, before it is done."""
    scene = Scene(state, text, protocol, clinic, kit)
    for rule in (*_rules(event, scene), *_places(event, scene)):
        if isinstance(rule, tuple):
            # A rule that points back gives an item, and which moment of it is meant.
            slug, item, moment = rule
            yield slug, state["items"][item][moment].order, item
        elif isinstance(event, PartEnds):
            for place in event.places:
                yield rule, place.order, f"end of part {event.number}"
        else:
            yield rule, event.at.order, ""


Told = Iterator[str | tuple[str, str, str]]


def _rules(event: object, scene: Scene) -> Told:
    match event:
        case Begin() | Go():
            yield from _arriving(event, scene)
        case Hygiene():
            yield from _hygiene(event, scene)
        case Wear():
            yield from _wear(event, scene)
        case Remove():
            yield from _remove(event, scene)
        case Discard() | Send():
            kept_by_kit = scene.kit.items[event.item].after_use is AfterUse.KEEP
            where = scene.where(event.item)
            if not (where in ("in the hand", "kept") or (kept_by_kit and where == "ready")):
                yield "handled-out-of-reach"
        case Keep():
            yield from _keep(event, scene)
        case Disinfect():
            yield from _disinfect(event, scene)
        case Check():
            mask = scene.kind(event.item) in MASKS
            where = scene.where(event.item)
            if (mask and where != "worn") or where in ("discarded", "sent"):
                yield "handled-out-of-reach"
            if mask and scene.hand == CONTAMINATED:
                yield "dirty-hands-to-face"
        case Touch():
            place = scene.clinic.places[event.place]
            clean = scene.state["places"][event.place] == CLEAN
            outside = scene.clinic.areas[place.area].zone is not Zone.CONTAMINATED
            if clean and outside and scene.hand == CONTAMINATED:
                yield "dirty-hands-on-clean-item"
            if scene.in_contaminated() and scene.state["owed"] and scene.barrier_missing():
                yield "work-without-barrier"
        case Observed():
            if not scene.clinic.observer:
                yield "helper-not-staffed"
        case PartEnds():
            yield from _part_ends(event, scene)


def _part_ends(event: PartEnds, scene: Scene) -> Told:
    yield from _left_in_hand(scene, "")
    if scene.state["way in"] and scene.gloves_missing():
        yield "barrier-missing-at-entry"
    if event.last:
        for name in scene.state["worn"]:
            if scene.kind(name) is not Kind.CLOTHING:
                yield "still-worn-at-end", name, "put on"
        if scene.state["handled"]:
            yield "last-hand-hygiene-missing"


def _left_in_hand(scene: Scene, but: str) -> Told:
    for name, item in scene.state["items"].items():
        if item["where"] == "in the hand" and name != but:
            yield "left-in-hand", name, "taken off"


def _arriving(event: Begin | Go, scene: Scene) -> Told:
    if event.area == scene.state["area"]:
        return
    zone = scene.clinic.areas[event.area].zone
    if zone is Zone.CLEAN:
        if any(scene.outside(name) == CONTAMINATED for name in scene.state["worn"]):
            yield "dirty-ppe-in-clean-area"
        if not scene.gloved and scene.hand == CONTAMINATED:
            yield "dirty-hands-in-clean-area"
    if zone is Zone.CONTAMINATED:
        later = event in scene.text.gloves_follow
        if scene.other_barrier_missing() or (scene.gloves_missing() and not later):
            yield "barrier-missing-at-entry"
        for name in scene.worn(Kind.RESPIRATOR):
            if not scene.state["items"][name]["checked"]:
                yield "seal-unchecked", name, "put on"


def _hygiene(event: Hygiene, scene: Scene) -> Told:
    yield from _left_in_hand(scene, "")
    if not event.wash and scene.protocol.spores and scene.hand != CLEAN:
        yield "rub-against-spores"
    if event.on_gloves and not scene.clinic.hygiene_on_gloves:
        yield "glove-hygiene-forbidden"
    if event.on_gloves != scene.gloved:
        yield "hygiene-misses-hands"


def _wear(event: Wear, scene: Scene) -> Told:
    name, where = event.item, scene.where(event.item)
    on_head = BODY.get(scene.kind(name)) in ("face", "hair")
    if where == "worn":
        yield "worn-twice"
    yield from _left_in_hand(scene, name)
    if event.assistant and not scene.clinic.assistant:
        yield "helper-not-staffed"
    if not scene.state["cleaned"] and scene.kind(name) not in (Kind.BOOTS, Kind.CLOTHING):
        yield "first-hand-hygiene-missing"
    if scene.hygiene_due():
        yield "hand-hygiene-skipped"
    if not event.assistant and on_head and scene.hand == CONTAMINATED:
        yield "dirty-hands-to-face"
    if not event.assistant and where != "worn":
        fresh = scene.fresh(name)
        outside = scene.outside(name)
        if scene.hand == CONTAMINATED and not on_head and (fresh or outside != CONTAMINATED):
            yield "dirty-hands-on-clean-item"
        clean = fresh or (where == "kept" and outside == CLEAN)
        if scene.hand == TOUCHED and clean and scene.state["cleaned"]:
            yield "clean-item-after-dirty"
    if scene.kind(name) in GOWNS and any(
        scene.kit.items[glove].layer == "" for glove in scene.worn(Kind.GLOVES)
    ):
        yield "gloves-before-gown"
    if where == "kept" and event.source != scene.state["items"][name]["kept at"]:
        yield "fetched-from-elsewhere" if event.source else "fetch-place-unsaid"


def _remove(event: Remove, scene: Scene) -> Told:
    worn = scene.state["worn"]
    going = [name for name in event.items if name in worn]
    staying = [name for name in worn if name not in event.items]
    if len(going) < len(set(event.items)):
        yield "taken-off-unworn"
    if any(scene.lies_over(over, under) for over in staying for under in going):
        yield "taken-from-under"
    if event.assistant and not scene.clinic.assistant:
        yield "helper-not-staffed"
    if scene.hygiene_due():
        yield "hand-hygiene-skipped"
    if not event.assistant and scene.hand == CONTAMINATED:
        if any(BODY.get(scene.kind(name)) in ("face", "hair") for name in event.items):
            yield "dirty-hands-to-face"
    lungs = {Kind.RESPIRATOR, Kind.POWERED_RESPIRATOR}
    kinds = {scene.kind(name) for name in going}
    left = {scene.kind(name) for name in staying}
    if kinds & set(MASKS):
        if left & {Kind.GOGGLES, Kind.FACE_SHIELD}:
            yield "eye-protection-left-on"
        if left & {*GOWNS, Kind.APRON}:
            yield "gown-left-on"
    if kinds & set(GOWNS):
        if Kind.APRON in left:
            yield "apron-left-on"
        if Kind.HOOD in left:
            yield "hood-left-on"
    if {scene.kind(name) for name in event.items} & lungs and not left & lungs:
        if scene.in_contaminated() and "airborne" in scene.protocol.precautions:
            yield "respirator-off-in-room"
    for name in going:
        item = scene.state["items"][name]
        if scene.kind(name) is Kind.RESPIRATOR and not item["checked"]:
            if not scene.state["entered"]:
                yield "seal-unchecked", name, "put on"
        if scene.kind(name) in GOWNS and any(
            glove in staying and scene.kit.items[glove].layer != "inner"
            for glove in worn[worn.index(name) :]
            if scene.kind(glove) is Kind.GLOVES
        ):
            yield "cuff-trapped"


def _keep(event: Keep, scene: Scene) -> Told:
    item, where = scene.kit.items[event.item], scene.where(event.item)
    place = scene.clinic.places[event.place]
    if where != "in the hand":
        yield "handled-out-of-reach"
    if place.purpose is Purpose.KEEPING and scene.hand == CONTAMINATED:
        yield "dirty-hands-in-store"
    if where != "kept" and scene.outside(event.item) == CONTAMINATED and not item.rest:
        yield "kept-contaminated"
    if item.after_use is not AfterUse.KEEP:
        yield "single-use-kept"
    others = [
        name
        for name, other in scene.state["items"].items()
        if name != event.item and other["kept at"] == event.place
    ]
    if len(others) >= place.holds:
        yield "shared-hook"
    if item.at_most and not scene.state["items"][event.item]["checked this round"]:
        yield "wearings-untallied"
    if item.keep_at and item.keep_at != event.place:
        yield "kit-contradicted"


def _disinfect(event: Disinfect, scene: Scene) -> Told:
    item = scene.kit.items.get(event.target)
    agent = scene.clinic.agents.get(event.agent or (item.disinfect_with if item else ""))
    if agent and scene.protocol.spores and not agent.kills_spores:
        yield "weak-against-spores"
    if event.target not in scene.kit.items:
        return
    names = scene.kit.items[event.target].disinfect_with
    if names and event.agent and event.agent != names:
        yield "kit-contradicted"
    if scene.where(event.target) not in ("worn", "in the hand", "kept"):
        yield "handled-out-of-reach"
    if scene.outside(event.target) == CONTAMINATED and not scene.gloved:
        yield "wiped-bare-handed"


def _places(event: object, scene: Scene) -> Told:
    """The two rows about places, for every phrase that names one."""
    match event:
        case Wear():
            name, purpose = event.source, Purpose.KEEPING
        case Keep():
            name, purpose = event.place, Purpose.KEEPING
        case Discard():
            name, purpose = event.place, Purpose.WASTE
        case Send():
            name, purpose = event.place, Purpose.SENDING
        case Touch():
            name, purpose = event.place, None
        case Disinfect():
            name, purpose = event.target, None
        case _:
            return
    if name not in scene.clinic.places:
        return
    place = scene.clinic.places[name]
    if place.area != scene.state["area"]:
        yield "place-in-other-area"
    if purpose and place.purpose is not purpose:
        yield "wrong-place"


def reusable_never_kept(protocol: Protocol, kit: Kit) -> Iterator[Strike]:
    """The one rule that looks at the whole text."""
    phrases = [
        phrase
        for part in protocol.parts
        for step in every_step(part.steps)
        for phrase in step.phrases
    ]
    kept = {phrase.item for phrase in phrases if isinstance(phrase, Keep)}
    for name, item in kit.items.items():
        if item.after_use is AfterUse.KEEP and name not in kept:
            for phrase in phrases:
                if isinstance(phrase, Remove) and name in phrase.items:
                    yield "reusable-never-kept", phrase.at.order, ""
                    break
