"""Which ways are drawn: that of the first answers, and one for each other answer.

All combinations would grow without end, and most would only repeat each other. Findings come
from all of them; the pictures show every answer, and so every step, at least once.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from compiler.analysis.fates import choices
from compiler.analysis.world import World
from compiler.following.steps import Named
from compiler.following.walk import Walk

MOST = 24
"""Pictures in one report: a person does not look through more."""
USUAL = "First answers"


@dataclass(frozen=True, slots=True)
class Branch:
    """One way, walked once."""

    title: str
    answers: tuple[tuple[str, str], ...]
    """All that were given, in the order in which they were asked."""
    walk: Walk


def branches(world: World, steps: tuple[Named, ...]) -> tuple[list[Branch], int]:
    """The ways to draw, and how many more answers there would be to draw."""
    usual = _walked(USUAL, Walk(world, 1, world.clinic.answers, {}))
    given = dict(usual.answers)
    around = _around(steps)
    others = [
        (question, answer)
        for question, answers in choices(world).items()
        for answer in answers
        if given.get(question) != answer
    ]
    drawn = [usual]
    for question, answer in others[: MOST - 2]:
        wanted = world.clinic.answers | around.get(question, {}) | {question: answer}
        drawn.append(_walked(f"{question}: {answer}", Walk(world, 1, wanted, {})))
    again = Walk(world, 2, world.clinic.answers, world.clinic.answers)
    next_round = _walked(f"{USUAL}, next round, with what was kept", again)
    if next_round.walk.start != usual.walk.start:
        drawn.append(next_round)
    return drawn, len(others[MOST - 2 :])


def _walked(title: str, walk: Walk) -> Branch:
    walk.moments()
    return Branch(title, tuple(walk.answers.items()), walk)


def _around(steps: tuple[Named, ...]) -> dict[str, dict[str, str]]:
    """The answers that lead to each question, where it first stands."""
    found: dict[str, dict[str, str]] = {}
    for question, inside in _asked(steps):
        found.setdefault(question, inside)
    return found


def _asked(steps: tuple[Named, ...]) -> Iterator[tuple[str, dict[str, str]]]:
    return ((n.step.fork.question, dict(n.inside)) for n in steps if n.step.fork)
