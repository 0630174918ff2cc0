"""Estimates how tall a sheet's blocks become, and finds the largest type size that fits.

Nothing is drawn here. All lengths are shares of the detail text's size, so one block answers
for every size: a larger type is a narrower column. `air` is the white above and below each row,
which may grow to fill a page.
"""

from __future__ import annotations

from bisect import bisect_left
from collections.abc import Callable
from dataclasses import dataclass, field
from functools import cached_property
from typing import Protocol

BROKEN = 0.9
"""Share of a line that is filled where a word had to be broken."""


class Block(Protocol):
    """Anything that takes room on a sheet."""

    def height(self, width: float, air: float) -> float:
        """Its height in a column of `width` when each row has `air` above and below."""


@dataclass(frozen=True, slots=True)
class Run:
    """A stretch of text in one size and weight."""

    words: tuple[tuple[float, float], ...]
    """What stays together, and the white space after it: widths in the unit of all lengths."""
    line: float
    """Height of a line that holds any of it."""


@dataclass(frozen=True)
class Text:
    """A paragraph of one or more runs."""

    runs: tuple[Run, ...]
    _heights: dict[float, float] = field(default_factory=dict, repr=False, compare=False)
    _rooms: list[float] = field(default_factory=list, repr=False, compare=False)
    """The widths asked before at which no word is broken, in order."""

    def height(self, width: float, air: float = 0.0) -> float:
        """The lines, each as tall as the tallest text in it."""
        del air
        # Rounded down, so that a remembered answer is never for a wider column.
        room = int(width * 100) / 100
        height = self._heights.get(room)
        if height is None:
            height = self._heights[room] = self._between(room)
        return height

    def _between(self, room: float) -> float:
        """The height at a width that was not asked before.

        A wider column never takes more lines, as long as no word is broken and all lines are
        alike: what is known to be the same for a narrower and a wider one is so between them.
        """
        if len(self.runs) != 1 or room < self.widest:
            return sum(self.lines(room))
        at = bisect_left(self._rooms, room)
        if 0 < at < len(self._rooms):
            narrower, wider = (self._heights[r] for r in self._rooms[at - 1 : at + 1])
            if narrower == wider:
                return narrower
        self._rooms.insert(at, room)
        return sum(self.lines(room))

    @cached_property
    def widest(self) -> float:
        """The width of its widest word: a narrower column would break it."""
        return max((wide for run in self.runs for wide, _ in run.words), default=0.0)

    def lines(self, width: float) -> list[float]:
        """Heights of the lines it is broken into; a word wider than a line is broken too."""
        lines: list[float] = []
        used, space = width + 1.0, 0.0
        for run in self.runs:
            for wide, after in run.words:
                if used + space + wide > width:
                    lines.append(run.line)
                    used = wide
                    while used > width > 0:
                        lines.append(run.line)
                        used -= width * BROKEN
                else:
                    lines[-1] = max(lines[-1], run.line)
                    used += space + wide
                space = after
        return lines


@dataclass(frozen=True, slots=True)
class Stack:
    """One below the other."""

    blocks: tuple[Block, ...]

    def height(self, width: float, air: float) -> float:
        """The sum."""
        return sum(block.height(width, air) for block in self.blocks)


@dataclass(frozen=True, slots=True)
class Beside:
    """Side by side: each has a fixed width, or a share of what the fixed ones leave."""

    columns: tuple[tuple[float, float, Block], ...]
    """Fixed width, share of the rest, block."""

    def height(self, width: float, air: float) -> float:
        """The tallest."""
        rest = width - sum(fixed for fixed, _, _ in self.columns)
        shares = sum(share for _, share, _ in self.columns) or 1.0
        return max(
            block.height(fixed + rest * share / shares, air)
            for fixed, share, block in self.columns
        )


@dataclass(frozen=True, slots=True)
class Frame:
    """White, rules and edges around a block."""

    block: Block
    across: float = 0.0
    """Width it takes away, both sides together."""
    around: float = 0.0
    """Height it adds, top and bottom together."""
    airs: float = 0.0
    """How often the row's air is added."""
    least: float = 0.0
    """Height of the block at least: that of a picture beside it."""

    def height(self, width: float, air: float) -> float:
        """That of the block and what is around it."""
        inner = max(self.least, self.block.height(width - self.across, air))
        return inner + self.around + self.airs * air


def balanced(left: Block, right: Block, width: float, air: float, least: float) -> float:
    """The share of `width` for the left block at which both are about equally tall.

    Neither gets less than `least` of it.
    """
    low, high = least, 1.0 - least
    for _ in range(8):
        share = (low + high) / 2
        too_tall = left.height(width * share, air) > right.height(width * (1 - share), air)
        low, high = (share, high) if too_tall else (low, share)
    return (low + high) / 2


def fitting_share(
    left: Block, right: Block, width: float, air: float, least: float, room: float
) -> float | None:
    """A share of `width` for the left block at which both stay within `room`, if there is one.

    What one column gains the other loses, so the search ends as soon as both are too tall.
    """
    low, high = least, 1.0 - least
    for _ in range(8):
        share = (low + high) / 2
        left_fits = left.height(width * share, air) <= room
        right_fits = right.height(width * (1 - share), air) <= room
        if left_fits and right_fits:
            return share
        if not left_fits and not right_fits:
            return None
        low, high = (low, share) if left_fits else (share, high)
    return None


def largest(fits: Callable[[float], bool], low: float, high: float) -> float | None:
    """The largest size between `low` and `high` that fits, to about 0.5 %; None if none does.

    Heights are a staircase: a slightly larger size can fit where a smaller did not, so the
    sizes just above the answer are tried as well.
    """
    if not fits(low):
        return None
    if fits(high):
        return high
    while high / low > 1.005:
        middle = (low * high) ** 0.5
        low, high = (middle, high) if fits(middle) else (low, middle)
    for step in (1.02, 1.01):
        if fits(low * step):
            return low * step
    return low


def filling(block: Block, width: float, room: float, air: float, most: float) -> float:
    """The air, from `air` up to `most`, at which the block fills `room` best."""
    if block.height(width, most) <= room:
        return most
    low, high = air, most
    for _ in range(12):
        middle = (low + high) / 2
        low, high = (middle, high) if block.height(width, middle) <= room else (low, middle)
    return low
