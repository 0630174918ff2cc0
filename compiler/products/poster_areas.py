"""The name of an area said again along a rail so long that its head is out of sight."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from compiler.layout.fitting import Text
from compiler.products.path import Beat, Split, Stop
from compiler.products.poster_forks import LABEL_PADDING
from compiler.products.poster_pieces import Shown

LONG, REST = 10, 4
"""Rows after which the name is said again, if so many more follow: about a third of a sheet."""


@dataclass(frozen=True, slots=True)
class AreaPiece:
    """The area's name and kind, as at the head of its rail."""

    zone: str
    area: str
    words: str
    """The zone in words: "clean area"."""
    label: Text

    def height(self, width: float, air: float) -> float:
        """A line, usually."""
        return self.label.height(width, air) + 2 * LABEL_PADDING

    def shown(self, width: float) -> Shown:
        """The words."""
        del width
        return {"kind": "area", "zone": self.zone, "area": self.area, "words": self.words}


def said_again(stops: Sequence[Stop]) -> Iterator[int]:
    """The places in a stretch before which its area is named again.

    Never above a hand hygiene that belongs to the step before it.
    """
    rows = [_rows(stop) for stop in stops]
    since = 0
    for place, stop in enumerate(stops):
        follows = isinstance(stop, Beat) and place and not isinstance(stops[place - 1], Split)
        if since >= LONG and sum(rows[place:]) >= REST and not follows:
            yield place
            since = 0
        since += rows[place]


def _rows(stop: Stop) -> int:
    """About how many rows a stop is tall: a fork is its question, answers, and longest way."""
    if not isinstance(stop, Split):
        return 1
    ways = (sum(map(_rows, s.stops)) for way in stop.ways for s in way.stretches)
    return 2 + max(ways, default=0)
