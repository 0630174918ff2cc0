"""Every answer to every fork, round after round, until no new state is met.

Sets of states are carried through the steps (see `products.py`). A check is shown each
combination of values of what it looks at, once; what it finds is remembered as a hit with the
round in which it is first met and the questions on which it depends. `witness.py` then finds a
way.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping

from compiler.analysis.cells import Cells
from compiler.analysis.hits import Hit, TooManyStatesError
from compiler.analysis.looking import Lookout, Spot, is_fine
from compiler.analysis.memory import Deed, Memory
from compiler.analysis.parts import NOTHING, Asked, TooLargeError
from compiler.analysis.products import Product
from compiler.analysis.turns import LIMIT, after, next_round
from compiler.analysis.unions import union
from compiler.analysis.visits import Check
from compiler.analysis.world import World
from compiler.model.protocol import Begin, Go, Part, Phrase, Step

ROUNDS = 40
MOVES = (Begin, Go)
"""Phrases after which the wearer is elsewhere."""
TOGETHER = 8
"""Products at one step that are held beside one another."""
EFFORT = 50_000
"""Value tuples of large parts that are changed, all in all: some seconds."""

Situations = dict[str, list[Product]]
"""Sets of states by the area in which the wearer stands."""


class Exploration:
    """Walks one protocol with sets of states."""

    def __init__(
        self, world: World, checks: Mapping[type, list[Check]], memory: Memory | None = None
    ) -> None:
        """Prepares a walk.

        Args:
            world: The protocol.
            checks: Those for each kind of phrase.
            memory: What is remembered from other protocols with the same setting and checks.
        """
        self.world = world
        self.cells = Cells(world)
        self.memory = memory or Memory(world.setting)
        self.memory.settle()
        self.lookout = Lookout(self.cells, self.memory, checks)
        self.round = 0
        self._most = self.memory.store.effort + EFFORT
        self._inside: tuple[tuple[str, str], ...] = ()
        self._same = self.memory.deeds(world.protocol)
        self._deeds: dict[int, Deed] = {}
        self._walked: dict[tuple[int, str], list[Product]] = {}
        """Sets met before a step that is in no fork, by step and area, in all rounds."""

    @property
    def hits(self) -> list[Hit]:
        """What was found so far."""
        return list(self.lookout.hits.values())

    def run(self) -> list[Hit]:
        """Walks until rounds bring nothing new.

        Raises:
            TooManyStatesError: when more states hang together than the bound; `hits` then has
                what was found before.
        """
        waiting = [self.cells.start(self.memory.store)]
        known = list(waiting)
        while waiting and self.round < ROUNDS:
            self.round += 1
            ended = self._round({"": waiting})
            waiting = []
            for product in (p for products in ended.values() for p in products):
                following = next_round(self.cells, self.memory, product)
                if not any(following.within(p) for p in known):
                    known.append(following)
                    waiting.append(following)
            waiting = _united(waiting, NOTHING)
        return self.hits

    def _round(self, reached: Situations) -> Situations:
        for part in self.world.protocol.parts:
            reached = self._phrase(reached, part, None, part.begin)
            reached = self._steps(reached, part, part.steps)
            if not reached:
                break
            self._look(reached, part, None, None)
        return reached

    def _steps(self, reached: Situations, part: Part, steps: tuple[Step, ...]) -> Situations:
        for step in steps:
            if not self._inside:
                reached = self._not_walked(reached, step)
            if not reached:
                break
            for phrase in step.phrases:
                reached = self._phrase(reached, part, step, phrase)
            if step.fork:
                reached = self._fork(reached, part, step)
                if sum(map(len, reached.values())) > TOGETHER:
                    raise TooManyStatesError(part, step)
        return reached

    def _not_walked(self, reached: Situations, step: Step) -> Situations:
        """What is reached without the sets from which the rest of a round was walked before.

        Later rounds soon meet these again: what was kept is on, as clean as a fresh one.
        """
        fresh: Situations = {}
        for area, products in reached.items():
            walked = self._walked.setdefault((id(step), area), [])
            new = [p for p in products if not any(map(p.holds_the_same, walked))]
            walked += new
            if new:
                fresh[area] = new
        return fresh

    def _fork(self, reached: Situations, part: Part, step: Step) -> Situations:
        assert step.fork
        question = step.fork.question
        joined: Situations = {}
        for branch in step.fork.branches:
            entering = {
                area: list(self._answering(products, question, branch.answer))
                for area, products in reached.items()
            }
            outside = self._inside
            self._inside = (*outside, (question, branch.answer))
            for area, products in self._steps(entering, part, branch.steps).items():
                joined.setdefault(area, []).extend(products)
            self._inside = outside
        asked: Asked = frozenset({(self.round, question)})
        if sum(bool(products) for products in joined.values()) > 1:
            joined = {
                area: [Product(p.home, p.store, p.given | asked) for p in products]
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
        deed = self._look(reached, part, step, phrase)
        arriving = deed.arriving
        if arriving is None:
            arriving = deed.arriving = self._arriving(phrase)
        onward: Situations = {}
        try:
            for area, products in reached.items():
                done = [after(self.cells, p, deed, area, phrase) for p in products]
                onward.setdefault(arriving or area, []).extend(done)
        except TooLargeError:
            raise TooManyStatesError(part, step) from None
        if self.memory.store.effort > self._most:
            raise TooManyStatesError(part, step)
        if len(onward) == len(reached):
            return onward
        return _alone({a: _united(products, NOTHING) for a, products in onward.items()})

    def _arriving(self, phrase: Phrase) -> str:
        """The area where the wearer is afterwards; nothing for the same as before."""
        moves = isinstance(phrase, MOVES) and phrase.area in self.world.clinic.areas
        return phrase.area if moves and isinstance(phrase, MOVES) else ""

    def _look(
        self, reached: Situations, part: Part, step: Step | None, phrase: Phrase | None
    ) -> Deed:
        """Shows what is reached to the checks; gives what is remembered of the phrase."""
        deed = self._deed(part, phrase)
        try:
            for area, products in reached.items():
                for product in products:
                    if not is_fine(product, deed, area):
                        spot = Spot(part, step, phrase, area, self.round, self._inside)
                        self.lookout.look(product, deed, spot)
        except TooLargeError:
            raise TooManyStatesError(part, step) from None
        return deed

    def _deed(self, part: Part, phrase: Phrase | None) -> Deed:
        key = id(phrase or part)
        known = self._deeds.get(key)
        if known is None:
            last = part is self.world.protocol.parts[-1]
            known = self._deeds[key] = Memory.deed(self._same, self.world, phrase, last=last)
        return known


def _alone(reached: Situations) -> Situations:
    """A set that has no other beside it depends on no answer as a whole."""
    if len(reached) != 1 or not all(len(p) == 1 and p[0].given for p in reached.values()):
        return reached
    return {
        area: [Product(p.home, p.store) for p in products] for area, products in reached.items()
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
