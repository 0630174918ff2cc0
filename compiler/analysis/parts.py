"""The parts of which sets of states are products; see `products.py` for the sets.

A set of states is held as a list of parts, each with some of the variables and the set of value
tuples that these can have together; the set is all combinations of one tuple from each part.
Items whose fates are independent stay in parts of their own, so that n of them cost n pairs and
not 2^n states. Nothing is approximated: parts are joined where an effect or a fork connects
them, and split again only where the product of the pieces is the same set.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable, Iterable
from dataclasses import dataclass
from itertools import product
from math import prod
from typing import Any

Value = Any
Values = tuple[Value, ...]
Asked = frozenset[tuple[int, str]]
"""Questions by round whose answers made a difference."""
NOTHING: Asked = frozenset()
SHARED = 32
"""Tuples of the largest part that is made once and then shared."""


@dataclass(frozen=True, slots=True, eq=False)
class Part:
    """Some variables, and the values that they have together."""

    variables: tuple[int, ...]
    tuples: frozenset[Values]
    asked: Asked = NOTHING
    """Questions on which it depends which tuple holds."""
    marks: int = 0
    """What the store marks these values with, as bits."""
    shared: bool = False
    """Whether the store has no other part that is equal to this one."""


class TooLargeError(Exception):
    """Parts would have to be joined into one larger than the bound."""


class Store:
    """Makes parts: small ones that are equal are one and the same, so that they can be keys."""

    def __init__(self, marks: Callable[[int, Iterable[Value]], int]) -> None:
        """Starts empty; `marks` gives bits for a variable that has one of some values."""
        self._marks = marks
        self._known: dict[tuple[object, ...], Part] = {}
        self.effort = 0
        """Value tuples of large parts that were changed so far."""

    def __len__(self) -> int:
        """How many parts are shared."""
        return len(self._known)

    def single(self, variable: int, value: Value) -> Part:
        """A variable with one value."""
        key = (variable, value)
        known = self._known.get(key)
        if known is None:
            tuples = frozenset({(value,)})
            marks = self._marks(variable, (value,))
            known = self._known[key] = Part((variable,), tuples, NOTHING, marks, True)
        return known

    def part(self, like: Part) -> Part:
        """A part equal to one that was not made here; one value depends on no answer."""
        variables, tuples = like.variables, like.tuples
        if len(tuples) == 1 and len(variables) == 1:
            return self.single(variables[0], next(iter(tuples))[0])
        if len(tuples) > SHARED:
            return Part(variables, tuples, like.asked, self._marked(like))
        asked = like.asked if len(tuples) > 1 else NOTHING
        key = (variables, tuples, asked)
        known = self._known.get(key)
        if known is None:
            marks = self._marked(like)
            known = self._known[key] = Part(variables, tuples, asked, marks, True)
        return known

    def _marked(self, part: Part) -> int:
        marks = 0
        for variable, values in zip(
            part.variables, zip(*part.tuples, strict=True), strict=True
        ):
            marks |= self._marks(variable, values)
        return marks

    def split(self, part: Part, groups: Iterable[tuple[int, ...]] = ()) -> list[Part]:
        """Independent pieces whose product is the part; `groups` are worth trying first."""
        pieces: list[Part] = []
        left = part
        candidates = [*((v,) for v in part.variables), *(g for g in groups if len(g) > 1)]
        for group in candidates:
            if not set(group) < set(left.variables):
                continue
            if len(group) == 1 and not _even(left, group[0]):
                continue
            rest = tuple([v for v in left.variables if v not in group])
            piece, other = projected(left, group), projected(left, rest)
            if len(piece.tuples) * len(other.tuples) == len(left.tuples):
                pieces.append(self.part(piece))
                left = other
        return [*pieces, self.part(left)]


def projected(part: Part, variables: Iterable[int]) -> Part:
    """What a part says of some variables; the same part where it has no others."""
    if len(part.variables) == 1:
        return part
    wanted = tuple(v for v in variables if v in part.variables)
    if len(wanted) == len(part.variables):
        return part
    where = [part.variables.index(v) for v in wanted]
    tuples = frozenset(tuple(values[at] for at in where) for values in part.tuples)
    return Part(wanted, tuples, part.asked)


def _even(part: Part, variable: int) -> bool:
    """Whether each value of a variable comes as often: else it is not independent."""
    at = part.variables.index(variable)
    return len(set(Counter([values[at] for values in part.tuples]).values())) == 1


def joint(parts: list[Part], variables: tuple[int, ...]) -> Iterable[Values]:
    """All combinations of the parts' tuples, in the order of `variables`."""
    order = [v for part in parts for v in part.variables]
    if len(parts) == 1 and order == [*variables]:
        yield from parts[0].tuples
        return
    where = [order.index(v) for v in variables]
    for chosen in product(*(part.tuples for part in parts)):
        flat = [value for values in chosen for value in values]
        yield tuple(flat[at] for at in where)


def merged(parts: list[Part]) -> Part:
    """One part for several; it holds the same states."""
    if len(parts) == 1:
        return parts[0]
    variables = tuple(sorted(v for part in parts for v in part.variables))
    asked = frozenset().union(*(part.asked for part in parts))
    return Part(variables, frozenset(joint(parts, variables)), asked)


def size_of(parts: Iterable[Part]) -> int:
    """How many states a product of these parts holds."""
    return prod(len(part.tuples) for part in parts)


def marks_of(parts: Iterable[Part]) -> int:
    """The marks of some parts together."""
    marks = 0
    for part in parts:
        marks |= part.marks
    return marks


def shared(parts: Iterable[Part]) -> bool:
    """Whether all of some parts are shared."""
    return all(part.shared for part in parts)
