"""Estimated heights of paragraphs against Python's own `textwrap`, in any order of questions."""

from __future__ import annotations

import textwrap

from hypothesis import given
from hypothesis import strategies as st

from compiler.layout.fitting import Run, Text

LENGTHS = st.lists(st.integers(1, 12), min_size=1, max_size=40)
WIDTHS = st.lists(st.integers(12, 120), min_size=1, max_size=30)


def text_of(lengths: list[int], line: float = 1.0) -> Text:
    """Words of so many letters, each letter and each space one unit wide."""
    return Text((Run(tuple((float(length), 1.0) for length in lengths), line),))


@given(LENGTHS, WIDTHS)
def test_lines_are_those_of_textwrap_whatever_was_asked_before(lengths, widths):
    # textwrap of the standard library: words are put on a line as long as they fit
    words = " ".join("x" * length for length in lengths)
    text = text_of(lengths)

    for width in widths:
        assert text.height(width) == len(textwrap.wrap(words, width)), width


@given(LENGTHS, st.lists(st.floats(0.5, 60), min_size=2, max_size=30))
def test_what_was_asked_before_changes_no_answer(lengths, widths):
    # also where columns are narrower than a word, which is then broken
    text = text_of(lengths, 1.4)

    for width in widths:
        assert text.height(width) == text_of(lengths, 1.4).height(width), width
