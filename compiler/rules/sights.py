"""What checks look at: the fewer items a look takes in, the fewer have to be held together."""

from __future__ import annotations

from collections.abc import Iterator

from compiler.analysis.state import Where
from compiler.analysis.visits import Possible, Sight, Sights
from compiler.analysis.world import World, items_of, places_of
from compiler.model.clinic import Zone
from compiler.model.kit import Kind
from compiler.model.protocol import Begin, Go, Phrase

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


def each(
    where: Where, kinds: frozenset[Kind] = EVERY_KIND, naming: frozenset[Kind] = EVERY_KIND
) -> Sights:
    """A look at each other item that may be there, with those that the phrase names.

    Args:
        where: There.
        kinds: What the others may be.
        naming: No look is taken unless the phrase names one of these, if it names any items.
    """

    def sights(world: World, phrase: Phrase | None, possible: Possible) -> Iterator[Sight]:
        here = _named(world, phrase)
        if not here.items or any(world.kinds[i] in naming for i in here.items):
            for index in sorted(possible.among(where, set(world.of_kinds(kinds)) - here.items)):
                yield Sight(here.items | {index}, here.places)

    return sights


def lying_over(world: World, phrase: Phrase | None, possible: Possible) -> Iterator[Sight]:
    """A look at each item that may lie over one that the phrase names, with those named."""
    here = _named(world, phrase)
    over = {i for named in here.items for i, _ in world.above[named]} - here.items
    for index in sorted(possible.among(Where.WORN, over)):
        yield Sight(here.items | {index}, here.places)


def without(kinds: frozenset[Kind], naming: frozenset[Kind] = EVERY_KIND) -> Sights:
    """One look, at the states in which no item of some kinds is worn that is not named."""

    def sights(world: World, phrase: Phrase | None, possible: Possible) -> Iterator[Sight]:
        here = _named(world, phrase)
        if not here.items or any(world.kinds[i] in naming for i in here.items):
            others = frozenset(world.of_kinds(kinds)) - here.items
            yield Sight(here.items, here.places, others)

    return sights


def entering(zone: Zone, sights: Sights) -> Sights:
    """The same, on the way into such an area only, or where the phrase is no way."""

    def entered(world: World, phrase: Phrase | None, possible: Possible) -> Iterator[Sight]:
        if not isinstance(phrase, Go | Begin) or world.zone(phrase.area) is zone:
            yield from sights(world, phrase, possible)

    return entered
