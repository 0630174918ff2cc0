"""What would help a poster whose text is too small: paper, two sheets, or fewer words."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace

from compiler.findings import Finding, Mark
from compiler.layout.breaking import pieces
from compiler.layout.paper import larger
from compiler.model.protocol import Part, Protocol, Step
from compiler.products.path import Row, Split, every_stop, path_of
from compiler.products.poster_fit import ALMOST, Fitter, Plan
from compiler.products.poster_page import PosterPage, papers_for
from compiler.products.sheet import Order
from compiler.rules.sheet import SHEET_OVERFULL, TEXT_TOO_SMALL
from compiler.source import Span

SPLIT = "make two protocols of it"


@dataclass(frozen=True, slots=True)
class Cut:
    """A detail that could go."""

    part: Part
    step: Step
    number: int
    words: int


def too_small(page: PosterPage, plan: Plan) -> Iterator[Finding]:
    """A finding if the type is below the floor, with what would help."""
    order, limits = page.order, page.fitter.limits
    share = plan.base / limits.floor
    if share * ALMOST >= 1:
        return
    reading = order.clinic.reading
    cuts = _cuts(page)
    longest = max(_details(order), key=lambda cut: cut.words, default=None)
    at = longest.step.at if longest else order.protocol.at
    yield Finding(
        TEXT_TOO_SMALL,
        f"On {plan.paper.name} this poster ({order.words.tag}) can be read from "
        f"{reading.leads * share:.2f} m (leads) and {reading.details * share:.2f} m (details), "
        f"not from {reading.leads:g} m and {reading.details:g} m.",
        Mark(at, "the longest detail" if longest else "this poster"),
        remedy=_either([*_by_paper(page), *_by_sheets(page), *_by_words(cuts)]),
    )


def overfull(page: PosterPage) -> Finding:
    """The finding for a poster that cannot be printed."""
    order = page.order
    return Finding(
        SHEET_OVERFULL,
        f"On {page.papers[0].name} this poster ({order.words.tag}) could not be read "
        f"even in the hand, from {order.clinic.reading.card:g} m.",
        Mark(order.protocol.at, "this poster"),
        remedy=_either([*_by_paper(page), *_by_sheets(page)]),
    )


def _either(ways: list[str]) -> str:
    return ", or ".join(ways) if ways else SPLIT


def _by_paper(page: PosterPage) -> Iterator[str]:
    """The smallest larger paper on which the floor is met."""
    for paper in larger(page.papers[0].portrait):
        order = replace(page.order, paper=paper.name)
        if _enough(page.fitter, order):
            yield f"print it on {paper.name}"
            return


def _by_sheets(page: PosterPage) -> Iterator[str]:
    """Each part on a sheet of its own, where that is enough."""
    if page.order.parts != "both" or len(page.fitter.page.columns) < 2:
        return
    alone = [replace(page.order, parts=part) for part in ("donning", "doffing")]
    if all(_enough(page.variant(order), order) for order in alone):
        yield "print putting on and taking off on a sheet each"


def _by_words(cuts: list[Cut]) -> Iterator[str]:
    if not cuts:
        return
    words = sum(cut.words for cut in cuts)
    places: dict[str, list[int]] = {}
    for cut in cuts:
        places.setdefault(cut.part.title, []).append(cut.number)
    named = "; ".join(
        f"“{title}” {', '.join(map(str, sorted(numbers)))}" for title, numbers in places.items()
    )
    yield f"do without the details of these steps, {words} words in all: {named}"


def _cuts(page: PosterPage) -> list[Cut]:
    """The fewest of the longest details whose loss is enough; none if even all are not."""
    order = page.order
    ranked = sorted(_details(order), key=lambda cut: (-cut.words, cut.step.at.order))

    def enough(count: int) -> bool:
        without = {cut.step.at for cut in ranked[:count]}
        shorter = replace(order, protocol=_without(order.protocol, without))
        return _enough(page.variant(shorter), shorter)

    low, high = 0, len(ranked)
    if not enough(high):
        return []
    while high - low > 1:
        middle = (low + high) // 2
        low, high = (low, middle) if enough(middle) else (middle, high)
    return ranked[:high]


def _enough(fitter: Fitter, order: Order) -> bool:
    """Whether the floor is met on the order's paper, either way up."""
    return any(fitter.fits(paper, fitter.limits.floor) for paper in papers_for(order))


def _details(order: Order) -> list[Cut]:
    """Every numbered step that has a detail, with the number that is printed."""
    details = []
    for part in order.protocol.parts:
        for stop in every_stop(path_of(part, order.clinic).stretches):
            row = stop.question if isinstance(stop, Split) else stop
            if isinstance(row, Row) and row.detail:
                words = sum(1 for _ in pieces(row.detail, order.words.tag))
                details.append(Cut(part, row.step, row.number, words))
    return details


def _without(protocol: Protocol, gone: set[Span]) -> Protocol:
    """The protocol without the details of some steps."""

    def shorter(step: Step) -> Step:
        fork = step.fork and replace(
            step.fork,
            branches=tuple(
                replace(branch, steps=tuple(map(shorter, branch.steps)))
                for branch in step.fork.branches
            ),
        )
        return replace(step, detail="" if step.at in gone else step.detail, fork=fork)

    parts = (replace(part, steps=tuple(map(shorter, part.steps))) for part in protocol.parts)
    return replace(protocol, parts=tuple(parts))
