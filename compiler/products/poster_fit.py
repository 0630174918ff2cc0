"""Chooses a poster's type size, column widths and white: the largest type that fits."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from compiler.layout.fitting import (
    Beside,
    Block,
    Frame,
    Stack,
    balanced,
    filling,
    fitting_share,
    largest,
)
from compiler.layout.legibility import AIM, FLOOR, MOST, required_height
from compiler.layout.paper import Paper
from compiler.model.clinic import ReadingDistance
from compiler.products.poster_parts import Column
from compiler.products.theme import Theme
from compiler.products.typesetting import Scale

PATHS_GAP, FOOT_GAP = 0.8, 0.8
HEAD_RULE, FOOT_RULE = 0.3, 0.12
DUTY, DATES = 0.36, 0.36
"""Shares of the foot for the caution and the dates; the rest is for the check code."""
FOOT_GUTTER = 1.2
SPARE = 0.004
"""Share of the page left to the estimate's error; the layout is verified afterwards."""
LEAST_SHARE = 0.34, 0.42
"""Of the width, for the slighter of two paths: never less than the first; less than the second
only where the path keeps the theme's narrowest width."""
ALMOST = 1.0005
"""Sizes nearer than this count as the same."""
SHRINK = 0.988
"""Between two attempts, should a layout turn out taller than its estimate."""
TO_SPARE = 1.013
"""What is promised must still hold should the layout turn out taller than its estimate."""
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


@dataclass(frozen=True, slots=True)
class Space:
    """What a paper leaves to the paths at one type size."""

    margin: float
    """Millimetres."""
    width: float
    room: float
    """Height."""


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
                (code + FOOT_GUTTER, 0.0, Frame(Stack(()), least=code)),
                (0.0, DUTY, Frame(duty, across=FOOT_GUTTER)),
                (0.0, DATES, Frame(dates, across=FOOT_GUTTER)),
                (0.0, 1 - DUTY - DATES, trace),
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
        """The largest detail size on a paper; white yields before legibility does."""
        usual = self._largest(paper, "usual")
        if usual and usual >= self.limits.floor:
            return usual
        if self._fits(paper, self.limits.floor, "least"):
            return self.limits.floor
        tight = self._largest(paper, "least")
        return max(usual or 0.0, min(tight, self.limits.floor)) if tight else None

    def meets_the_floor(self, paper: Paper) -> bool:
        """Whether the floor fits on a paper, with a hair to spare for the estimate's error."""
        sizes = (self.limits.floor, self.limits.floor * TO_SPARE)
        return all(self._fits(paper, base, "least") for base in sizes)

    def missing(self, paper: Paper, base: float) -> float:
        """How much taller the paths are than their room at a size, in units of that size."""
        space = self._space(paper, base)
        columns, air = self.page.columns, self._air("least")
        if len(columns) == 1:
            return columns[0].height(space.width, air) - space.room
        left, right = columns
        width = space.width - self.theme.number("poster/gutter")
        share = balanced(left, right, width, air, self._least_share(width))
        tall = max(left.height(width * share, air), right.height(width * (1 - share), air))
        return tall - space.room

    def fits(self, paper: Paper, base: float) -> bool:
        """Whether a size fits on a paper, with the white that such a size may ask for."""
        if base > self.limits.most:
            return False
        generous = base > self.limits.floor * ALMOST
        return self._fits(paper, base, "usual" if generous else "least")

    def closer(self, plan: Plan, spare: float) -> Plan:
        """The next plan to try, `spare` millimetres lower: with less white, else smaller."""
        space = self._space(plan.paper, plan.base, spare)
        stays = self._widths(space, self._air("least"), first=True)
        base = plan.base if stays else plan.base * SHRINK
        return self.settled(plan.paper, base, spare)

    def settled(self, paper: Paper, base: float, spare: float = 0.0) -> Plan:
        """The plan at a given size: widths balanced, white spread until the page is full."""
        space = self._space(paper, base, spare)
        air, widths = next(
            (air, widths)
            for air in (self._air("usual"), self._air("least"), None)
            if (widths := self._widths(space, air))
        )
        airs = tuple(
            filling(column, width, space.room, air or 0.0, self._air("most"))
            for column, width in zip(self.page.columns, widths, strict=True)
        )
        return Plan(paper, base, space.margin, widths, airs, space.room)

    def _largest(self, paper: Paper, air: str) -> float | None:
        limits, count = self.limits, len(self.page.columns)
        # Huge letters in a handful of steps would leave a few words to a line.
        airy = self._space(paper, 1.0).width / count / self.theme.number("poster/measure")
        most = max(limits.least, min(limits.most, max(airy, limits.aim)))
        return largest(lambda base: self._fits(paper, base, air), limits.least, most)

    def _fits(self, paper: Paper, base: float, air: str) -> bool:
        space = self._space(paper, base)
        return self._widths(space, self._air(air), first=True) is not None

    def _space(self, paper: Paper, base: float, spare: float = 0.0) -> Space:
        short = min(paper.width, paper.height)
        margin = max(
            short * self.theme.number("poster/margin"), self.theme.number("poster/least margin")
        )
        width = (paper.width - 2 * margin) / base
        height = (paper.height - 2 * margin) / base
        taken = self.page.head.height(width, 0) + self.page.foot.height(width, 0)
        room = height - taken - PATHS_GAP - FOOT_GAP - height * SPARE - spare / base
        return Space(margin, width, room)

    def _widths(
        self, space: Space, air: float | None, first: bool = False
    ) -> tuple[float, ...] | None:
        """Column widths at which the paths stay within the room; None if there are none.

        Balanced ones are best, but heights are a staircase: where those are a little too tall
        the `first` that fit will do. Without `air`, whatever is balanced, too tall or not.
        """
        columns = self.page.columns
        if len(columns) == 1:
            fits = air is None or columns[0].height(space.width, air) <= space.room
            return (space.width,) if fits else None
        left, right = columns
        width = space.width - self.theme.number("poster/gutter")
        least = self._least_share(width)
        if not first:
            share = balanced(left, right, width, air or 0.0, least)
            widths = width * share, width * (1 - share)
            if air is None or _all_within(space.room, columns, widths, air):
                return widths
        found = fitting_share(left, right, width, air or 0.0, least, space.room)
        return (width * found, width * (1 - found)) if found else None

    def _least_share(self, width: float) -> float:
        narrowest = self.theme.number("poster/narrowest") / width
        return min(max(narrowest, LEAST_SHARE[0]), LEAST_SHARE[1])

    def _air(self, which: str) -> float:
        return self.theme.number(f"poster/air/{which}")


def _all_within(
    room: float, columns: Sequence[Block], widths: Sequence[float], air: float
) -> bool:
    return all(c.height(w, air) <= room for c, w in zip(columns, widths, strict=True))
