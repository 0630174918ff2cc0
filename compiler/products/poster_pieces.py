"""The pieces of a poster: each knows how tall it becomes and how it is shown at a given width.

Both answers come from the same place, so that the estimate and the template cannot disagree about
whether answers stand side by side or a detail stands beside its lead. Lengths are in units of the
detail size and mirror `poster.css`.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field
from typing import Protocol

from compiler.layout.fitting import NOTHING, Block, Frame, Stack, Text, balanced

HAIRLINE = 0.06
EDGE = 0.12
"""Frames of cautions and answers."""
CAUTION_ACROSS, CAUTION_AROUND, CAUTION_SIGN = 3.44, 1.09, 1.5
WAY_PADDING = 0.7
ANSWER_PADDING = 0.35
JOIN_AROUND = 1.12
"""Around the words below a fork that name where the path goes on."""
END = 0.5
"""Below a fork that ends its part."""
BEAT_PADDING = 0.12
BEAT_MARGIN = 0.1
WHERE_PADDING = 1.2
FORK_AIR = 0.4
"""The white at which the answers of a fork are balanced."""
LEAD_SHARE = 0.42
"""Of the text's width, where the detail stands beside the lead."""

Shown = dict[str, object]
"""What a template reads."""


@dataclass(frozen=True, slots=True)
class Measures:
    """Lengths from the theme, in units of the detail size."""

    lead: float
    """Size of leads."""
    lead_line: float
    text_line: float
    rail: float
    indent: float
    number: float
    sign: float
    narrow_sign: float
    beat_sign: float
    gap: float
    cramped: float
    wide: float
    way: float
    between: float

    @property
    def drop(self) -> float:
        """How far a detail beside its lead is lowered, so that both stand on one line."""
        # 0.39 is half of ascent less descent, near enough in every face in use.
        return (self.lead_line - self.text_line) / 2 + (self.lead - 1) * 0.39

    @property
    def slim_number(self) -> float:
        """From the numbers' edge to the text, where there are no pictograms."""
        return self.beat_sign + self.gap

    @property
    def before_text(self) -> float:
        """From the numbers' edge to the text, in an ordinary row."""
        return self.number + self.sign + self.gap


class Piece(Protocol):
    """A block that also tells its template what to print."""

    def height(self, width: float, air: float) -> float:
        """Its height in a column of `width`."""

    def shown(self, width: float) -> Shown:
        """What the template prints in a column of `width`."""


@dataclass(frozen=True, slots=True)
class RowPiece:
    """A numbered step: number, pictogram, lead, detail, cautions."""

    measures: Measures
    number: str
    sign: str
    words: tuple[str, str]
    """Lead and detail."""
    lead: Text
    detail: Text
    cautions: tuple[tuple[str, Text], ...]
    inside: bool
    """Inside an answer of a fork: the number stands above a smaller pictogram."""

    def height(self, width: float, air: float) -> float:
        """The picture or the text, whichever is taller, and the air around it."""
        m = self.measures
        if self.inside:
            room, least = width - m.narrow_sign - m.gap, m.lead_line + 0.15 + m.narrow_sign
        else:
            room, least = width - m.before_text, m.sign
        below = Stack((self.detail, *_cautions(self.cautions)))
        if self.wide(width):
            text = max(
                self.lead.height(room * LEAD_SHARE - m.gap),
                below.height(room * (1 - LEAD_SHARE), air) + m.drop,
            )
        else:
            text = self.lead.height(room) + below.height(room, air)
        return max(least, text) + 2 * air + HAIRLINE

    def wide(self, width: float) -> bool:
        """Whether the detail stands beside the lead: lines would be too long below it."""
        return not self.inside and width - self.measures.before_text >= self.measures.wide

    def shown(self, width: float) -> Shown:
        """The words, and the shape of the row."""
        wide = self.wide(width)
        return {
            "kind": "row",
            "number": self.number,
            "sign": self.sign,
            "lead": self.words[0],
            "detail": self.words[1],
            "cautions": [words for words, _ in self.cautions],
            "shape": "inner" if self.inside else "wide" if wide else "",
            "lead_width": round((width - self.measures.before_text) * LEAD_SHARE, 2),
            # A row of single lines is set on the middle of its pictogram.
            "brief": not self.cautions and (wide or not self.words[1]),
        }


@dataclass(frozen=True, slots=True)
class SlimPiece:
    """A step in the block for work in the room: no pictogram, lead and detail run together."""

    measures: Measures
    number: str
    words: tuple[str, str]
    text: Text
    cautions: tuple[tuple[str, Text], ...]

    def height(self, width: float, air: float) -> float:
        """The text and the air around it."""
        room = width - self.measures.slim_number
        below = Stack(_cautions(self.cautions)).height(room, air)
        return self.text.height(room) + below + 2 * air + HAIRLINE

    def shown(self, width: float) -> Shown:
        """The words."""
        del width
        return {
            "kind": "slim",
            "number": self.number,
            "lead": self.words[0],
            "detail": self.words[1],
            "cautions": [words for words, _ in self.cautions],
        }


@dataclass(frozen=True, slots=True)
class BeatPiece:
    """Hand hygiene: a band across the path, the rail included."""

    measures: Measures
    sign: str
    words: tuple[str, str]
    text: Text
    cautions: tuple[tuple[str, Text], ...]
    where: str
    """"after 6": how people refer to it."""
    where_width: float
    where_line: Text
    slim: bool
    """In the block for work: the words stand where those of its steps do."""
    inside: bool
    """Inside an answer of a fork."""

    def height(self, width: float, air: float) -> float:
        """A slim band, as tall as its words."""
        m = self.measures
        room = width - self._before()
        if self._cramped(width):
            text = self.text.height(room) + self.where_line.height(room)
        else:
            text = self.text.height(room - self.where_width - WHERE_PADDING)
        band = max(m.beat_sign, text) + 2 * (BEAT_PADDING + BEAT_MARGIN)
        return band + Stack(_cautions(self.cautions)).height(width, air)

    def shown(self, width: float) -> Shown:
        """The words, and the shape of the band."""
        return {
            "kind": "beat",
            "sign": self.sign,
            "lead": self.words[0],
            "detail": self.words[1],
            "cautions": [words for words, _ in self.cautions],
            "where": self.where,
            "where_width": round(self.where_width + WHERE_PADDING, 2),
            "shape": "inner" if self.inside else "slim" if self.slim else "",
            "cramped": self._cramped(width),
        }

    def _before(self) -> float:
        m = self.measures
        if self.inside:
            return m.narrow_sign + m.gap
        return m.slim_number if self.slim else m.before_text

    def _cramped(self, width: float) -> bool:
        """Whether "after 6" gets a line of its own, so that the words keep their room."""
        return width - self._before() - self.where_width - WHERE_PADDING < self.measures.cramped


@dataclass(frozen=True, slots=True)
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
        return (width - m.between * (count - 1)) / count >= m.way

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
        """The first answer's share: found once for each half unit, so that it does not flicker."""
        step = round(room * 2) / 2
        if step not in self._shares:
            least = min(max(self.measures.way / step, 0.36), 0.5)
            self._shares[step] = balanced(*self.ways, step, FORK_AIR, least)
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


LABEL_PADDING = 0.3
DOOR = 1.7


def _cautions(cautions: tuple[tuple[str, Text], ...]) -> tuple[Block, ...]:
    return tuple(
        Frame(text, across=CAUTION_ACROSS, around=CAUTION_AROUND, least=CAUTION_SIGN)
        for _, text in cautions
    )
