"""States as values of numbered variables, so that sets of them can be held in parts."""

from __future__ import annotations

from collections.abc import Iterable
from typing import Any

from compiler.analysis.memory import WEARER
from compiler.analysis.parts import Store, Value, Values
from compiler.analysis.products import Product, point
from compiler.analysis.state import (
    FRESH,
    Contamination,
    ItemState,
    Owed,
    State,
    Where,
)
from compiler.analysis.transfer import next_item
from compiler.analysis.world import World
from compiler.model.kit import Kind
from compiler.model.protocol import every_step

AT_FIRST = (Contamination.CLEAN, False, Owed.NOTHING, False, False, False)
"""The wearer when a round begins: hands, cleaned, owed, handled, entered, gloves due."""


class Cells:
    """The numbering for one protocol: the wearer, items, places, questions asked again."""

    def __init__(self, world: World) -> None:
        """Numbers the variables."""
        self.world = world
        self.first_item = WEARER + 1
        self.first_place = self.first_item + len(world.items)
        self.first_question = self.first_place + len(world.places)
        asked = [
            step.fork.question
            for part in world.protocol.parts
            for step in every_step(part.steps)
            if step.fork
        ]
        again = dict.fromkeys(q for q in asked if asked.count(q) > 1)
        self.question = {q: self.first_question + k for k, q in enumerate(again)}
        self.blank = world.start()

    def start(self, store: Store) -> Product:
        """The first round begins."""
        items, places = self.world.used
        values: dict[int, Any] = {WEARER: AT_FIRST}
        values |= {self.first_item + i: FRESH for i in items}
        values |= {self.first_place + j: self.blank.places[j] for j in places}
        values |= dict.fromkeys(self.question.values(), "")
        return point(values, store)

    def variables(self, items: Iterable[int], places: Iterable[int]) -> tuple[int, ...]:
        """The wearer with some items and places."""
        return (
            WEARER,
            *sorted(self.first_item + i for i in items),
            *sorted(self.first_place + j for j in places),
        )

    def state(self, variables: tuple[int, ...], values: Values, area: str) -> State:
        """A state with these values; what is not among them is as when all begins."""
        items, places = list(self.blank.items), list(self.blank.places)
        for variable, value in zip(variables[1:], values[1:], strict=True):
            if variable < self.first_place:
                items[variable - self.first_item] = value
            else:
                places[variable - self.first_place] = value
        return State(tuple(items), tuple(places), area, *values[0])

    def values(self, variables: tuple[int, ...], state: State) -> Values:
        """The values of some variables in a state, without what nothing later can read."""
        wearer = (
            state.hands,
            state.cleaned,
            state.owed,
            state.handled,
            state.entered,
            state.gloves_due,
        )
        return (
            wearer,
            *(
                self._live(v - self.first_item, state.items[v - self.first_item])
                if v < self.first_place
                else state.places[v - self.first_place]
                for v in variables[1:]
            ),
        )

    def _live(self, index: int, item: ItemState) -> ItemState:
        """An item's state without facts that no rule and no effect reads any more."""
        row = self.world.items[index]
        checked = item.checked and row.kind is Kind.RESPIRATOR
        tallied = item.tallied and row.at_most > 0
        if item.where in {Where.READY, Where.DISCARDED, Where.SENT}:
            return FRESH._replace(where=item.where, tallied=tallied)
        return item._replace(inside=Contamination.CLEAN, checked=checked, tallied=tallied)

    def next_round(self, variable: int, value: Value) -> Value:
        """What the end of a round leaves of one variable."""
        if variable == WEARER:
            return AT_FIRST
        if variable < self.first_place:
            return next_item(self.world, variable - self.first_item, value)
        return value if variable < self.first_question else ""
