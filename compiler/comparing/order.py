"""Garments in another order than in a list, told as the fewest that were moved."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from itertools import combinations

from compiler.comparing.difference import Difference, Pair
from compiler.comparing.garments import listed
from compiler.comparing.matching import Event, Half


def order_differences(half: Half, short: str) -> Iterator[Difference]:
    """Every pair in another order, each told once, by the garment that was moved.

    Only the first time counts that something goes on or comes off; what is put on again
    half-way is told apart.
    """
    common = [event for event in half.common if event.number == 1]
    conflicts = {
        frozenset((one, other))
        for one, other in combinations(common, 2)
        if len(set(half.order(one, other))) > 1
    }
    for event in fewest_moved(common, conflicts):
        crossed = [other for other in common if frozenset((event, other)) in conflicts]
        conflicts -= {frozenset((event, other)) for other in crossed}
        orders = {other: half.order(event, other) for other in crossed}
        for way in dict.fromkeys(orders.values()):
            yield _told(half, event, [o for o in crossed if orders[o] == way], way, short)


def fewest_moved(
    events: Sequence[Event], conflicts: set[frozenset[Event]]
) -> tuple[Event, ...]:
    """The smallest choice of events that has one of every pair in conflict.

    What is left is in the same order in both; of choices equally small the first is taken.
    """
    concerned = [event for event in events if any(event in pair for pair in conflicts)]
    for size in range(len(concerned) + 1):
        for chosen in combinations(concerned, size):
            if all(pair & set(chosen) for pair in conflicts):
                return chosen
    return tuple(concerned)


def _told(
    half: Half, event: Event, others: list[Event], way: tuple[int, int], short: str
) -> Difference:
    ours, theirs = way
    names, (does, how) = half.names, half.doing
    if len(others) == 1 and (ours or theirs) > 0:
        # a pair reads the same whichever was found to have moved
        event, others, ours, theirs = others[0], [event], -ours, -theirs
    if ours == 0:
        together = listed(f"the {names.ours(each)}" for each in (event, *others))
        first = f"{does} {together} off in one movement"
    else:
        when = "before" if ours < 0 else "after"
        crossed = listed(f"the {names.ours(other)}" for other in others)
        first = f"{does} the {names.ours(event)} {how} {when} {crossed}"
    if theirs == 0:
        second = f"{'both' if len(others) == 1 else 'all'} off in one movement"
    elif theirs < 0:
        second = f"the {names.theirs(event)} {how} first"
    elif len(others) == 1:
        second = f"the {names.theirs(others[0])} {how} first"
    else:
        second = f"the {names.theirs(event)} {how} after them"
    pairs = (
        Pair(
            half.part,
            (names.garment(event), names.garment(other)),
            (event.garment, other.garment),
            ours,
        )
        for other in others
    )
    return Difference(
        half.part,
        "order",
        f"{first}; {short} {does.lower()} {second}.",
        tuple(dict.fromkeys(half.our_deed(each) for each in (event, *others))),
        tuple(pairs),
    )
