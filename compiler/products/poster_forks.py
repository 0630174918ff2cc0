"""Forks and stretches of a poster's path: answers in frames, areas beside their rail."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field
from functools import cached_property

from compiler.layout.fitting import Frame, Stack, Text, balanced
from compiler.products.poster_pieces import Measures, Piece, RowPiece, Shown

EDGE = 0.12
"""Frames of answers."""
WAY_PADDING = 0.7
ANSWER_PADDING = 0.35
JOIN_AROUND = 1.12
"""Around the words below a fork that name where the path goes on."""
END = 0.5
"""Below a fork that ends its part."""
FORK_AIR = 0.4
"""The white at which the answers of a fork are balanced."""
LABEL_PADDING = 0.3
DOOR = 1.5


@dataclass(frozen=True)
class WayPiece:
    """One answer in its frame, with the steps it leads to."""

    words: tuple[str, str]
    answer: Text
    detail: Text
    stretches: tuple[StretchPiece, ...]

    def height(self, width: float, air: float) -> float:
        """Answer, detail, steps."""
        inner = width - 2 * EDGE - 2 * WAY_PADDING
        head = Frame(Stack((self.answer, self.detail)), around=2 * ANSWER_PADDING)
        steps = sum(each.height(inner, air) for each in self.stretches)
        return head.height(inner, air) + 2 * EDGE + (EDGE if steps else 0.0) + steps

    @cached_property
    def least(self) -> float:
        """The width below which a word of a lead would be broken."""
        rows = [r for s in self.stretches for r in s.stops if isinstance(r, RowPiece)]
        leads = (r.lead.widest + r.measures.narrow_sign + r.measures.gap for r in rows)
        return max((self.answer.widest, *leads)) + 2 * EDGE + 2 * WAY_PADDING

    def shown(self, width: float) -> Shown:
        """The words and the steps."""
        inner = width - 2 * EDGE - 2 * WAY_PADDING
        return {
            "lead": self.words[0],
            "detail": self.words[1],
            "width": round(width, 3),
            "stretches": [each.shown(inner) for each in self.stretches],
        }


@dataclass(frozen=True)
class ForkPiece:
    """A question, its answers side by side where there is room, and where the path goes on."""

    measures: Measures
    question: RowPiece
    ways: tuple[WayPiece, ...]
    onward: str
    """"Go on with 9"; empty when the part ends here."""
    onward_line: Text
    _shares: dict[float, float] = field(default_factory=dict, compare=False)

    def height(self, width: float, air: float) -> float:
        """Question, answers, and the strip that joins them."""
        question = self.question.height(width, air)
        widths = self.widths(width)
        heights = [way.height(w, air) for way, w in zip(self.ways, widths, strict=True)]
        join = self.onward_line.height(width) + JOIN_AROUND if self.onward else END
        if self.beside(width):
            return question + max(heights) + join
        return question + sum(heights) + join * len(heights)

    def beside(self, width: float) -> bool:
        """Whether every answer gets enough width side by side."""
        m = self.measures
        count = len(self.ways)
        each = (width - m.between * (count - 1)) / count
        return each >= max([m.way, *(way.least for way in self.ways)])

    def widths(self, width: float) -> Sequence[float]:
        """The width of each answer: by their length if there are two, else equal."""
        count = len(self.ways)
        if not self.beside(width):
            return [width] * count
        room = width - self.measures.between * (count - 1)
        if count != 2:
            return [room / count] * count
        share = self._share(room)
        return [room * share, room * (1 - share)]

    def _share(self, room: float) -> float:
        """The first answer's share: one for each half unit, so that it does not flicker.

        Either both answers have room for numbers beside pictograms, or they are equal: rows of
        two shapes side by side would look like two kinds of steps.
        """
        step = round(room * 2) / 2
        if step not in self._shares:
            abreast = self.measures.above_below + 2 * EDGE + 2 * WAY_PADDING + 0.5
            least = max([abreast, *(way.least for way in self.ways)]) / step
            self._shares[step] = (
                0.5
                if least > 0.5
                else balanced(self.ways[0], self.ways[1], step, FORK_AIR, max(least, 0.36))
            )
        return self._shares[step]

    def shown(self, width: float) -> Shown:
        """The question, the answers, and how they stand."""
        widths = self.widths(width)
        return {
            "kind": "fork",
            "question": self.question.shown(width),
            "ways": [way.shown(w) for way, w in zip(self.ways, widths, strict=True)],
            "beside": self.beside(width),
            "onward": self.onward,
        }


@dataclass(frozen=True, slots=True)
class StretchPiece:
    """The stops between two doors, beside the rail of their area."""

    measures: Measures
    zone: str
    """`clean`, `transition` or `contaminated`: pattern and colour of the rail."""
    area: str
    kind: str
    """The zone in words: "clean area"."""
    label: Text
    door: bool
    """Whether people come through a door into it."""
    bare: bool
    """Inside an answer whose steps stay in one area: no rail, no label."""
    stops: tuple[Piece, ...]

    def height(self, width: float, air: float) -> float:
        """Door, label, stops."""
        inner = self._inner(width)
        label = 0.0 if self.bare else self.label.height(inner) + 2 * LABEL_PADDING
        door = DOOR if self.door else 0.0
        return door + label + sum(stop.height(inner, air) for stop in self.stops)

    def shown(self, width: float) -> Shown:
        """The area, and what happens in it."""
        inner = self._inner(width)
        return {
            "zone": self.zone,
            "area": self.area,
            "kind": self.kind,
            "door": self.door,
            "bare": self.bare,
            "stops": [stop.shown(inner) for stop in self.stops],
        }

    def _inner(self, width: float) -> float:
        return width if self.bare else width - self.measures.rail - self.measures.indent
