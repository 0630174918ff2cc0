"""A difference between a protocol and a list, in a sentence, with its places."""

from __future__ import annotations

from dataclasses import dataclass

from compiler.comparing.course import Deed


@dataclass(frozen=True, slots=True)
class Pair:
    """Two garments whose order differs; other lists can be asked about them."""

    part: str
    ours: tuple[str, str]
    """As the protocol has them."""
    theirs: tuple[str, str]
    """As the list has them: something else where one stands in for another."""
    here: int
    """Below zero where the protocol has the first of them first; zero for one movement."""


@dataclass(frozen=True, slots=True)
class Difference:
    """One difference on one way."""

    part: str
    about: str
    """`items`, `order`, `fresh pair`, `hand hygiene`, `place`, `seal check` or `observer`."""
    sentence: str
    """Stands alone; names the list; says no more than what is written in either."""
    deeds: tuple[Deed, ...] = ()
    """The protocol's steps that it is about, or the one after which something is not done."""
    pairs: tuple[Pair, ...] = ()
