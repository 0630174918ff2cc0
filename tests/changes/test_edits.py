"""300 seeded edits of ten kinds: each is told as what it is, at its step, and nothing else is.

The protocols are the four of the example and the published sequences of `tests/published`. The
edits are made, and what must be told is judged, from the text alone (`edits.py`). There is no
outside source for what a change is called.
"""

from __future__ import annotations

import re
from itertools import pairwise

import pytest

from compiler.changes.change import REVERSED
from tests.changes.blocks import blocks, siblings
from tests.changes.changing import unproved
from tests.changes.edits import KINDS, edit
from tests.mutations.spoiling import protocols

SETS = protocols()
EACH = 30


@pytest.mark.parametrize("number", range(EACH))
@pytest.mark.parametrize("kind", KINDS)
def test_an_edit_is_told_as_what_it_is(kind, number):
    made = edit(kind, number, SETS)

    told = unproved(made.before, made.after)

    assert [(c.kind, c.subject) for c in told] == [(made.kind, made.subject)]
    [change] = told
    assert (change.old.line if change.old else 0) == made.old_line
    assert (change.new.line if change.new else 0) == made.new_line


@pytest.mark.parametrize("number", range(0, EACH, 3))
@pytest.mark.parametrize("kind", KINDS)
def test_undoing_an_edit_is_told_as_its_reverse(kind, number):
    made = edit(kind, number, SETS)

    [forth] = unproved(made.before, made.after)
    [back] = unproved(made.after, made.before)

    assert back.kind == REVERSED[forth.kind]
    assert (back.was, back.is_now) == (forth.is_now, forth.was)
    lines = [(c.old.line if c.old else 0, c.new.line if c.new else 0) for c in (forth, back)]
    assert lines[0] == lines[1][::-1]


@pytest.mark.parametrize("name", SETS)
def test_two_neighbours_that_change_places_are_one_move(name):
    """Which of the two moved is a matter of taste; that nothing else changed is not."""
    files = SETS[name]
    file = next(each for each in files if each.endswith(".md"))
    lines = files[file].split("\n")
    made = 0
    for steps in siblings(blocks(lines)):
        for one, other in pairwise(steps):
            if one.line.split("**")[1:] == other.line.split("**")[1:]:
                continue
            ordered = lines[other.first : other.end] + lines[one.first : one.end]
            # a list below an answer has to begin with 1 (CommonMark 0.31, section 5.3)
            ordered[0] = re.sub(r"\d+\.", "1.", ordered[0], count=1)
            after = "\n".join([*lines[: one.first], *ordered, *lines[other.end :]])
            told = unproved(files, {**files, file: after})
            assert [c.kind for c in told] == ["step moved"], (one.lead, other.lead)
            assert told[0].subject in {one.lead, other.lead}
            made += 1
    assert made > 5


def test_the_edits_are_spread_over_protocols_and_places():
    made = [edit(kind, number, SETS) for kind in KINDS for number in range(EACH)]

    assert len(made) == 300
    assert len({tuple(sorted(m.after.items())) for m in made}) > 200
    assert len({name for m in made for name in m.before if name.endswith(".md")}) > 25
