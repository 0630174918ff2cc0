"""Comparing the other way round tells the same; comparing a version with itself tells nothing.

There is no outside source: these are what a comparison must be to be one. The protocols are
random ones, and several edits of `edits.py` in one protocol.
"""

from __future__ import annotations

import random
from collections import Counter

import pytest

from compiler.changes.change import REVERSED, Change
from compiler.source import Span
from tests.changes.changing import compared, unproved
from tests.changes.edits import KINDS, Files
from tests.mutations.spoiling import protocols
from tests.reference.drafts import written
from tests.strategies import sample

SETS = protocols()
RANDOM = [written(draft).texts for draft in sample(60)]


def _place(span: Span | None) -> tuple[str, int, int]:
    return (span.source.path[3:], span.start, span.end) if span else ("", 0, 0)


def _told(change: Change, *, turned: bool) -> tuple[object, ...]:
    both = (_place(change.old), change.was), (_place(change.new), change.is_now)
    if turned:
        return REVERSED[change.kind], *both[::-1]
    return change.kind, *both


def assert_mirrored(one: Files, other: Files) -> None:
    forth = Counter(_told(change, turned=False) for change in unproved(one, other))
    back = Counter(_told(change, turned=True) for change in unproved(other, one))
    assert forth == back


@pytest.mark.parametrize("name", SETS)
def test_a_version_does_not_differ_from_itself(name):
    assert compared(SETS[name], SETS[name]).same
    assert unproved(SETS[name], SETS[name]) == []


@pytest.mark.parametrize("number", range(0, len(RANDOM) - 1))
def test_two_random_protocols_mirror_each_other(number):
    one, other = RANDOM[number], RANDOM[number + 1]

    assert unproved(one, one) == []
    assert_mirrored(one, other)


@pytest.mark.parametrize("number", range(40))
def test_several_edits_mirror_each_other(number):
    """Four edits in one protocol, whatever they make of one another."""
    dice = random.Random(number)
    before = after = SETS[dice.choice(sorted(SETS))]
    for _ in range(4):
        found = [*KINDS[dice.choice(sorted(KINDS))](after, dice)]
        after = dice.choice(found).after if found else after

    assert_mirrored(before, after)
