"""What checks look at: the fewer items a look takes in, the fewer have to be held together."""

from __future__ import annotations

from collections.abc import Iterator

from compiler.analysis.state import Where
from compiler.analysis.visits import Possible, Sight, Sights
from compiler.analysis.world import World, items_of, places_of
from compiler.model.kit import Kind
from compiler.model.protocol import Phrase

EVERY_KIND = frozenset(Kind)


def _named(world: World, phrase: Phrase | None) -> Sight:
    if phrase is None:
        return Sight(frozenset())
    known: Sight | None = world.named.get(id(phrase))
    if known is None:
        known = world.named[id(phrase)] = _looked_up(world, phrase)
    return known


def _looked_up(world: World, phrase: Phrase) -> Sight:
    items = (world.item_index.get(name) for name in items_of(phrase))
    places = (world.place_index.get(name) for name in places_of(phrase))
    return Sight(
        frozenset(i for i in items if i is not None),
        frozenset(j for j in places if j is not None),
    )


def named(world: World, phrase: Phrase | None, possible: Possible) -> Iterator[Sight]:
    """One look at the items and places that the phrase names."""
    yield _named(world, phrase)


def each(where: Where, kinds: frozenset[Kind] = EVERY_KIND) -> Sights:
    """A look at each other item that may be there, with those that the phrase names."""

    def sights(world: World, phrase: Phrase | None, possible: Possible) -> Iterator[Sight]:
        here = _named(world, phrase)
        for index in sorted(possible[where] - here.items):
            if world.kinds[index] in kinds:
                yield Sight(here.items | {index}, here.places)

    return sights


def without(kinds: frozenset[Kind]) -> Sights:
    """One look, at the states in which no item of some kinds is worn that is not named."""

    def sights(world: World, phrase: Phrase | None, possible: Possible) -> Iterator[Sight]:
        here = _named(world, phrase)
        others = frozenset(world.of_kinds(kinds)) - here.items
        yield Sight(here.items, here.places, others)

    return sights
