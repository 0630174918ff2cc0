"""One phrase in one state on one way, as rules see it, and the way that led there."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator
from dataclasses import dataclass

from compiler.analysis.state import State, Where
from compiler.analysis.world import World
from compiler.findings import Finding
from compiler.model.protocol import Branch, Part, Phrase, Step


@dataclass(frozen=True, slots=True)
class Answer:
    """A fork was left by this branch."""

    question: str
    branch: Branch


@dataclass(frozen=True, slots=True)
class RoundOver:
    """One round ended; everything before belongs to an earlier round."""


@dataclass(frozen=True, slots=True, eq=False)
class Trail:
    """How a state was reached: a list that shares its beginnings."""

    event: Phrase | Answer | RoundOver | None
    state: State
    """The state after the event."""
    step: Step | None
    earlier: Trail | None

    def back(self) -> Iterator[Trail]:
        """From here to the beginning of the first round."""
        here: Trail | None = self
        while here:
            yield here
            here = here.earlier

    def this_round(self) -> Iterator[Trail]:
        """From here to the beginning of this round."""
        for node in self.back():
            if isinstance(node.event, RoundOver):
                return
            yield node


@dataclass(frozen=True, slots=True)
class Visit:
    """One phrase about to be done; `phrase` is None at the end of a part."""

    world: World
    part: Part
    step: Step | None
    """Nothing at the heading of a part and at its end."""
    phrase: Phrase | None
    before: State
    """What a check does not say that it looks at is here as when all begins."""
    trail: Trail
    """Up to, not including, the phrase."""

    @property
    def last_part(self) -> bool:
        """Whether this part is the protocol's last."""
        return self.part is self.world.protocol.parts[-1]


@dataclass(frozen=True, slots=True)
class Sight:
    """What one look of a check takes in, beside the wearer."""

    items: frozenset[int]
    places: frozenset[int] = frozenset()
    unworn: frozenset[int] = frozenset()
    """Only states are looked at in which none of these items is worn."""


class Possible:
    """Which items may be worn, in the hand or kept, in some state of a set.

    It notes what is asked, which must not depend on the answers: that tells which sets look the
    same from here.
    """

    MARKED = (Where.WORN, Where.HAND, Where.KEPT)

    def __init__(self, count: int, marks: int) -> None:
        """Reads marks: a bit for each item; those worn, then in the hand, then kept."""
        self.count = count
        self.marks = marks
        self.asked = 0
        """The marks that were asked for."""

    @staticmethod
    def bits(count: int, index: int, places: Iterable[Where]) -> int:
        """The marks of one item that may be at these places."""
        return sum(
            1 << (shift * count + index)
            for shift, where in enumerate(Possible.MARKED)
            if where in places
        )

    def among(self, where: Where, items: Iterable[int]) -> frozenset[int]:
        """Those of some items that may be there."""
        shift = Possible.MARKED.index(where) * self.count
        found = []
        for index in items:
            bit = 1 << (shift + index)
            self.asked |= bit
            if self.marks & bit:
                found.append(index)
        return frozenset(found)


Sights = Callable[[World, Phrase | None, Possible], Iterator[Sight]]
"""Each look that a check takes at one phrase."""
Look = Callable[[Visit], Iterator[Finding]]


@dataclass(frozen=True, slots=True)
class Check:
    """A generator of findings, with the phrases it looks at and what it sees of the state."""

    kinds: tuple[type, ...]
    """Kinds of phrase; `NoneType` is the end of a part."""
    look: Look
    sights: Sights
    hands: bool = False
    """Whether it looks at the hand: bare hands are always seen, gloves only with this."""
