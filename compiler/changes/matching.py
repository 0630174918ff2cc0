"""Two versions of a protocol side by side: parts, answers and steps that belong together."""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass, field
from typing import TypeVar

from compiler.changes.aligning import Pairs, aligned, in_own_order, in_place
from compiler.changes.placed import Around, Placed, placed_steps, plain
from compiler.model.protocol import Branch, Part, Protocol
from compiler.syntax.spelling import alike

T = TypeVar("T")
Container = tuple[int, Around]


@dataclass(slots=True)
class Matched:
    """Both versions, and which is which in them."""

    old: Protocol
    new: Protocol
    old_steps: list[Placed]
    new_steps: list[Placed]
    parts: Pairs
    steps: Pairs
    answers: dict[int, Pairs] = field(default_factory=dict)
    """For each question of the old version that is asked in the new one: its answers."""
    moved: set[int] = field(default_factory=set)
    """Steps of the old version that stand elsewhere in the new one."""
    moved_parts: set[int] = field(default_factory=set)

    @property
    def added(self) -> list[int]:
        """Steps that only the new version has."""
        met = set(self.steps.values())
        return [at for at in range(len(self.new_steps)) if at not in met]

    @property
    def dropped(self) -> list[int]:
        """Steps that only the old version has."""
        return [at for at in range(len(self.old_steps)) if at not in self.steps]

    def same_list(self, here: int, there: int) -> bool:
        """Whether two steps stand in lists that belong together."""
        return self._led_to(self.old_steps[here].container) == self.new_steps[there].container

    def _led_to(self, container: Container) -> Container | None:
        part, around = container
        if part not in self.parts:
            return None
        led: list[tuple[int, int]] = []
        for fork, answer in around:
            answers = self.answers.get(fork)
            if answers is None or answer not in answers:
                return None
            led.append((self.steps[fork], answers[answer]))
        return self.parts[part], tuple(led)


def matched(old: Protocol, new: Protocol) -> Matched:
    """Pairs parts, steps and answers, and sees what moved."""
    olds, news = placed_steps(old), placed_steps(new)
    both = Matched(old, new, olds, news, _parts(old, new), aligned(olds, news).pairs)
    for here, there in both.steps.items():
        if olds[here].step.fork and news[there].step.fork:
            both.answers[here] = _answers(both, here, there)
    own = in_own_order(olds, news)
    lists: dict[Container, list[tuple[int, int]]] = {}
    for here, there in both.steps.items():
        if both.same_list(here, there):
            lists.setdefault(olds[here].container, []).append((here, there))
    still = {here for pairs in lists.values() for here, _ in _kept(pairs, own)}
    both.moved = both.steps.keys() - still
    kept_parts = {here for here, _ in _kept(list(both.parts.items()), own)}
    both.moved_parts = both.parts.keys() - kept_parts
    return both


def _kept(pairs: list[tuple[int, int]], own: bool) -> set[tuple[int, int]]:
    if own:
        return in_place(pairs)
    return {(here, there) for there, here in in_place((new, old) for old, new in pairs)}


def paired(
    olds: Sequence[T], news: Sequence[T], keys: Sequence[Callable[[T], object]]
) -> Pairs:
    """Pairs by the first key that fits, in order; then by the next."""
    pairs: Pairs = {}
    for key in keys:
        free: dict[object, list[int]] = {}
        for at, thing in enumerate(news):
            if at not in pairs.values():
                free.setdefault(key(thing), []).append(at)
        for at, thing in enumerate(olds):
            if at not in pairs and free.get(key(thing)):
                pairs[at] = free[key(thing)].pop(0)
    return pairs


def _parts(old: Protocol, new: Protocol) -> Pairs:
    def named(part: Part) -> object:
        return part.begin.activity, plain(part.title)

    def titled(part: Part) -> object:
        return plain(part.title)

    def active(part: Part) -> object:
        return part.begin.activity

    return paired(old.parts, new.parts, (named, titled, active))


def _answers(both: Matched, here: int, there: int) -> Pairs:
    """By name; then by the words beside them; then by the steps that lead on from them."""
    old_fork, new_fork = both.old_steps[here].step.fork, both.new_steps[there].step.fork
    assert old_fork
    assert new_fork

    def named(branch: Branch) -> object:
        return alike(branch.answer)

    def worded(branch: Branch) -> object:
        return (plain(branch.lead), plain(branch.detail)) if branch.lead else branch

    pairs = paired(old_fork.branches, new_fork.branches, (named, worded))
    below: Counter[tuple[int, int]] = Counter()
    for one, other in both.steps.items():
        for answer in _under(both.old_steps[one], here):
            below.update((answer, to) for to in _under(both.new_steps[other], there))
    for answer, to in sorted(below, key=lambda pair: (-below[pair], pair)):
        if answer not in pairs and to not in pairs.values():
            pairs[answer] = to
    return pairs


def _under(placed: Placed, fork: int) -> Iterator[int]:
    """The answer of a fork that leads to a step, if it is below the fork."""
    yield from (answer for at, answer in placed.around if at == fork)
