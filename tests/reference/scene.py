"""One moment on a way: the state, what is fixed, and the questions that rows ask of both."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

from compiler.model.clinic import Area, Clinic, Place, Policy, Zone
from compiler.model.kit import Item, Kind, Kit
from compiler.model.protocol import Protocol
from compiler.source import Span
from tests.reference.effects import AN_ITEM, BODY, GLOVES, gloves_worn, hand, hides
from tests.reference.text import Text

Strike = tuple[str, tuple[str, int, int], str]
"""A rule's slug, a place it may point at, and what it is about where that is not the place."""

GOWNS = {Kind.GOWN, Kind.COVERALL}
MASKS = {Kind.MASK, Kind.RESPIRATOR}
LUNGS = {Kind.RESPIRATOR, Kind.POWERED_RESPIRATOR}

Row = Callable[..., object]
"""Takes a phrase and the scene before it. Gives yes or no, or items and a moment of theirs."""

ROWS: dict[type, list[tuple[str, Row]]] = {}
"""The table "When a rule strikes", by the kind of phrase that a row looks at."""


def row(*phrases: type) -> Callable[[Row], Row]:
    """Enters a function under its own name, which is the rule's slug."""

    def enter(function: Row) -> Row:
        for phrase in phrases:
            slug = function.__name__.replace("_", "-")
            ROWS.setdefault(phrase, []).append((slug, function))
        return function

    return enter


@dataclass(frozen=True)
class PartEnds:
    """The end of a part: no phrase of its own, but rules look at it."""

    last: bool
    """Whether the round ends with it."""
    number: int
    """Which part it is."""
    places: tuple[Span, ...]
    """The last step, and the forks that it stands in: where ways may have met again."""


class Scene:
    """The state before a phrase."""

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

    def item(self, name: str) -> dict:
        """What is known of an item."""
        return self.state["items"][name]

    def row(self, name: str) -> Item:
        """The item in the kit."""
        return self.kit.items[name]

    def kind(self, name: str) -> Kind:
        """The item's kind."""
        return self.kit.items[name].kind

    def where(self, name: str) -> str:
        """Where an item is."""
        return self.item(name)["where"]

    def fresh(self, name: str) -> bool:
        """Whether a fresh one would be taken."""
        return self.where(name) in ("ready", "discarded", "sent")

    def on_head(self, name: str) -> bool:
        """Whether it belongs on face or hair."""
        return BODY.get(self.kind(name)) in ("face", "hair")

    def worn(self, kinds: set[Kind]) -> list[str]:
        """What is worn of some kinds."""
        return [name for name in self.state["worn"] if self.kind(name) in kinds]

    def staying(self, going: tuple[str, ...]) -> list[str]:
        """What is still worn when these have been taken off."""
        return [name for name in self.state["worn"] if name not in going]

    def left_on(self, going: tuple[str, ...], off: set[Kind], on: set[Kind]) -> bool:
        """Whether something worn of kinds `off` goes, and something of kinds `on` stays."""
        goes = any(name in going for name in self.worn(off))
        return goes and any(self.kind(name) in on for name in self.staying(going))

    def lies_over(self, over: str, under: str) -> bool:
        """Whether one worn item has to come off before the other."""
        order = self.state["worn"]
        hood = self.kind(over) is Kind.HOOD and self.kind(under) in MASKS
        return hides(self.row(over), self.row(under)) or (
            hood and order.index(over) > order.index(under)
        )

    def area(self) -> Area | None:
        """Where the wearer stands; nowhere before the first part."""
        return self.clinic.areas.get(self.state["area"])

    def in_contaminated(self) -> bool:
        """Whether the wearer stands in a contaminated area."""
        area = self.area()
        return area is not None and area.zone is Zone.CONTAMINATED

    def arriving(self, name: str, zone: Zone) -> bool:
        """Whether this is another area, and one of that zone."""
        return name != self.state["area"] and self.clinic.areas[name].zone is zone

    def place(self, name: str) -> Place | None:
        """The place, if there is one of that name."""
        return self.clinic.places.get(name)

    def gloves_missing(self) -> bool:
        """Whether the precautions ask for gloves, and none are worn."""
        return "contact" in self.protocol.precautions and not self.gloved

    def other_barrier_missing(self) -> bool:
        """Whether they ask for anything else that is not worn."""
        asked = {
            "contact": {*GOWNS, Kind.APRON},
            "droplet": {*MASKS, Kind.POWERED_RESPIRATOR},
            "airborne": LUNGS,
        }
        return any(
            precaution in self.protocol.precautions and not self.worn(kinds)
            for precaution, kinds in asked.items()
        )

    def hygiene_due(self) -> bool:
        """Whether the policy asks for clean hands before anything else comes on or off."""
        if self.gloved and not self.clinic.hygiene_on_gloves:
            return False
        least = {Policy.EVERY_ITEM: AN_ITEM, Policy.AFTER_GLOVES: GLOVES}
        policy = self.clinic.policy
        return policy in least and self.state["owed"] >= least[policy]
