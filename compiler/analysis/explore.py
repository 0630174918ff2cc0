"""Every answer to every fork, round after round, until no new state is met.

Sets of states are carried through the steps (see `parts.py`). A check is shown each combination
of values of what it looks at, once; what it finds is remembered as a hit with the round in
which it is first met and the questions on which it depends. `witness.py` then finds a way.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping

from compiler.analysis.cells import Cells
from compiler.analysis.effects import Effect, effects
from compiler.analysis.hits import Glance, Hit, TooManyStatesError
from compiler.analysis.parts import (
    Asked,
    Product,
    TooLargeError,
    Values,
)
from compiler.analysis.state import ItemState, Where
from compiler.analysis.unions import union
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
        self._known_glances: dict[tuple[object, ...], list[Glance]] = {}
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
                area: [Product(p.home, p.given | asked) for p in products]
                for area, products in joined.items()
            }
        united = {area: _united(products, asked) for area, products in joined.items()}
        return _alone({area: products for area, products in united.items() if products})

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
        return _alone(onward)

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
        for area, products in reached.items():
            for product in products:
                for glance in self._glances(product, phrase):
                    try:
                        self._see(product, area, glance, (part, step, phrase))
                    except TooLargeError:
                        raise TooManyStatesError(part, step) from None

    def _glances(self, product: Product, phrase: Phrase | None) -> list[Glance]:
        """All looks at a phrase, those that take in the same together."""
        possible, gloves = self._possible(product), self._gloves(product)
        key = (id(phrase), possible[Where.WORN], possible[Where.HAND], possible[Where.KEPT])
        if key not in self._known_glances:
            glances: dict[tuple[object, ...], Glance] = {}
            for check in self.checks.get(type(phrase), ()):
                for sight in check.sights(self.world, phrase, possible):
                    items = sight.items | gloves if check.hands else sight.items
                    variables = self.cells.variables(items, sight.places)
                    unworn = tuple(self.cells.first_item + i for i in sorted(sight.unworn))
                    glance = glances.setdefault(
                        (variables, unworn), Glance(variables, unworn, [])
                    )
                    glance.checks.append((check, sight))
            self._known_glances[key] = list(glances.values())
        return self._known_glances[key]

    def _see(
        self,
        product: Product,
        area: str,
        glance: Glance,
        where: tuple[Part, Step | None, Phrase | None],
    ) -> None:
        part, step, phrase = where
        here = id(phrase) if phrase else id(part)
        seen = self._seen.setdefault((here, area, glance.variables, glance.unworn), set())
        narrowed: Product | None = product
        if glance.unworn:
            narrowed = product.having(glance.unworn, _is_not_worn)
        if narrowed is None:
            return
        for values in narrowed.project(glance.variables, LIMIT) - seen:
            seen.add(values)
            state = self.cells.state(glance.variables, values, area)
            visit = Visit(self.world, part, step, phrase, state, self._blank)
            for check, sight in glance.checks:
                for finding in check.look(visit):
                    told = (finding.rule.slug, finding.message)
                    self._hit(product, glance, (check, sight), visit, told)

    def _hit(
        self,
        product: Product,
        glance: Glance,
        seen: tuple[Check, Sight],
        visit: Visit,
        told: tuple[str, str],
    ) -> None:
        key = (*told, id(visit.phrase) if visit.phrase else id(visit.part))
        if key in self.hits:
            return
        concerned = product.touching((*glance.variables, *glance.unworn))
        asked = product.given.union(*(p.asked for p in concerned))
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
        return self._possible(product)[Where.WORN] & self.world.gloves

    def _possible(self, product: Product) -> Possible:
        """Which items may be worn, in the hand or kept, in some state of the set."""
        known: Possible | None = product.facts.get("possible")
        if known is None:
            found: dict[Where, set[int]] = {where: set() for where in Where}
            for variable in range(self.cells.first_item, self.cells.first_place):
                for where in self.cells.possible(product.home[variable], variable):
                    found[where].add(variable - self.cells.first_item)
            known = {where: frozenset(items) for where, items in found.items()}
            product.facts["possible"] = known
        return known


def _is_not_worn(item: ItemState) -> bool:
    return item.where is not Where.WORN


def _alone(reached: Situations) -> Situations:
    """A set that has no other beside it depends on no answer as a whole."""
    if sum(map(len, reached.values())) != 1:
        return reached
    return {
        area: [Product(p.home) if p.given else p for p in products]
        for area, products in reached.items()
    }


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
