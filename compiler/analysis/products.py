"""Sets of states as products of independent parts, and what can be done with a set."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping

from compiler.analysis.parts import (
    NOTHING,
    SHARED,
    Asked,
    Part,
    Store,
    TooLargeError,
    Value,
    Values,
    joint,
    marks_of,
    merged,
    projected,
    size_of,
)


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
            self._marks = marks_of(self.home.values())
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
        pieces = [projected(part, variables) for part in pieces]
        if limit is not None and size_of(pieces) > limit:
            raise TooLargeError
        return set(joint(pieces, variables))

    def _only(self, variables: tuple[int, ...]) -> Values:
        """The values of variables that have one each; such variables have their own parts."""
        home = self.home
        return tuple([next(iter(home[v].tuples))[0] for v in variables])

    def replaced(self, come: Iterable[Part], *, marked_alike: bool = False) -> Product:
        """The same set with the parts of some variables replaced.

        Args:
            come: The new parts.
            marked_alike: Whether they are known to have the marks of those that they replace.
        """
        home = self.home.copy()
        for part in come:
            for variable in part.variables:
                home[variable] = part
        replaced = Product(home, self.store, self.given)
        if marked_alike:
            replaced._marks = self._marks
        return replaced

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

    def holds_the_same(self, other: Product) -> bool:
        """Whether it is the same set in the same parts, whatever it depends on."""
        home = other.home
        return all(
            part is home[v]
            or (part.variables == home[v].variables and part.tuples == home[v].tuples)
            for v, part in self.home.items()
        )

    def within(self, other: Product) -> bool:
        """Whether every state of this set is in the other."""
        home = self.home
        differing = [p for p in other.parts if home[p.variables[0]] is not p]
        return all(self.project(p.variables) <= p.tuples for p in differing)


def point(values: Mapping[int, Value], store: Store) -> Product:
    """The set of one state."""
    return Product({v: store.single(v, value) for v, value in values.items()}, store)


def _altered(values: Values, where: list[int], change: Callable[[Values], Values]) -> Values:
    altered = list(values)
    for at, value in zip(where, change(tuple(values[at] for at in where)), strict=True):
        altered[at] = value
    return tuple(altered)
