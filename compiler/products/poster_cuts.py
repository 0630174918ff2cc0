"""Which details a poster could do without, and where a part could end."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, replace

from compiler.layout.breaking import pieces
from compiler.model.protocol import Part, Protocol, Step
from compiler.products.path import Row, Split, every_stop, path_of
from compiler.products.sheet import Order
from compiler.source import Span


@dataclass(frozen=True, slots=True)
class Cut:
    """A detail that could go."""

    part: Part
    step: Step
    number: int
    """As it is printed."""
    words: int


def details_of(order: Order) -> list[Cut]:
    """Every numbered step that has a detail, with the number that is printed."""
    details = []
    for part in order.protocol.parts:
        for stop in every_stop(path_of(part, order.clinic).stretches):
            row = stop.question if isinstance(stop, Split) else stop
            if isinstance(row, Row) and row.detail:
                words = sum(1 for _ in pieces(row.detail, order.words.tag))
                details.append(Cut(part, row.step, row.number, words))
    return details


def fewest_cuts(order: Order, enough: Callable[[Order], bool]) -> list[Cut]:
    """The fewest of the longest details whose loss is enough; none if even all are not."""
    ranked = sorted(details_of(order), key=lambda cut: (-cut.words, cut.step.at.order))
    least = _least(len(ranked), lambda count: enough(shortened(order, ranked[:count])))
    return ranked[:least] if least else []


def shortened(order: Order, cuts: list[Cut]) -> Order:
    """The same order without these details."""
    gone = {cut.step.at for cut in cuts}
    return replace(order, protocol=_without(order.protocol, gone))


def told(cuts: list[Cut]) -> str:
    """The number of words, and the steps as people call them."""
    words = sum(cut.words for cut in cuts)
    places: dict[str, list[int]] = {}
    for cut in cuts:
        places.setdefault(cut.part.title, []).append(cut.number)
    named = "; ".join(
        f"“{title}” {', '.join(map(str, sorted(numbers)))}" for title, numbers in places.items()
    )
    return f"the details of these steps, {words} words in all: {named}"


def longest_start(order: Order, enough: Callable[[Order], bool]) -> tuple[str, int] | None:
    """The heading and the last number of the longest start of the protocol that is enough."""
    steps = [(i, n) for i, p in enumerate(order.protocol.parts) for n in range(len(p.steps))]
    most = len(steps) - 1
    lost = _least(most, lambda gone: enough(_first(order, steps[: len(steps) - gone])))
    if not lost:
        return None
    kept = _first(order, steps[: len(steps) - lost]).protocol.parts[-1]
    numbers = [
        stop.question.number if isinstance(stop, Split) else stop.number
        for stop in every_stop(path_of(kept, order.clinic).stretches)
        if isinstance(stop, Row | Split)
    ]
    return (kept.title, numbers[-1]) if numbers else None


def _first(order: Order, steps: list[tuple[int, int]]) -> Order:
    """The order of a protocol that ends early."""
    parts = tuple(
        replace(part, steps=part.steps[:count])
        for i, part in enumerate(order.protocol.parts)
        if (count := sum(1 for at, _ in steps if at == i))
    )
    return replace(order, protocol=replace(order.protocol, parts=parts))


def _least(most: int, enough: Callable[[int], bool]) -> int:
    """The least number from 1 to `most` that is enough; 0 if even `most` is not."""
    if not most or not enough(most):
        return 0
    low, high = 0, most
    while high - low > 1:
        middle = (low + high) // 2
        low, high = (low, middle) if enough(middle) else (middle, high)
    return high


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
