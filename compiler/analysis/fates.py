"""How items end a round, over every answer and every round, by the answers that matter."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from typing import NamedTuple

from compiler.analysis.cells import Cells
from compiler.analysis.explore import Exploration, Situations
from compiler.analysis.products import Product
from compiler.analysis.state import Contamination, ItemState, Where
from compiler.analysis.turns import LIMIT
from compiler.analysis.world import World
from compiler.model.protocol import every_step


class End(NamedTuple):
    """How one item ends a round."""

    where: Where
    place: int
    """The place it is kept at, as an index, or -1."""
    outside: Contamination
    """How clean it is when it is kept; what is gone counts as clean."""


Ends = dict[End, int]
"""Possible ends, each with the first round that can end so."""
Table = dict[tuple[str, ...], Ends]
"""The possible ends by the answers to some questions; "" where a question does not come up."""


@dataclass(frozen=True, slots=True)
class Fate:
    """How one item ends a round, on every way."""

    item: int
    questions: tuple[str, ...]
    """Those of the same round on whose answers it depends, in reading order."""
    table: Table
    """In the order of the answers."""


class _Remembering(Cells):
    """Cells with a variable for every question: no answer of a round is forgotten."""

    def __init__(self, world: World) -> None:
        """Numbers the questions in reading order."""
        super().__init__(world)
        self.question = {q: self.first_question + k for k, q in enumerate(choices(world))}


def choices(world: World) -> dict[str, tuple[str, ...]]:
    """Every question in reading order, with its answers."""
    found: dict[str, dict[str, None]] = {}
    for part in world.protocol.parts:
        for step in every_step(part.steps):
            if step.fork:
                known = found.setdefault(step.fork.question, {})
                known.update(dict.fromkeys(b.answer for b in step.fork.branches))
    return {question: tuple(answers) for question, answers in found.items()}


class _Watching(Exploration):
    """An exploration without checks that keeps the sets with which rounds end."""

    def __init__(self, world: World, *, by_answers: bool) -> None:
        """Prepares a walk."""
        super().__init__(world, {})
        self.by_answers = by_answers
        if by_answers:
            self.cells = _Remembering(world)
        self.ends: list[list[Product]] = []

    def _round(self, reached: Situations) -> Situations:
        ended = super()._round(reached)
        self.ends.append([p for products in ended.values() for p in products])
        return ended


def fates(world: World, items: Iterable[int], *, by_answers: bool = True) -> list[Fate]:
    """The fate of each item, exactly.

    Args:
        world: The protocol.
        items: Indexes of items.
        by_answers: Whether to tell answers apart; without, each fate has a single row, which
            costs no more than checking does.

    Raises:
        TooManyStatesError: when more states hang together than can be held.
        TooLargeError: likewise.
    """
    watching = _Watching(world, by_answers=by_answers)
    watching.run()
    return [_fate(watching, item) for item in items]


def _fate(watching: _Watching, item: int) -> Fate:
    cells = watching.cells
    variable = cells.first_item + item
    names = {v: q for q, v in cells.question.items()} if watching.by_answers else {}
    wanted = sorted(
        set().union(*(_bearing(products, variable, names) for products in watching.ends))
    )
    table: Table = {}
    for number, products in enumerate(watching.ends, 1):
        for product in products:
            for value, *answers in product.project((variable, *wanted), LIMIT):
                table.setdefault(tuple(answers), {}).setdefault(end_of(value), number)
    questions, table = _needed(tuple(names[v] for v in wanted), table)
    answers_of = choices(watching.world)
    orders = [(*answers_of[question], "") for question in questions]

    def place(key: tuple[str, ...]) -> list[int]:
        return [order.index(answer) for order, answer in zip(orders, key, strict=True)]

    return Fate(item, questions, {key: table[key] for key in sorted(table, key=place)})


def end_of(item: ItemState) -> End:
    """How an item in this state ends a round."""
    kept = item.where is Where.KEPT
    return End(item.where, item.place, item.outside if kept else Contamination.CLEAN)


def _bearing(products: list[Product], variable: int, names: dict[int, str]) -> set[int]:
    """Questions held together with the item, or by which the sets of one round differ."""
    wanted: set[int] = set()
    for product in products:
        wanted.update(v for v in product.home[variable].variables if v in names)
        for part in product.touching(names):
            group = tuple(v for v in part.variables if v in names)
            held = [other.project(group, LIMIT) for other in products]
            if any(values != held[0] for values in held):
                wanted.update(group)
    return wanted


def _needed(questions: tuple[str, ...], table: Table) -> tuple[tuple[str, ...], Table]:
    """The table without questions that make no difference; inner ones are tried first."""
    for at in reversed(range(len(questions))):
        smaller = _dropped(table, at)
        if smaller is not None:
            table = smaller
            questions = (*questions[:at], *questions[at + 1 :])
    return questions, table


def _dropped(table: Table, at: int) -> Table | None:
    """The table without the question at that place, or nothing if it matters.

    It may go only where all its answers come up with the same others: the answer without which
    another question does not come up has to be told, though that other would give it away.
    """
    every = {key[at] for key in table} - {""}
    met: dict[tuple[str, ...], set[str]] = {}
    smaller: Table = {}
    for key, ends in table.items():
        rest = (*key[:at], *key[at + 1 :])
        if smaller.setdefault(rest, ends) != ends:
            return None
        met.setdefault(rest, set()).add(key[at])
    whole = all(answers - {""} in (every, set()) for answers in met.values())
    constant = all(ends == next(iter(table.values())) for ends in table.values())
    return smaller if whole or constant else None


Row = tuple[tuple[tuple[str, tuple[str, ...]], ...], Ends]
"""Questions with the answers that lead to these ends."""


def rows(fate: Fate) -> list[Row]:
    """The table with rows that say the same told as one, in the order of the answers."""
    return list(_rows(fate.questions, fate.table))


def _rows(questions: tuple[str, ...], table: Table) -> Iterator[Row]:
    if not questions:
        yield from (((), ends) for ends in table.values())
        return
    below: dict[str, Table] = {}
    for key, ends in table.items():
        below.setdefault(key[0], {})[key[1:]] = ends
    alike: list[tuple[list[str], list[Row]]] = []
    for answer, rest in below.items():
        found = list(_rows(questions[1:], rest))
        same = next((answers for answers, other in alike if other == found), None)
        if same is None:
            alike.append(([answer], found))
        else:
            same.append(answer)
    for answers, found in alike:
        said = tuple(a for a in answers if a)
        own = ((questions[0], said),) if said and len(alike) > 1 else ()
        for conditions, ends in found:
            yield (*own, *conditions), ends
