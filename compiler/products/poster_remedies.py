"""What would help a poster whose text is too small: paper, two sheets, words, a nearer eye.

Each remedy is tried before it is named: done alone, it makes the finding go.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace
from math import floor

from compiler.findings import Finding, Mark
from compiler.layout.paper import Paper, larger
from compiler.products.poster_cuts import details_of, fewest_cuts, longest_start, told
from compiler.products.poster_fit import ALMOST, TO_SPARE, Fitter, Plan
from compiler.products.poster_page import PosterPage, papers_for
from compiler.products.sheet import Order
from compiler.rules.sheet import SHEET_OVERFULL, TEXT_TOO_SMALL

ALONE = ("donning", "doffing")
"""The parts that can have a sheet each."""


def too_small(page: PosterPage, plan: Plan) -> Iterator[Finding]:
    """A finding if the type is below the floor, with what would help."""
    order, limits = page.order, page.fitter.limits
    share = plan.base / limits.floor
    if share * ALMOST >= 1:
        return
    reading = order.clinic.reading
    longest = max(details_of(order), key=lambda cut: cut.words, default=None)
    at = longest.step.at if longest else order.protocol.at
    missing = page.fitter.missing(plan.paper, limits.floor) * limits.floor
    yield Finding(
        TEXT_TOO_SMALL,
        f"On {plan.paper.name} this poster ({order.words.tag}) can be read from "
        f"{reading.leads * share:.2f} m (leads) and {reading.details * share:.2f} m (details), "
        f"not from {reading.leads:g} m and {reading.details:g} m; for that it is "
        f"{max(missing, 1):.0f} mm too long.",
        Mark(at, "the longest detail" if longest else "this poster"),
        remedy=_Helper(page).remedy(),
    )


def overfull(page: PosterPage) -> Finding:
    """The finding for a poster that cannot be printed."""
    order, limits = page.order, page.fitter.limits
    missing = page.fitter.missing(page.papers[0], limits.least) * limits.least
    return Finding(
        SHEET_OVERFULL,
        f"On {page.papers[0].name} this poster ({order.words.tag}) could not be read "
        f"even in the hand, from {order.clinic.reading.card:g} m; for that it is "
        f"{max(missing, 1):.0f} mm too long.",
        Mark(order.protocol.at, "this poster"),
        remedy=_Helper(page).remedy(),
    )


@dataclass(frozen=True, slots=True)
class _Helper:
    """Tries changes of one order, cheap ones first."""

    page: PosterPage

    def remedy(self) -> str:
        """What helps by itself; else what helps on the largest paper; else the last resort."""
        ways = [*self.turned(), *self.on_larger(), *self.on_two_sheets(), *self.with_fewer()]
        if not ways:
            ways = list(self.together())
        if not ways:
            ways = [self.nearer() or self.shorter()]
        return ", or ".join(ways)

    def turned(self) -> Iterator[str]:
        """The other way up, where one was asked for."""
        order = self.page.order
        if order.orientation and (paper := self.reached(replace(order, orientation=""))):
            yield f"print it {_way(paper)}"

    def on_larger(self) -> Iterator[str]:
        """The smallest larger paper on which the floor is met."""
        for larger_order in self.larger_orders():
            if paper := self.reached(larger_order):
                yield f"print it on {self.named(paper)}"
                return

    def on_two_sheets(self) -> Iterator[str]:
        """Each part on a sheet of its own."""
        if self.each_reached(self.page.order):
            yield "print putting on and taking off on a sheet each"

    def with_fewer(self) -> Iterator[str]:
        """Without some details."""
        order = self.page.order
        if cuts := fewest_cuts(order, lambda shorter: self.reached(shorter) is not None):
            yield f"do without {told(cuts)}"

    def together(self) -> Iterator[str]:
        """Two changes at once, the second on the largest paper."""
        for order in self.larger_orders():
            if self.each_reached(order):
                paper = papers_for(order)[0]
                yield f"print putting on and taking off on a sheet each, on {_size(paper)}"
                return
        for order in [self.largest_order()]:
            if cuts := fewest_cuts(order, lambda shorter: self.reached(shorter) is not None):
                yield f"print it on {_size(papers_for(order)[0])} and do without {told(cuts)}"

    def nearer(self) -> str:
        """The distances that the largest paper reaches, with a sheet for each part."""
        order = self.largest_order()
        orders, ways = [order], []
        if order.paper != self.page.papers[0].name or self.page.order.orientation:
            ways.append(f"print it on {_size(papers_for(order)[0])}")
        if self.in_two(order):
            orders = [replace(order, parts=part) for part in ALONE]
            ways.append("print putting on and taking off on a sheet each")
        sizes = [self.base(each) or 0.0 for each in orders]
        share = min(sizes) / self.page.fitter.limits.floor / TO_SPARE
        if not share:
            return ""
        reading = self.page.order.clinic.reading
        leads, details = (
            _centimetres(reading.leads * share),
            _centimetres(reading.details * share),
        )
        ways.append(
            "let people come nearer: in clinic.yaml, reading distance: "
            f"{{leads: {leads:g} m, details: {details:g} m}}"
        )
        return " and ".join(ways)

    def shorter(self) -> str:
        """Where the protocol could end so that the rest of it goes into another."""
        order = self.largest_order()
        start = longest_start(order, lambda first: self.reached(first) is not None)
        if not start:
            return "make several protocols of it"
        title, number = start
        size = _size(papers_for(order)[0])
        return (
            f"make several protocols of it: on {size} the first could go as far as step "
            f"{number} of “{title}”"
        )

    # --- trying

    def fitter(self, order: Order) -> Fitter:
        asked = self.page.order
        same = order.parts == asked.parts and order.protocol is asked.protocol
        return self.page.fitter if same else self.page.variant(order)

    def reached(self, order: Order) -> Paper | None:
        """The paper, its way up, on which an order meets the floor."""
        fitter = self.fitter(order)
        if not fitter.page.columns:
            return None
        return next((p for p in papers_for(order) if fitter.meets_the_floor(p)), None)

    def base(self, order: Order) -> float | None:
        """The largest size that an order could have."""
        plan = self.fitter(order).best(papers_for(order))
        return plan.base if plan else None

    def in_two(self, order: Order) -> bool:
        """Whether the parts could have a sheet each."""
        return order.parts == "both" and len(self.page.fitter.page.columns) > 1

    def each_reached(self, order: Order) -> bool:
        """Whether two sheets meet the floor."""
        alone = (replace(order, parts=part) for part in ALONE)
        return self.in_two(order) and all(self.reached(each) for each in alone)

    def larger_orders(self) -> Iterator[Order]:
        """The same order on every larger paper, as it lies and then either way up."""
        order = self.page.order
        for paper in larger(self.page.papers[0].portrait):
            yield replace(order, paper=paper.name)
            if order.orientation:
                yield replace(order, paper=paper.name, orientation="")

    def largest_order(self) -> Order:
        """The same order on the largest paper, either way up."""
        papers = (self.page.papers[0].portrait, *larger(self.page.papers[0].portrait))
        return replace(self.page.order, paper=papers[-1].name, orientation="")

    def named(self, paper: Paper) -> str:
        """A paper, and how it lies where that is not what was asked for."""
        asked = self.page.order.orientation
        turned = asked and asked != ("portrait" if paper.upright else "landscape")
        return f"{_size(paper)}, {_way(paper)}" if turned else _size(paper)


def _size(paper: Paper) -> str:
    return f"{paper.name} ({paper.width:g} × {paper.height:g} mm)"


def _way(paper: Paper) -> str:
    return "upright" if paper.upright else "on its side"


def _centimetres(metres: float) -> float:
    """Rounded down to centimetres."""
    return floor(metres * 100) / 100
