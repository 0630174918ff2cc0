"""The one home of Hypothesis strategies: random protocol sets, as texts and as model values.

Most are nearly sound: a sound protocol with a few random edits, since in a wholly random one the
first steps go wrong and the rules that look at later ones see nothing of interest.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator
from random import Random
from typing import Any

from hypothesis import strategies as st

from tests.reference import edits
from tests.reference.drafts import Draft, Written, written
from tests.reference.outfits import usually

Draw = Callable[[st.SearchStrategy[Any]], Any]


@st.composite
def sets(draw: Draw) -> Written:
    """A random set with one protocol: its texts, and what the readers make of them."""
    return written(draw(drafts()))


@st.composite
def drafts(draw: Draw) -> Draft:
    """The same before it is written down: four in five nearly sound, the others wholly random."""
    return _either(lambda low, high: draw(st.integers(low, high)))


def poster_numbers() -> st.SearchStrategy[int]:
    """Numbers of random posters: their words are too many choices for Hypothesis to draw."""
    return st.integers(0, 99_999)


def sample(count: int, start: int = 0) -> Iterator[Draft]:
    """Many drafts, each on its own; the same ones for each number to start from."""
    for number in range(count):
        yield _either(Random(f"{start} {number}").randint)


def _either(choose: Callable[[int, int], int]) -> Draft:
    """A draft, by a function that chooses a number from a range."""
    return edits.nearly_sound(choose) if usually(choose) else edits.wholly_random(choose)
