"""When each rule strikes: the table "When a rule strikes" of `compiler/README.md`, row by row.

Every rule looks at one event and the state before it.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from compiler.model.clinic import Clinic, Policy, Purpose, Zone
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
from compiler.source import Span
from tests.reference.effects import (
    AN_ITEM,
    BODY,
    CLEAN,
    CONTAMINATED,
    GLOVES,
    TOUCHED,
    Text,
    gloves_worn,
    hand,
    hides,
)

Strike = tuple[str, tuple[str, int, int]]
"""A rule's slug and the place it points at."""

GOWNS = (Kind.GOWN, Kind.COVERALL)
MASKS = (Kind.MASK, Kind.RESPIRATOR)


@dataclass(frozen=True)
class PartEnds:
    """The end of a part: no phrase of its own, but rules look at it."""

    last: bool
    """Whether the round ends with it."""
    at: Span
    """The last step on the way."""


class Scene:
    """One moment: the state and what is fixed, with the questions that the rows ask."""

    def __init__(
        self, state: dict, text: Text, protocol: Protocol, clinic: Clinic, kit: Kit
    ) -> None:
        self.state = state
        self.text = text
        self.protocol = protocol
        self.clinic = clinic
        self.kit = kit
        self.hand = hand(state, kit)
        self.gloved = bool(gloves_worn(state, kit))

    def where(self, name: str) -> str:
        return self.state["items"][name]["where"]

    def outside(self, name: str) -> int:
        return self.state["items"][name]["outside"]

    def kind(self, name: str) -> Kind:
        return self.kit.items[name].kind

    def in_contaminated(self) -> bool:
        area = self.state["area"]
        return bool(area) and self.clinic.areas[area].zone is Zone.CONTAMINATED

    def fresh(self, name: str) -> bool:
        return self.where(name) in ("ready", "discarded", "sent")

    def worn(self, *kinds: Kind) -> list[str]:
        return [name for name in self.state["worn"] if self.kind(name) in kinds]

    def lies_over(self, over: str, under: str) -> bool:
        order = self.state["worn"]
        hood = self.kind(over) is Kind.HOOD and self.kind(under) in MASKS
        return hides(self.kit.items[over], self.kit.items[under]) or (
            hood and order.index(over) > order.index(under)
        )

    def gloves_missing(self) -> bool:
        return "contact" in self.protocol.precautions and not self.gloved

    def barrier_missing(self) -> bool:
        return self.gloves_missing() or self.other_barrier_missing()

    def other_barrier_missing(self) -> bool:
        asked = self.protocol.precautions
        return (
            ("contact" in asked and not self.worn(*GOWNS, Kind.APRON))
            or ("droplet" in asked and not self.worn(*MASKS, Kind.POWERED_RESPIRATOR))
            or ("airborne" in asked and not self.worn(Kind.RESPIRATOR, Kind.POWERED_RESPIRATOR))
        )

    def hygiene_due(self) -> bool:
        if self.gloved and not self.clinic.hygiene_on_gloves:
            return False
        least = {Policy.EVERY_ITEM: AN_ITEM, Policy.AFTER_GLOVES: GLOVES}
        policy = self.clinic.policy
        return policy in least and self.state["owed"] >= least[policy]


def strikes_at(
    event: object, state: dict, text: Text, protocol: Protocol, clinic: Clinic, kit: Kit
) -> Iterator[Strike]:
    """What strikes at an event, before it is done."""
    scene = Scene(state, text, protocol, clinic, kit)
    at = getattr(event, "at", None)
    for rule in _rules(event, scene):
        # A rule that points at an earlier place gives it beside its slug.
        slug, place = rule if isinstance(rule, tuple) else (rule, at)
        yield slug, place.order
    yield from _places(event, scene)


Told = Iterator[str | tuple[str, Span]]


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
                yield "still-worn-at-end", scene.state["items"][name]["put on"]
        if scene.state["handled"]:
            yield "last-hand-hygiene-missing"


def _left_in_hand(scene: Scene, but: str) -> Told:
    for name, item in scene.state["items"].items():
        if item["where"] == "in the hand" and name != but:
            yield "left-in-hand", item["taken off"]


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
                yield "seal-unchecked", scene.state["items"][name]["put on"]


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
                yield "seal-unchecked", item["put on"]
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
    agent = scene.clinic.agents.get(event.agent)
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


def _places(event: object, scene: Scene) -> Iterator[Strike]:
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
        yield "place-in-other-area", event.at.order
    if purpose and place.purpose is not purpose:
        yield "wrong-place", event.at.order


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
                    yield "reusable-never-kept", phrase.at.order
                    break
