"""Sets of states as products of independent parts.

A set of states is held as a list of parts, each with some of the variables and the set of value
tuples that these can have together; the set is all combinations of one tuple from each part.
Items whose fates are independent stay in parts of their own, so that n of them cost n pairs and
not 2^n states. Nothing is approximated: parts are joined where an effect or a fork connects
them, and split again only where the product of the pieces is the same set.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass
from itertools import product
from math import prod
from typing import Any

Value = Any
Values = tuple[Value, ...]
Asked = frozenset[tuple[int, str]]
"""Questions by round whose answers made a difference."""


@dataclass(frozen=True, eq=False)
class Part:
    """Some variables, and the values that they have together."""

    variables: tuple[int, ...]
    tuples: frozenset[Values]
    asked: Asked = frozenset()
    """Questions on which it depends which tuple holds."""


class TooLargeError(Exception):
    """Parts would have to be joined into one larger than the bound."""


class Product:
    """A set of states."""

    __slots__ = ("facts", "given", "home")

    def __init__(self, home: dict[int, Part], given: Asked = frozenset()) -> None:
        """Holds the set in which each variable is in the part that `home` says."""
        self.home = home
        self.given = given
        """Questions on which it depends whether a state is in this set or one beside it."""
        self.facts: dict[object, Any] = {}
        """What others found out about this set and want to keep with it."""

    @property
    def parts(self) -> list[Part]:
        """The independent parts."""
        return list({id(part): part for part in self.home.values()}.values())

    @property
    def size(self) -> int:
        """How many states it holds."""
        return size_of(self.parts)

    def touching(self, variables: Iterable[int]) -> list[Part]:
        """The parts that have any of the variables, each once."""
        home = self.home
        return list({id(p): p for p in [home[v] for v in variables]}.values())

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
        return Product(home, self.given)

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
        where = [whole.variables.index(v) for v in variables]
        if where == list(range(len(whole.variables))):
            tuples = frozenset(change(values) for values in whole.tuples)
        else:
            tuples = frozenset(_altered(values, where, change) for values in whole.tuples)
        if len(touched) == 1 and tuples == whole.tuples:
            return self
        groups = [part.variables for part in touched]
        return self.replaced(split(Part(whole.variables, tuples, whole.asked), groups))

    def _changed_only(
        self, variables: tuple[int, ...], change: Callable[[Values], Values]
    ) -> Product:
        """The same where every value is known: nothing to join and nothing to split."""
        before = self._only(variables)
        pairs = zip(variables, before, change(before), strict=True)
        come = [Part((v,), frozenset({(new,)})) for v, old, new in pairs if old != new]
        return self.replaced(come) if come else self

    def mapped(self, one: Callable[[int, Value], Value]) -> Product:
        """The set with a function of each single value applied."""
        parts: list[Part] = []
        for part in self.parts:
            pairs = [tuple(map(one, part.variables, values)) for values in part.tuples]
            parts += split(Part(part.variables, frozenset(pairs), part.asked), [])
        return self.replaced(parts)

    def restricted(self, variable: int, allowed: Callable[[Value], bool]) -> Product | None:
        """The states in which a variable has an allowed value, or nothing if there are none."""
        part = self.home[variable]
        at = part.variables.index(variable)
        tuples = frozenset(values for values in part.tuples if allowed(values[at]))
        if tuples == part.tuples:
            return self
        if not tuples:
            return None
        return self.replaced(split(Part(part.variables, tuples, part.asked), []))

    def having(self, variables: Iterable[int], test: Callable[[Value], bool]) -> Product | None:
        """The states in which every one of some variables passes a test, if there are any."""
        wanted = set(variables)
        come: list[Part] = []
        for part in self.touching(wanted):
            where = [at for at, v in enumerate(part.variables) if v in wanted]
            tuples = frozenset(x for x in part.tuples if all(test(x[at]) for at in where))
            if not tuples:
                return None
            if tuples != part.tuples:
                come += split(Part(part.variables, tuples, part.asked), [])
        return self.replaced(come) if come else self

    def within(self, other: Product) -> bool:
        """Whether every state of this set is in the other."""
        return all(self.project(p.variables) <= p.tuples for p in other.parts)


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


def split(part: Part, groups: Iterable[tuple[int, ...]]) -> list[Part]:
    """Independent pieces whose product is the part; `groups` are worth trying first."""
    pieces: list[Part] = []
    left = part
    candidates = [*((v,) for v in part.variables), *(g for g in groups if len(g) > 1)]
    for group in candidates:
        if not set(group) < set(left.variables):
            continue
        rest = tuple(v for v in left.variables if v not in group)
        piece, other = _projected(left, group), _projected(left, rest)
        if len(piece.tuples) * len(other.tuples) == len(left.tuples):
            pieces.append(_settled(piece))
            left = other
    return [*pieces, _settled(left)]


def _settled(part: Part) -> Part:
    """What has only one value depends on no answer."""
    if len(part.tuples) == 1 and part.asked:
        return Part(part.variables, part.tuples)
    return part


def size_of(parts: Iterable[Part]) -> int:
    """How many states a product of these parts holds."""
    return prod(len(part.tuples) for part in parts)


def made_of(parts: Iterable[Part]) -> Product:
    """The product of some parts."""
    return Product({v: part for part in parts for v in part.variables})


def point(values: Mapping[int, Value]) -> Product:
    """The set of one state."""
    return made_of(Part((v,), frozenset({(value,)})) for v, value in values.items())
