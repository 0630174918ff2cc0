"""Which answers of earlier rounds lead to an end that an item can have only in a later one."""

from __future__ import annotations

from collections.abc import Mapping
from itertools import islice, product
from math import prod

from compiler.analysis.fates import End, choices, end_of
from compiler.analysis.witness import nearest, way
from compiler.analysis.world import World

TRIES = 200
"""Ways tried before it is left open which answers lead there."""
CERTAIN = 64
"""Ways walked to be certain that some answers make no difference."""


def leading(
    world: World, item: int, now: Mapping[str, str], end: End, number: int
) -> dict[str, str] | None:
    """Answers which, given in every round before, lead to an end in the round of that number.

    Only those that matter: whatever is answered to the others, the end is the same.

    Args:
        world: The protocol.
        item: The index of the item.
        now: Answers of the round itself; a question that is not among them gets its first.
        end: How the item ends that round.
        number: The round.

    Returns:
        The answers by question, or nothing when none are found in reasonable time.
    """
    asked = choices(world)

    def leads(before: Mapping[str, str]) -> bool:
        given = {(at, q): answer for at in range(1, number) for q, answer in before.items()}
        given |= {(number, question): answer for question, answer in now.items()}
        return _ended(world, item, given, number) == end

    tried = nearest([(0, question) for question in asked], asked)
    befores = ({q: a for (_, q), a in answers.items()} for answers in islice(tried, TRIES))
    found = next(filter(leads, befores), None)
    if found is None:
        return None
    free: list[str] = []
    for question in asked:
        open_ = [*free, question]
        every = product(*(asked[q] for q in open_))
        few = prod(len(asked[q]) for q in open_) <= CERTAIN
        if few and all(leads({**found, **dict(zip(open_, x, strict=True))}) for x in every):
            free = open_
    return {question: answer for question, answer in found.items() if question not in free}


def _ended(
    world: World, item: int, given: Mapping[tuple[int, str], str], number: int
) -> End | None:
    """How the item ends the round on the way with these answers."""
    walk = way(world, given)
    *_, last = walk.visits(number)
    return end_of(last.before.items[item]) if walk.possible else None
