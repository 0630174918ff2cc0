"""The pieces of a poster: each knows how tall it becomes and how it is shown at a given width.

Both answers come from the same place, so that the estimate and the template cannot disagree
about whether answers stand side by side or a detail stands beside its lead. Lengths are in
units of the detail size and mirror `poster.css`.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Protocol

from compiler.layout.fitting import Block, Frame, Stack, Text

HAIRLINE = 0.06
CAUTION_ACROSS, CAUTION_AROUND, CAUTION_SIGN = 3.44, 1.09, 1.5
BEAT_PADDING, NASTALIQ_PADDING = (0.18, 0.18), (0.92, 0.0)
"""Above and below the words of a band; Nastaliq rises high above its line."""
BEAT_MARGIN = 0.1
WHERE_PADDING = 1.2
BAND_END = 0.7
ABOVE_GAP = 0.15
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
    inner_number: float
    """Inside an answer of a fork."""
    above_below: float
    """An answer below this width puts numbers above pictograms."""
    sign: float
    narrow_sign: float
    wide_sign: float
    beat_sign: float
    band_padding: tuple[float, float]
    band_line: float
    """The edge of a band of hand hygiene, above and below."""
    gap: float
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

    def above(self, width: float) -> bool:
        """Whether an answer is so narrow that numbers stand above their pictograms."""
        return width < self.above_below

    def before_text_inside(self, width: float) -> float:
        """From the numbers' edge to the text, inside an answer of a fork."""
        number = 0.0 if self.above(width) else self.inner_number
        return number + self.narrow_sign + self.gap

    def shape_inside(self, width: float) -> str:
        """The name of a row's shape inside an answer of a fork."""
        return "above" if self.above(width) else "inner"


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
    """Inside an answer of a fork: a smaller pictogram, below the number if need be."""

    def height(self, width: float, air: float) -> float:
        """The picture or the text, whichever is taller, and the air around it."""
        m = self.measures
        room = width - (m.before_text_inside(width) if self.inside else m.before_text)
        least = m.wide_sign if self.wide(width) else m.sign
        if self.inside:
            above = m.lead_line + ABOVE_GAP if m.above(width) else 0.0
            least = m.narrow_sign + above
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
        m, wide = self.measures, self.wide(width)
        return {
            "kind": "row",
            "number": self.number,
            "sign": self.sign,
            "lead": self.words[0],
            "detail": self.words[1],
            "cautions": [words for words, _ in self.cautions],
            "shape": m.shape_inside(width) if self.inside else "wide" if wide else "",
            "lead_width": round((width - m.before_text) * LEAD_SHARE, 2),
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
    lead: Text
    detail: Text
    together: Text
    """Lead and detail in one paragraph."""
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
        room = width - self._before(width)
        if self._wide(width):
            left = room - self.where_width - WHERE_PADDING
            beside = self.detail.height(left - room * LEAD_SHARE)
            text = max(self.lead.height(room * LEAD_SHARE - m.gap), beside)
        else:
            text = min(self._where_beside(room), self._where_below(room))
        band = max(m.beat_sign, text) + sum(m.band_padding) + 2 * (BEAT_MARGIN + m.band_line)
        return band + Stack(_cautions(self.cautions)).height(room, air)

    def shown(self, width: float) -> Shown:
        """The words, and the shape of the band."""
        m = self.measures
        inside = m.shape_inside(width)
        return {
            "kind": "beat",
            "sign": self.sign,
            "lead": self.words[0],
            "detail": self.words[1],
            "cautions": [words for words, _ in self.cautions],
            "where": self.where,
            "where_width": round(self.where_width + WHERE_PADDING, 2),
            "shape": inside if self.inside else "slim" if self.slim else "",
            "cramped": self._cramped(width),
            "stacked": self._stacked(self._room(width)),
            "wide": self._wide(width),
            "lead_width": round((width - m.before_text) * LEAD_SHARE, 2),
        }

    def _before(self, width: float) -> float:
        m = self.measures
        if self.inside:
            return m.before_text_inside(width)
        return m.slim_number if self.slim else m.before_text

    def _cramped(self, width: float) -> bool:
        """Whether "after 6" gets a line of its own, because the words need the room."""
        room = width - self._before(width)
        return not self._wide(width) and self._where_below(room) < self._where_beside(room)

    def _room(self, width: float) -> float:
        """What is left to the words beside sign and place."""
        beside = BAND_END if self._cramped(width) else self.where_width + WHERE_PADDING
        return width - self._before(width) - beside

    def _stacked(self, room: float) -> bool:
        """Whether the detail begins a line of its own: the lead's has no room for it."""
        return bool(self.words[1]) and len(self.together.lines(room)) > 1

    def _words(self, room: float) -> float:
        if self._stacked(room):
            return self.lead.height(room) + self.detail.height(room)
        return self.together.height(room)

    def _where_beside(self, room: float) -> float:
        return self._words(room - self.where_width - WHERE_PADDING)

    def _where_below(self, room: float) -> float:
        return self._words(room - BAND_END) + self.where_line.height(room - BAND_END)

    def _wide(self, width: float) -> bool:
        """Whether lead and detail stand side by side, as they do in the rows around it."""
        plain = not self.inside and not self.slim and bool(self.words[1])
        return plain and width - self._before(width) >= self.measures.wide


def _cautions(cautions: tuple[tuple[str, Text], ...]) -> tuple[Block, ...]:
    return tuple(
        Frame(text, across=CAUTION_ACROSS, around=CAUTION_AROUND, least=CAUTION_SIGN)
        for _, text in cautions
    )
