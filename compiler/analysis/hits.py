"""What the exploration remembers: hits, looks that are taken together, and where it gave up."""

from __future__ import annotations

from dataclasses import dataclass, field

from compiler.analysis.parts import Asked, Values
from compiler.analysis.parts import Part as Piece
from compiler.analysis.visits import Check, Sight
from compiler.model.protocol import Part, Phrase, Step


@dataclass(frozen=True, slots=True)
class Hit:
    """A finding of a check, before a way to it is known."""

    check: Check
    sight: Sight
    part: Part
    step: Step | None
    phrase: Phrase | None
    slug: str
    message: str
    """As told without a way; together with the place it tells hits apart."""
    round: int
    inside: tuple[tuple[str, str], ...]
    """The forks around it and the branches it is in, from the outermost."""
    asked: Asked
    """Other questions, by round, on which it depends whether it is met."""
    also: Asked = frozenset()
    """Questions on which that depends where it is met again in the same round."""


@dataclass(slots=True, eq=False)
class Glance:
    """What several checks look at together."""

    variables: tuple[int, ...]
    unworn: tuple[int, ...]
    """Items, as variables, of which none must be worn."""
    checks: list[tuple[Check, Sight]]
    fine: set[Values] = field(default_factory=set)
    """Values in which none of them found anything."""
    fine_parts: set[tuple[Piece, ...]] = field(default_factory=set)
    """Parts likewise, by variables and items unworn."""


class TooManyStatesError(Exception):
    """More states hang together than the analysis holds; carries where it gave up."""

    def __init__(self, part: Part, step: Step | None) -> None:
        """Remembers the place."""
        super().__init__(part, step)
        self.part, self.step = part, step
