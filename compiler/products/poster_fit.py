"""Chooses a poster's type size, column widths and white: the largest type that the page can hold."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from compiler.layout.fitting import (
    Beside,
    Block,
    Frame,
    Stack,
    balanced,
    both_fit,
    filling,
    largest,
)
from compiler.layout.legibility import AIM, FLOOR, MOST, required_height
from compiler.layout.paper import Paper
from compiler.model.clinic import ReadingDistance
from compiler.products.poster_parts import Column
from compiler.products.theme import Theme
from compiler.products.typesetting import Scale

PATHS_GAP, FOOT_GAP = 0.9, 0.9
HEAD_RULE, FOOT_RULE = 0.3, 0.12
SPARE = 0.004
"""Share of the page left to the estimate's error; the layout is verified afterwards."""
LEAST_SHARE = 0.4
"""Of the width, for the slighter of two paths."""
LIKED = 1.04
"""A page on its side must win by this factor: a long path is easier to follow in one sweep."""


@dataclass(frozen=True, slots=True)
class Limits:
    """Detail sizes in millimetres that the reading distances ask for."""

    least: float
    """Legible only in the hand; below it no sheet is printed."""
    floor: float
    """Both leads and details span 16 minutes of arc at their distances."""
    aim: float
    """Both span 22."""
    most: float
    """Leads span 45: larger words are no longer read at a glance."""


@dataclass(frozen=True, slots=True)
class Page:
    """Everything on the page, measured but not placed."""

    head: Block
    columns: tuple[Column, ...]
    foot: Block


@dataclass(frozen=True, slots=True)
class Plan:
    """Where everything goes. Lengths in units of the detail size unless they say otherwise."""

    paper: Paper
    base: float
    """The detail size in millimetres."""
    margin: float
    """Millimetres."""
    widths: tuple[float, ...]
    airs: tuple[float, ...]
    room: float
    """Height of the paths."""


def limits_for(reading: ReadingDistance, letter: float, scale: Scale) -> Limits:
    """The sizes that matter, for letters that are `letter` of the type size tall."""

    def size(minutes: float) -> float:
        leads = required_height(reading.leads, minutes) / letter / scale.lead
        return max(leads, required_height(reading.details, minutes) / letter)

    floor = size(FLOOR)
    return Limits(
        least=min(required_height(reading.card, FLOOR) / letter, floor),
        floor=floor,
        aim=size(AIM),
        most=max(required_height(reading.leads, MOST) / letter / scale.lead, size(AIM)),
    )


def head_block(name: Block, whose: Block, notices: Block | None) -> Block:
    """The heading of the sheet, as `poster.css` sets it."""
    head = Frame(Beside(((0.0, 0.68, name), (0.0, 0.32, whose))), around=0.5 + HEAD_RULE)
    if notices is None:
        return head
    return Stack((head, Frame(notices, across=1.2, around=0.8)))


def foot_block(code: float, duty: Block, dates: Block, trace: Block) -> Block:
    """The foot of the sheet, as `poster.css` sets it."""
    return Frame(
        Beside(
            (
                (code + 1.2, 0.0, Frame(Stack(()), least=code)),
                (0.0, 0.5, Frame(duty, across=1.2)),
                (0.0, 0.5, Frame(dates, across=1.2)),
                (18.0, 0.0, Frame(trace, across=1.2)),
            )
        ),
        around=0.6 + FOOT_RULE,
    )


@dataclass(frozen=True, slots=True)
class Fitter:
    """Fits one page to papers."""

    theme: Theme
    page: Page
    limits: Limits

    def best(self, papers: Sequence[Paper]) -> Plan | None:
        """The plan with the largest type; None if the least size fits on none of the papers.

        The papers stand in the order in which they are liked: a later one must win clearly.
        """
        chosen: tuple[Paper, float] | None = None
        for paper in papers:
            if chosen and not self.fits(paper, chosen[1] * LIKED):
                continue
            if base := self.base(paper):
                chosen = paper, base
        return self.settled(*chosen) if chosen else None

    def base(self, paper: Paper) -> float | None:
        """The largest detail size on a paper; white between rows yields before legibility does."""
        usual = self._largest(paper, "usual")
        if usual and usual >= self.limits.floor:
            return usual
        tight = self._largest(paper, "least")
        return max(usual or 0.0, min(tight, self.limits.floor)) if tight else None

    def fits(self, paper: Paper, base: float) -> bool:
        """Whether a size fits on a paper, with the white that such a size may ask for."""
        if base > self.limits.most:
            return False
        return self._fits(paper, base, "usual" if base >= self.limits.floor else "least")

    def settled(self, paper: Paper, base: float) -> Plan:
        """The plan at a given size: widths balanced, white spread until the page is full."""
        margin, width, room = self._room(paper, base)
        least, most = self._air("least"), self._air("most")
        usual = self._air("usual")
        air = usual if self._fits(paper, base, "usual") else least
        widths = self._widths(width, air)
        airs = tuple(
            filling(column, w, room, air, most)
            for column, w in zip(self.page.columns, widths, strict=True)
        )
        return Plan(paper, base, margin, widths, airs, room)

    def overfull(self, paper: Paper, base: float) -> float:
        """Millimetres by which the paths are too tall at a size, with the least white."""
        _, width, room = self._room(paper, base)
        return (self._tallest(width, self._air("least")) - room) * base

    def _largest(self, paper: Paper, air: str) -> float | None:
        return largest(
            lambda base: self._fits(paper, base, air), self.limits.least, self.limits.most
        )

    def _fits(self, paper: Paper, base: float, air_named: str) -> bool:
        _, width, room = self._room(paper, base)
        air = self._air(air_named)
        columns = self.page.columns
        if len(columns) == 1:
            return columns[0].height(width, air) <= room
        width -= self.theme.number("poster/gutter")
        return both_fit(*columns, width, air, LEAST_SHARE, room)

    def _room(self, paper: Paper, base: float) -> tuple[float, float, float]:
        """Margin in millimetres; width and height for the paths."""
        short = min(paper.width, paper.height)
        margin = max(
            short * self.theme.number("poster/margin"), self.theme.number("poster/least margin")
        )
        width = (paper.width - 2 * margin) / base
        height = (paper.height - 2 * margin) / base
        taken = self.page.head.height(width, 0) + self.page.foot.height(width, 0)
        room = height - taken - PATHS_GAP - FOOT_GAP - height * SPARE
        return margin, width, room

    def _widths(self, width: float, air: float) -> tuple[float, ...]:
        if len(self.page.columns) == 1:
            return (width,)
        gutter = self.theme.number("poster/gutter")
        left, right = self.page.columns
        share = balanced(left, right, width - gutter, air, LEAST_SHARE)
        return (width - gutter) * share, (width - gutter) * (1 - share)

    def _tallest(self, width: float, air: float) -> float:
        widths = self._widths(width, air)
        return max(
            (c.height(w, air) for c, w in zip(self.page.columns, widths, strict=True)),
            default=0.0,
        )

    def _air(self, which: str) -> float:
        return self.theme.number(f"poster/air/{which}")
