"""Many cards on a sheet: where each lies in front and behind, where to cut and to fold."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from compiler.layout.paper import Paper

BLEED = 3.0
"""Millimetres that colour runs on beyond the cut; common practice of print shops, no source."""
MARK = 4.0
"""Length of a crop mark in millimetres; it begins where the bleed ends."""
UNPRINTABLE = 4.0
"""Millimetres that printers leave white at the paper's edge; common practice, no source."""


@dataclass(frozen=True, slots=True)
class Strip:
    """One card lying flat: panels of one size beside each other, folded like an accordion."""

    panel_width: float
    """Millimetres, as all lengths here."""
    panel_height: float
    panels: int

    @property
    def width(self) -> float:
        """Of the whole strip."""
        return self.panel_width * self.panels


@dataclass(frozen=True, slots=True)
class Place:
    """Where a strip lies on a page: its lower left corner, and whether it is upside down."""

    left: float
    bottom: float
    upside_down: bool = False


@dataclass(frozen=True, slots=True)
class Line:
    """A short line from one point to another; a dashed one says fold, a whole one says cut."""

    start: tuple[float, float]
    end: tuple[float, float]
    fold: bool = False


@dataclass(frozen=True, slots=True)
class Imposition:
    """A sheet of paper printed on both sides and cut into cards."""

    paper: Paper
    strip: Strip
    columns: int
    rows: int
    edge: str
    """About which edge the printer turns the sheet: `long` or `short`."""

    @property
    def cards(self) -> int:
        """How many the sheet gives."""
        return self.columns * self.rows

    @property
    def _corner(self) -> tuple[float, float]:
        """The lower left corner of all cards together, which lie in the middle."""
        width, height = self._size
        return (self.paper.width - width) / 2, (self.paper.height - height) / 2

    @property
    def _size(self) -> tuple[float, float]:
        return (
            self.columns * self.strip.width + (self.columns - 1) * 2 * BLEED,
            self.rows * self.strip.panel_height + (self.rows - 1) * 2 * BLEED,
        )

    @property
    def front(self) -> tuple[Place, ...]:
        """Places on the front page, in rows from the top."""
        left, bottom = self._corner
        return tuple(
            Place(
                left + column * (self.strip.width + 2 * BLEED),
                bottom + row * (self.strip.panel_height + 2 * BLEED),
            )
            for row in reversed(range(self.rows))
            for column in range(self.columns)
        )

    @property
    def back(self) -> tuple[Place, ...]:
        """Places on the back page, each behind the front place of the same rank.

        A sheet that is turned like the page of a book mirrors left and right. One that is
        turned over its top edge mirrors up and down, and its back is printed upside down.
        """
        if self.paper.upright == (self.edge == "long"):
            return tuple(
                Place(self.paper.width - p.left - self.strip.width, p.bottom)
                for p in self.front
            )
        return tuple(
            Place(p.left, self.paper.height - p.bottom - self.strip.panel_height, True)
            for p in self.front
        )

    def marks(self) -> Iterator[Line]:
        """Where to cut and fold, outside all cards and their bleed; alike on both pages."""
        left, bottom = self._corner
        width, height = self._size
        outer = BLEED + MARK
        for place, fold in self._across():
            for edge, way in ((bottom, -1), (bottom + height, 1)):
                yield Line((place, edge + way * BLEED), (place, edge + way * outer), fold)
        for place in self._along():
            for edge, way in ((left, -1), (left + width, 1)):
                yield Line((edge + way * BLEED, place), (edge + way * outer, place))

    def _across(self) -> Iterator[tuple[float, bool]]:
        """Upright cuts and folds, and whether each is a fold."""
        left, _ = self._corner
        for column in range(self.columns):
            start = left + column * (self.strip.width + 2 * BLEED)
            for panel in range(self.strip.panels + 1):
                yield start + panel * self.strip.panel_width, 0 < panel < self.strip.panels

    def _along(self) -> Iterator[float]:
        """Level cuts."""
        _, bottom = self._corner
        for row in range(self.rows):
            start = bottom + row * (self.strip.panel_height + 2 * BLEED)
            yield from (start, start + self.strip.panel_height)


def most_panels(paper: Paper, panel_width: float, panel_height: float) -> int:
    """How many panels the longest strip may have that a sheet of paper holds either way."""
    most = 0
    for sheet in (paper.portrait, paper.landscape):
        width, height = _printable(sheet)
        if height >= panel_height:
            most = max(most, int(width // panel_width))
    return most


def imposed(paper: Paper, strip: Strip, edge: str) -> Imposition | None:
    """The sheet with most cards on it, upright if both ways give as many; None if none fits."""
    best = None
    for sheet in (paper.portrait, paper.landscape):
        width, height = _printable(sheet)
        columns = int((width + 2 * BLEED) // (strip.width + 2 * BLEED))
        rows = int((height + 2 * BLEED) // (strip.panel_height + 2 * BLEED))
        if columns * rows > (best.cards if best else 0):
            best = Imposition(sheet, strip, columns, rows, edge)
    return best


def _printable(paper: Paper) -> tuple[float, float]:
    """What is left of a sheet inside its white edge and the crop marks."""
    lost = 2 * (UNPRINTABLE + MARK + BLEED)
    return paper.width - lost, paper.height - lost
