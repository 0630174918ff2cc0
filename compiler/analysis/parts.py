"""Sets of states as products of independent parts.

A set of states is held as a list of parts, each with some of the variables and the set of value
tuples that these can have together; the set is all combinations of one tuple from each part.
Items whose fates are independent stay in parts of their own, so that n of them cost n pairs and
not 2^n states. Nothing is approximated: parts are joined where an effect or a fork connects
them, and split again only where the product of the pieces is the same set.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable, Iterable, Mapping
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
            piece, other = _projected(left, group), _projected(left, rest)
            if len(piece.tuples) * len(other.tuples) == len(left.tuples):
                pieces.append(self.part(piece))
                left = other
        return [*pieces, self.part(left)]

    def point(self, values: Mapping[int, Value]) -> Product:
        """The set of one state."""
        return Product({v: self.single(v, value) for v, value in values.items()}, self)


class Product:
    """A set of states."""

    __slots__ = ("_marks", "given", "home", "store")

    def __init__(self, home: dict[int, Part], store: Store, given: Asked = NOTHING) -> None:
        """Holds the set in which each variable is in the part that `home` says."""
        self.home = home
        self.store = store
        self.given = given
        """Questions on which it depends whether a state is in this set or one beside it."""
        self._marks = -1

    @property
    def marks(self) -> int:
        """The marks of all parts together."""
        if self._marks < 0:
            marks = 0
            for part in self.home.values():
                marks |= part.marks
            self._marks = marks
        return self._marks

    @property
    def parts(self) -> list[Part]:
        """The independent parts."""
        return list(dict.fromkeys(self.home.values()))

    @property
    def size(self) -> int:
        """How many states it holds."""
        return size_of(self.parts)

    def touching(self, variables: Iterable[int]) -> list[Part]:
        """The parts that have any of the variables, each once."""
        home = self.home
        return list(dict.fromkeys([home[v] for v in variables]))

    def project(self, variables: tuple[int, ...], limit: int | None = None) -> set[Values]:
        """The values that some variables have together.

        Raises:
            TooLargeError: when there are more than the limit.
        """
        pieces = self.touching(variables)
        if all(len(part.tuples) == 1 for part in pieces):
            return {self._only(variables)}
        pieces = [_projected(part, variables) for part in pieces]
        if limit is not None and size_of(pieces) > limit:
            raise TooLargeError
        return set(joint(pieces, variables))

    def _only(self, variables: tuple[int, ...]) -> Values:
        """The values of variables that have one each; such variables have their own parts."""
        home = self.home
        return tuple([next(iter(home[v].tuples))[0] for v in variables])

    def replaced(self, come: Iterable[Part]) -> Product:
        """The same set with the parts of some variables replaced."""
        home = self.home.copy()
        for part in come:
            for variable in part.variables:
                home[variable] = part
        return Product(home, self.store, self.given)

    def changed(
        self, variables: tuple[int, ...], change: Callable[[Values], Values], limit: int
    ) -> Product:
        """The set after each state's values of some variables have been changed.

        Raises:
            TooLargeError: when the parts concerned are larger together than the limit.
        """
        touched = self.touching(variables)
        if all(len(part.tuples) == 1 for part in touched):
            return self._changed_only(variables, change)
        if size_of(touched) > limit:
            raise TooLargeError
        whole = merged(touched)
        if len(whole.tuples) > SHARED:
            self.store.effort += len(whole.tuples)
        where = [whole.variables.index(v) for v in variables]
        if where == list(range(len(whole.variables))):
            tuples = frozenset([change(values) for values in whole.tuples])
        else:
            tuples = frozenset([_altered(values, where, change) for values in whole.tuples])
        if len(touched) == 1 and tuples == whole.tuples:
            return self
        groups = [part.variables for part in touched]
        come = self.store.split(Part(whole.variables, tuples, whole.asked), groups)
        return self.replaced(come)

    def _changed_only(
        self, variables: tuple[int, ...], change: Callable[[Values], Values]
    ) -> Product:
        """The same where every value is known: nothing to join and nothing to split."""
        before = self._only(variables)
        pairs = zip(variables, before, change(before), strict=True)
        come = [self.store.single(v, new) for v, old, new in pairs if old != new]
        return self.replaced(come) if come else self

    def restricted(self, variable: int, allowed: Callable[[Value], bool]) -> Product | None:
        """The states in which a variable has an allowed value, or nothing if there are none."""
        return self.having((variable,), allowed)

    def having(self, variables: Iterable[int], test: Callable[[Value], bool]) -> Product | None:
        """The states in which every one of some variables passes a test, if there are any."""
        wanted = set(variables)
        come: list[Part] = []
        for part in self.touching(wanted):
            where = [at for at, v in enumerate(part.variables) if v in wanted]
            tuples = frozenset([x for x in part.tuples if all(test(x[at]) for at in where)])
            if not tuples:
                return None
            if len(tuples) != len(part.tuples):
                come += self.store.split(Part(part.variables, tuples, part.asked))
        return self.replaced(come) if come else self

    def within(self, other: Product) -> bool:
        """Whether every state of this set is in the other."""
        home = self.home
        differing = [p for p in other.parts if home[p.variables[0]] is not p]
        return all(self.project(p.variables) <= p.tuples for p in differing)


def _altered(values: Values, where: list[int], change: Callable[[Values], Values]) -> Values:
    altered = list(values)
    for at, value in zip(where, change(tuple(values[at] for at in where)), strict=True):
        altered[at] = value
    return tuple(altered)


def _projected(part: Part, variables: Iterable[int]) -> Part:
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


def shared(parts: Iterable[Part]) -> bool:
    """Whether all of some parts are shared."""
    return all(part.shared for part in parts)
