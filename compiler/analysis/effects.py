"""What a phrase does, in pieces that say what they read and change."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from functools import partial

from compiler.analysis.state import NONE, State
from compiler.analysis.transfer import TRANSFERS, soiled
from compiler.analysis.world import World, items_of, places_of
from compiler.model.clinic import Zone
from compiler.model.protocol import Begin, Go, Phrase, Wear

Transfer = Callable[[World, State], State]


@dataclass(frozen=True, slots=True)
class Effect:
    """A piece of what a phrase does, with all that it reads or changes beside the wearer.

    The wearer is the area, bare hands and what is remembered of hand hygiene; every effect may
    read and change these.
    """

    apply: Transfer
    items: frozenset[int] = NONE
    around: frozenset[int] = NONE
    """Items that are read or changed only when they are worn."""
    places: frozenset[int] = NONE
    hands: bool = True
    """Whether the hand touches something: whatever gloves are worn are read and changed."""
    worn: int = -1
    """An item without which, if it is not worn, nothing happens; -1 when there is none."""


def effects(world: World, phrase: Phrase) -> tuple[Effect, ...]:
    """What a phrase does, in pieces that are done in this order."""
    known = world.effects.get(id(phrase))
    if known is None:
        known = world.effects[id(phrase)] = tuple(_effects(world, phrase))
    return known


def _effects(world: World, phrase: Phrase) -> tuple[Effect, ...]:
    transfer = TRANSFERS.get(type(phrase))
    if transfer is None:
        return ()
    whole = partial(_done, transfer, phrase)
    if isinstance(phrase, Begin | Go):
        # item by item, so that items that have nothing to do with one another stay apart
        inside = world.zone(phrase.area) is Zone.CONTAMINATED
        touched = range(len(world.items)) if inside else ()
        soiling = (
            Effect(
                partial(soiled, phrase, i), NONE, _with_covers(world, i), hands=False, worn=i
            )
            for i in touched
        )
        return (*soiling, Effect(whole))
    items = {world.item_index[n] for n in items_of(phrase) if n in world.item_index}
    around: set[int] = set()
    if isinstance(phrase, Wear):
        for index in items:
            around |= {*_with_covers(world, index), *world.ordered[index]}
    places = {world.place_index[n] for n in places_of(phrase) if n in world.place_index}
    return (Effect(whole, frozenset(items), frozenset(around), frozenset(places)),)


def _done(transfer: Callable[..., State], phrase: Phrase, world: World, state: State) -> State:
    return transfer(world, state, phrase)


def _with_covers(world: World, index: int) -> frozenset[int]:
    """An item and those that hide it completely."""
    return frozenset({index, *(i for i, cover in world.above[index] if cover.completely)})


def after(world: World, state: State, phrase: Phrase) -> State:
    """The state once `phrase` has been done."""
    for effect in effects(world, phrase):
        state = effect.apply(world, state)
    return state
