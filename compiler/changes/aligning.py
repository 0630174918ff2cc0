"""Which step of the new version is which of the old one, and which of them moved.

First an alignment in reading order that keeps the most (a longest common subsequence in which a
pair weighs the more the more alike it is; Hunt and Szymanski, A fast algorithm for computing
longest common subsequences, Communications of the ACM 20 (5), 1977, from memory, for the
idea), then what is left over is looked for elsewhere. Whichever version comes first, the same
pairs are found: the two are put into an order of their own before.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from compiler.changes.likeness import ALIKE, ALIKE_ELSEWHERE, Likeness
from compiler.changes.placed import Placed

Pairs = dict[int, int]
"""Places in one list of steps to places in the other."""


@dataclass(frozen=True, slots=True)
class Alignment:
    """Which is which."""

    pairs: Pairs
    """From the old version's steps to the new one's."""

    @property
    def back(self) -> Pairs:
        """From the new version's steps to the old one's."""
        return {new: old for old, new in self.pairs.items()}


def aligned(old: Sequence[Placed], new: Sequence[Placed]) -> Alignment:
    """Pairs the steps of two versions of a protocol."""
    if in_own_order(old, new):
        return Alignment(_Aligner(old, new).pairs)
    pairs = _Aligner(new, old).pairs
    return Alignment({there: here for here, there in pairs.items()})


def in_own_order(old: Sequence[Placed], new: Sequence[Placed]) -> bool:
    """Whether the old version comes first when the two are sorted by what they say."""
    return _key(old) <= _key(new)


def _key(steps: Sequence[Placed]) -> list[str]:
    return [f"{placed.home} {placed.content}" for placed in steps]


class _Aligner:
    def __init__(self, old: Sequence[Placed], new: Sequence[Placed]) -> None:
        self.old, self.new = old, new
        self.likeness = Likeness()
        self.pairs: Pairs = {}
        self.in_order()
        self.sent_elsewhere()
        self.same_elsewhere()
        self.alike_elsewhere()

    def same(self, here: int, there: int) -> bool:
        """Whether nothing at all is different, the place included."""
        one, other = self.old[here], self.new[there]
        return one.content == other.content and one.home == other.home

    def in_order(self) -> None:
        """The heaviest pairs that keep the order; a common beginning and end need no search."""
        first, last = 0, 0
        shorter = min(len(self.old), len(self.new))
        while first < shorter and self.same(first, first):
            self.pairs[first] = first
            first += 1
        while last < shorter - first and self.same(-1 - last, -1 - last):
            last += 1
            self.pairs[len(self.old) - last] = len(self.new) - last
        olds = range(first, len(self.old) - last)
        news = range(first, len(self.new) - last)
        self.pairs.update(self.heaviest(olds, news))

    def heaviest(self, olds: range, news: range) -> Pairs:
        """By dynamic programming from the end; best[i][j] is what is left from there on."""
        weights = [[self.weight(here, there) for there in news] for here in olds]
        best = [[0.0] * (len(news) + 1) for _ in range(len(olds) + 1)]
        for i in reversed(range(len(olds))):
            row, below = best[i], best[i + 1]
            for j in reversed(range(len(news))):
                weight = weights[i][j]
                row[j] = max(below[j], row[j + 1], weight + below[j + 1] if weight else 0.0)
        pairs: Pairs = {}
        i = j = 0
        while i < len(olds) and j < len(news):
            weight = weights[i][j]
            if weight and best[i][j] == weight + best[i + 1][j + 1]:
                pairs[olds[i]] = news[j]
                i, j = i + 1, j + 1
            elif best[i][j] == best[i + 1][j]:
                i += 1
            else:
                j += 1
        return pairs

    def weight(self, here: int, there: int) -> float:
        """A steep one: keeping a step as it is weighs more than rewording several."""
        one, other = self.old[here], self.new[there]
        alike = self.likeness.between(one, other)
        if alike < ALIKE:
            return 0.0
        return alike**4 * (1.0 if one.home == other.home else 0.9)

    def sent_elsewhere(self) -> None:
        """A step that stands unchanged elsewhere is that one, not what came into its place."""
        often = Counter(placed.content for placed in (*self.old, *self.new))
        left = {
            self.new[at].content: at
            for at in self.left_new()
            if often[self.new[at].content] == 2
        }
        for here, there in list(self.pairs.items()):
            content = self.old[here].content
            if content in left and content != self.new[there].content:
                self.pairs[here] = left[content]
        left = {
            self.old[at].content: at
            for at in self.left_old()
            if often[self.old[at].content] == 2
        }
        for here, there in list(self.pairs.items()):
            content = self.new[there].content
            if content in left and content != self.old[here].content:
                del self.pairs[here]
                self.pairs[left[content]] = there

    def same_elsewhere(self) -> None:
        """Steps left over with the same content are one that moved."""
        for here in self.left_old():
            for there in self.left_new():
                one, other = self.old[here], self.new[there]
                if one.content == other.content and self.may_move(one, other):
                    self.pairs[here] = there
                    break

    def alike_elsewhere(self) -> None:
        """Steps left over that are alike moved and changed, the most alike first."""
        found = [
            (-alike, here, there)
            for here in self.left_old()
            for there in self.left_new()
            if (alike := self.likeness.between(self.old[here], self.new[there]))
            >= ALIKE_ELSEWHERE
            and not self.old[here].only_hygiene
        ]
        taken: set[int] = set()
        for _, here, there in sorted(found):
            if here not in self.pairs and there not in taken:
                self.pairs[here] = there
                taken.add(there)

    def may_move(self, one: Placed, other: Placed) -> bool:
        """A beat of hand hygiene is the same one only within its list."""
        return not one.only_hygiene or one.home == other.home

    def left_old(self) -> list[int]:
        """Steps of the old version without a pair."""
        return [at for at in range(len(self.old)) if at not in self.pairs]

    def left_new(self) -> list[int]:
        """Steps of the new version without a pair."""
        met = set(self.pairs.values())
        return [at for at in range(len(self.new)) if at not in met]


def in_place(pairs: Iterable[tuple[int, int]]) -> set[tuple[int, int]]:
    """The most pairs of one list that keep their order; the others moved."""
    ordered = sorted(pairs)
    longest: list[tuple[int, int]] = []
    """How many pairs a run that ends here has, and which pair comes before."""
    for at, (_, there) in enumerate(ordered):
        before = [(longest[k][0], -k) for k in range(at) if ordered[k][1] < there]
        most, where = max(before, default=(0, 1))
        longest.append((most + 1, -where))
    if not ordered:
        return set()
    at = max(range(len(ordered)), key=lambda k: (longest[k][0], -k))
    kept = set()
    while at >= 0:
        kept.add(ordered[at])
        at = longest[at][1]
    return kept
