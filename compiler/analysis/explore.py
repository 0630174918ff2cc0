"""Every answer to every fork, round after round, until no new state is met.

Sets of states are carried through the steps (see `parts.py`). A check is shown each combination
of values of what it looks at, once; what it finds is remembered as a hit with the round in
which it is first met and the questions on which it depends. `witness.py` then finds a way.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass, replace

from compiler.analysis.cells import Cells
from compiler.analysis.effects import Effect, effects
from compiler.analysis.parts import (
    Asked,
    Product,
    TooLargeError,
    Values,
    union,
)
from compiler.analysis.state import Where
from compiler.analysis.visits import Check, Possible, Sight, Trail, Visit
from compiler.analysis.world import World
from compiler.model.protocol import Begin, Go, Part, Phrase, Step

LIMIT = 1_000
"""Value tuples in one part. More means that too many items hang together."""
ROUNDS = 40
TOGETHER = 8
"""Products at one step that are held beside one another."""

Situations = dict[str, list[Product]]
"""Sets of states by the area in which the wearer stands."""


@dataclass(frozen=True, slots=True)
class Hit:
    """A finding of a check, before a way to it is known."""

    check: Check
    sight: Sight
    part: Part
    step: Step | None
    phrase: Phrase | None
    slug: str
    message: str
    """As told without a way; together with the place it tells hits apart."""
    round: int
    inside: tuple[tuple[str, str], ...]
    """The forks around it and the branches it is in, from the outermost."""
    asked: Asked
    """Other questions, by round, on which it depends whether it is met."""


class TooManyStatesError(Exception):
    """More states hang together than the analysis holds; carries where it gave up."""

    def __init__(self, part: Part, step: Step | None) -> None:
        """Remembers the place."""
        super().__init__(part, step)
        self.part, self.step = part, step


class Exploration:
    """Walks one protocol with sets of states."""

    def __init__(self, world: World, checks: Mapping[type, list[Check]]) -> None:
        """Prepares a walk; `checks` are those for each kind of phrase."""
        self.world = world
        self.checks = checks
        self.cells = Cells(world)
        self.hits: dict[tuple[object, ...], Hit] = {}
        self.round = 0
        self._inside: list[tuple[str, str]] = []
        self._changes: dict[tuple[object, ...], dict[Values, Values]] = {}
        self._seen: dict[tuple[object, ...], set[Values]] = {}
        self._blank = Trail(None, self.cells.blank, None, None)

    def run(self) -> list[Hit]:
        """Walks until rounds bring nothing new.

        Raises:
            TooManyStatesError: when more states hang together than the bound; `hits` then has
                what was found before.
        """
        waiting = [self.cells.start()]
        known = list(waiting)
        while waiting and self.round < ROUNDS:
            self.round += 1
            ended = self._round({"": waiting})
            waiting = []
            for product in (p for products in ended.values() for p in products):
                following = product.mapped(self.cells.next_round)
                if not any(following.within(p) for p in known):
                    known.append(following)
                    waiting.append(following)
            waiting = _united(waiting, frozenset())
        return list(self.hits.values())

    def _round(self, reached: Situations) -> Situations:
        for part in self.world.protocol.parts:
            reached = self._phrase(reached, part, None, part.begin)
            reached = self._steps(reached, part, part.steps)
            self._look(reached, part, None, None)
        return reached

    def _steps(self, reached: Situations, part: Part, steps: tuple[Step, ...]) -> Situations:
        for step in steps:
            for phrase in step.phrases:
                reached = self._phrase(reached, part, step, phrase)
            if step.fork:
                reached = self._fork(reached, part, step)
            if sum(len(products) for products in reached.values()) > TOGETHER:
                raise TooManyStatesError(part, step)
        return reached

    def _fork(self, reached: Situations, part: Part, step: Step) -> Situations:
        assert step.fork
        question = step.fork.question
        joined: Situations = {}
        for branch in step.fork.branches:
            entering = {
                area: list(self._answering(products, question, branch.answer))
                for area, products in reached.items()
            }
            self._inside.append((question, branch.answer))
            for area, products in self._steps(entering, part, branch.steps).items():
                joined.setdefault(area, []).extend(products)
            self._inside.pop()
        asked: Asked = frozenset({(self.round, question)})
        if sum(bool(products) for products in joined.values()) > 1:
            joined = {
                area: [replace(p, given=p.given | asked) for p in products]
                for area, products in joined.items()
            }
        return {a: _united(products, asked) for a, products in joined.items() if products}

    def _answering(
        self, products: list[Product], question: str, answer: str
    ) -> Iterator[Product]:
        """The states that can give this answer, after giving it."""
        variable = self.cells.question.get(question)
        for product in products:
            if variable is None:
                yield product
            elif narrowed := product.restricted(variable, lambda given: given in ("", answer)):
                yield narrowed.changed((variable,), lambda _: (answer,), LIMIT)

    def _phrase(
        self, reached: Situations, part: Part, step: Step | None, phrase: Phrase
    ) -> Situations:
        self._look(reached, part, step, phrase)
        onward: Situations = {}
        for area, products in reached.items():
            new_area = self._area_after(area, phrase)
            for product in products:
                for number, effect in enumerate(effects(self.world, phrase)):
                    try:
                        product = self._changed(product, effect, (id(phrase), number, area))
                    except TooLargeError:
                        raise TooManyStatesError(part, step) from None
                onward.setdefault(new_area, []).append(product)
        if len(onward) < len(reached):
            onward = {a: _united(products, frozenset()) for a, products in onward.items()}
        return onward

    def _area_after(self, area: str, phrase: Phrase) -> str:
        moves = isinstance(phrase, Begin | Go) and phrase.area in self.world.clinic.areas
        return phrase.area if moves and isinstance(phrase, Begin | Go) else area

    def _changed(self, product: Product, effect: Effect, key: tuple[int, int, str]) -> Product:
        area = key[2]
        items = effect.items | self._gloves(product) if effect.hands else effect.items
        variables = self.cells.variables(items, effect.places)
        known = self._changes.setdefault((*key, variables), {})

        def change(values: Values) -> Values:
            if values not in known:
                state = effect.apply(self.world, self.cells.state(variables, values, area))
                known[values] = self.cells.values(variables, state)
            return known[values]

        return product.changed(variables, change, LIMIT)

    def _look(
        self, reached: Situations, part: Part, step: Step | None, phrase: Phrase | None
    ) -> None:
        checks = self.checks.get(type(phrase), ())
        for area, products in reached.items():
            for product in products:
                possible = self._possible(product)
                for check in checks:
                    for sight in check.sights(self.world, phrase, possible):
                        try:
                            self._see(product, area, check, sight, (part, step, phrase))
                        except TooLargeError:
                            raise TooManyStatesError(part, step) from None

    def _see(
        self,
        product: Product,
        area: str,
        check: Check,
        sight: Sight,
        where: tuple[Part, Step | None, Phrase | None],
    ) -> None:
        part, step, phrase = where
        items = sight.items | self._gloves(product) if check.hands else sight.items
        variables = self.cells.variables(items, sight.places)
        key = (check, sight, id(phrase) if phrase else id(part), area, variables)
        seen = self._seen.setdefault(key, set())
        bare = self._without(product, sight)
        if bare is None:
            return
        for values in bare.project(variables, LIMIT) - seen:
            seen.add(values)
            state = self.cells.state(variables, values, area)
            visit = Visit(self.world, part, step, phrase, state, self._blank)
            for finding in check.look(visit):
                told = (finding.rule.slug, finding.message)
                self._hit(product, variables, (check, sight), visit, told)

    def _without(self, product: Product, sight: Sight) -> Product | None:
        """The states of a set in which none of the items is worn that must not be."""
        if not sight.unworn:
            return product
        unworn = (self.cells.first_item + i for i in sight.unworn)
        return product.having(unworn, lambda item: item.where is not Where.WORN)

    def _hit(
        self,
        product: Product,
        variables: tuple[int, ...],
        seen: tuple[Check, Sight],
        visit: Visit,
        told: tuple[str, str],
    ) -> None:
        key = (*told, id(visit.phrase) if visit.phrase else id(visit.part))
        if key in self.hits:
            return
        concerned = (*variables, *(self.cells.first_item + i for i in seen[1].unworn))
        asked = product.given.union(*(p.asked for p in product.touching(concerned)))
        self.hits[key] = Hit(
            *seen,
            visit.part,
            visit.step,
            visit.phrase,
            *told,
            self.round,
            tuple(self._inside),
            asked,
        )

    def _gloves(self, product: Product) -> frozenset[int]:
        """Gloves that may be worn: others need not be held together with the hand."""
        found = set()
        for part in product.touching(self.cells.first_item + i for i in self.world.gloves):
            for index, wheres in self.cells.possible(part):
                if index in self.world.gloves and Where.WORN in wheres:
                    found.add(index)
        return frozenset(found)

    def _possible(self, product: Product) -> Possible:
        """Which items may be worn, in the hand or kept, in some state of the set."""
        found: dict[Where, set[int]] = {where: set() for where in Where}
        for part in product.parts:
            for index, wheres in self.cells.possible(part):
                for where in wheres:
                    found[where].add(index)
        return {where: frozenset(items) for where, items in found.items()}


def _united(products: Iterable[Product], asked: Asked) -> list[Product]:
    """The same states in as few products as can be had exactly."""
    united: list[Product] = []
    for product in products:
        for at, other in enumerate(united):
            both = union(other, product, asked, LIMIT)
            if len(both) == 1:
                united[at] = both[0]
                break
        else:
            united.append(product)
    return united
