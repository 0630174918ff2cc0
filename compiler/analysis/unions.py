"""Unions of sets of states that are held in parts: exact, or left as two sets."""

from __future__ import annotations

from dataclasses import replace

from compiler.analysis.parts import Asked, Part, Product, made_of, merged, size_of, split


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
    for block in _common_blocks(one, other):
        left, right = one.touching(block), other.touching(block)
        if max(size_of(left), size_of(right)) > limit:
            return [Product(one.home, asked), Product(other.home, asked)]
        a, b = merged(left), merged(right)
        if a.tuples == b.tuples:
            same += _finest(left, right, a.asked | b.asked)
        else:
            mine.append(a)
            theirs.append(b)
    if size_of(mine) + size_of(theirs) > limit:
        return [Product(one.home, asked), Product(other.home, asked)]
    a, b = merged(mine), merged(theirs)
    whole = Part(a.variables, a.tuples | b.tuples, a.asked | b.asked | asked)
    joined = [*same, *split(whole, [p.variables for p in (*mine, *theirs)])]
    return [Product(made_of(joined).home, given)]


def _depending(large: Product, small: Product, asked: Asked, given: Asked) -> Product:
    """The larger of two sets, with the questions on which its additional states depend."""
    if small.size == large.size:
        return Product(large.home, given)
    depending = made_of(
        part
        if small.project(part.variables) == part.tuples
        else replace(part, asked=part.asked | asked)
        for part in large.parts
    )
    return Product(depending.home, given)


def _finest(left: list[Part], right: list[Part], asked: Asked) -> list[Part]:
    finer = left if len(left) >= len(right) else right
    return [Part(p.variables, p.tuples, asked if len(p.tuples) > 1 else p.asked) for p in finer]


def _common_blocks(one: Product, other: Product) -> list[tuple[int, ...]]:
    """The finest blocks of variables that no part of either set straddles."""
    leader: dict[int, int] = {}

    def find(variable: int) -> int:
        while leader.setdefault(variable, variable) != variable:
            variable = leader[variable]
        return variable

    for part in (*one.parts, *other.parts):
        first = find(part.variables[0])
        for variable in part.variables[1:]:
            leader[find(variable)] = first
            first = find(first)
    blocks: dict[int, list[int]] = {}
    for variable in sorted(leader):
        blocks.setdefault(find(variable), []).append(variable)
    return [tuple(block) for block in blocks.values()]
