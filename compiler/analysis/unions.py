"""Unions of sets of states that are held in parts: exact, or left as two sets."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import replace

from compiler.analysis.parts import Asked, Part, merged, size_of
from compiler.analysis.products import Product


def union(one: Product, other: Product, asked: Asked, limit: int) -> list[Product]:
    """Both sets as one product where that is exact and small enough, else as two.

    Args:
        one: A set.
        other: Another over the same variables.
        asked: The questions on which it depends in which of the two a state is.
        limit: The largest part that may come of it.
    """
    given = one.given | other.given
    asked |= given
    for small, large in ((one, other), (other, one)):
        if small.within(large):
            return [_depending(large, small, asked, given)]
    same: list[Part] = []
    mine: list[Part] = []
    theirs: list[Part] = []
    for block in _differing_blocks(one, other):
        left, right = one.touching(block), other.touching(block)
        if max(size_of(left), size_of(right)) > limit:
            return [_beside(one, asked), _beside(other, asked)]
        a, b = merged(left), merged(right)
        if a.tuples == b.tuples:
            same += _finest(left, right, a.asked | b.asked | asked)
        else:
            mine.append(a)
            theirs.append(b)
    if size_of(mine) + size_of(theirs) > limit:
        return [_beside(one, asked), _beside(other, asked)]
    if mine:
        a, b = merged(mine), merged(theirs)
        whole = Part(a.variables, a.tuples | b.tuples, a.asked | b.asked | asked)
        same += one.store.split(whole, [p.variables for p in (*mine, *theirs)])
    return [_beside(one.replaced(map(one.store.part, same)), given)]


def _beside(product: Product, asked: Asked) -> Product:
    return Product(product.home, product.store, asked)


def _depending(large: Product, small: Product, asked: Asked, given: Asked) -> Product:
    """The larger of two sets, with the questions on which it depends where they differ.

    Also where both have the same values: in each they may depend on other questions.
    """
    depending = []
    for part in _differing(large, small):
        theirs = small.touching(part.variables)
        both = part.asked.union(asked, *(other.asked for other in theirs))
        depending.append(large.store.part(replace(part, asked=both, shared=False)))
    return _beside(large.replaced(depending), given)


def _differing(one: Product, other: Product) -> list[Part]:
    """The parts of one set that the other does not have as they are."""
    home = other.home
    return [part for part in one.parts if home[part.variables[0]] is not part]


def _finest(left: list[Part], right: list[Part], asked: Asked) -> Iterable[Part]:
    finer = left if len(left) >= len(right) else right
    return [Part(p.variables, p.tuples, asked if len(p.tuples) > 1 else p.asked) for p in finer]


def _differing_blocks(one: Product, other: Product) -> list[tuple[int, ...]]:
    """The finest blocks of variables that no part straddles, without what both have alike."""
    leader: dict[int, int] = {}

    def find(variable: int) -> int:
        while leader.setdefault(variable, variable) != variable:
            variable = leader[variable]
        return variable

    for part in (*_differing(one, other), *_differing(other, one)):
        first = find(part.variables[0])
        for variable in part.variables[1:]:
            leader[find(variable)] = first
            first = find(first)
    blocks: dict[int, list[int]] = {}
    for variable in sorted(leader):
        blocks.setdefault(find(variable), []).append(variable)
    return [tuple(block) for block in blocks.values()]
