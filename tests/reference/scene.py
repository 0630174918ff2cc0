"""One moment on a way: the state, what is fixed, and the questions that rules ask of both."""

from __future__ import annotations

from dataclasses import dataclass

from compiler.model.clinic import Clinic, Policy, Zone
from compiler.model.kit import Kind, Kit
from compiler.model.protocol import Protocol
from compiler.source import Span
from tests.reference.effects import AN_ITEM, GLOVES, Text, gloves_worn, hand, hides

Strike = tuple[str, tuple[str, int, int], str]
"""A rule's slug, a place it may point at, and what it is about where that is not the place."""

GOWNS = (Kind.GOWN, Kind.COVERALL)
MASKS = (Kind.MASK, Kind.RESPIRATOR)


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
