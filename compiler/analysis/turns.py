"""What phrases do to sets of states, and what the end of a round leaves of them."""

from __future__ import annotations

from compiler.analysis.cells import Cells
from compiler.analysis.effects import Effect, effects
from compiler.analysis.memory import Deed, Memory, Parts, Piece
from compiler.analysis.parts import Part, Values, marks_of, shared
from compiler.analysis.products import Product
from compiler.analysis.state import Where
from compiler.analysis.visits import Possible
from compiler.model.protocol import Phrase

LIMIT = 1_000
"""Value tuples in one part. More means that too many items hang together."""


def after(cells: Cells, product: Product, deed: Deed, area: str, phrase: Phrase) -> Product:
    """The set once a phrase, which is of this deed, has been done in an area.

    Raises:
        TooLargeError: when more states hang together than the limit.
    """
    if deed.bearing < 0:
        deed.bearing = _bearing(cells, phrase)
    marks = product.marks & deed.bearing
    turn = deed.turns.get((area, marks))
    if turn is None:
        turn = deed.turns[area, marks] = _turn(cells, deed, area, phrase, marks)
    for piece in turn:
        home = product.home
        touched = tuple([home[v] for v in piece.variables])
        known = piece.known.get(touched)
        if known is None:
            product = _worked_out(cells, product, piece, touched, area, phrase)
        elif known[0]:
            product = product.replaced(known[0], marked_alike=known[1])
    return product


def _worked_out(
    cells: Cells, product: Product, piece: Piece, touched: Parts, area: str, phrase: Phrase
) -> Product:
    effect = effects(cells.world, phrase)[piece.number]
    values = piece.values

    def change(before: Values) -> Values:
        changed = values.get(before)
        if changed is None:
            state = effect.apply(cells.world, cells.state(piece.variables, before, area))
            changed = values[before] = cells.values(piece.variables, state)
        return changed

    done = product.changed(piece.variables, change, LIMIT)
    was, now = product.home, done.home
    affected = {v for part in touched for v in part.variables}
    come = tuple(dict.fromkeys([now[v] for v in sorted(affected) if now[v] is not was[v]]))
    if shared(touched) and shared(come):
        gone = {was[v] for part in come for v in part.variables}
        piece.known[touched] = come, marks_of(gone) == marks_of(come)
    return done


def _bearing(cells: Cells, phrase: Phrase) -> int:
    """Marks of the items of which it matters whether they may be worn."""
    possible = Possible(len(cells.world.items), 0)
    for effect in effects(cells.world, phrase):
        possible.among(Where.WORN, _around(cells, effect))
    return possible.asked


def _around(cells: Cells, effect: Effect) -> frozenset[int]:
    around = effect.around | cells.world.gloves if effect.hands else effect.around
    return around if effect.worn < 0 else around | {effect.worn}


def _turn(cells: Cells, deed: Deed, area: str, phrase: Phrase, marks: int) -> list[Piece]:
    """Which effects do anything where these items may be worn, and what they then read."""
    possible = Possible(len(cells.world.items), marks)
    pieces = []
    for number, effect in enumerate(effects(cells.world, phrase)):
        around = possible.among(Where.WORN, _around(cells, effect))
        if effect.worn < 0 or effect.worn in around:
            variables = cells.variables(effect.items | around, effect.places)
            key = number, area, variables
            if key not in deed.pieces:
                deed.pieces[key] = Piece(number, variables, {})
            pieces.append(deed.pieces[key])
    return pieces


def next_round(cells: Cells, memory: Memory, product: Product) -> Product:
    """What the end of a round leaves of a set."""
    come: list[Part] = []
    for part in product.parts:
        left = memory.rounds.get(part)
        if left is None:
            tuples = [tuple(map(cells.next_round, part.variables, x)) for x in part.tuples]
            left = memory.store.split(Part(part.variables, frozenset(tuples), part.asked))
            if part.shared:
                memory.rounds[part] = left
        come += left
    return product.replaced(come)
