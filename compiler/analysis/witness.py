"""A short way to a hit: answers that lead to it, and only those that it needs."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from contextlib import suppress
from dataclasses import dataclass, field, replace
from itertools import combinations, islice, product
from math import prod

from compiler.analysis.effects import after
from compiler.analysis.hits import Hit
from compiler.analysis.state import State
from compiler.analysis.transfer import next_round
from compiler.analysis.visits import Answer, RoundOver, Trail, Visit
from compiler.analysis.world import World
from compiler.findings import Finding, GivenAnswer
from compiler.model.protocol import Part, Phrase, Step, every_step

TRIES = 1_000
"""Ways tried for one hit before it is told without one."""
WALKS = 2_000
"""Ways walked for all hits of a protocol; then what is met on none of those remembered is told
without a way."""
REMEMBERED = 200
"""Ways kept for other hits."""
CERTAIN = 64
"""Ways walked to be certain that questions make no difference together."""

Question = tuple[int, str]
"""A question in a round."""
Given = Mapping[Question, str]
"""Answers by round and question; a question that is not among them gets its first answer."""


class TooManyWaysError(Exception):
    """No more ways are walked."""


@dataclass(slots=True)
class Way:
    """One way through the rounds, walked phrase by phrase."""

    world: World
    given: Given
    trail: Trail
    answers: dict[str, str]
    """Answers of the round that is under way."""
    round: int = 1
    asked: set[Question] = field(default_factory=set)
    """Questions that came up."""
    possible: bool = True
    """Whether every question that came up again had the answer given before."""

    def visits(self, rounds: int) -> Iterator[Visit]:
        """Every phrase, in order, before it is done."""
        for self.round in range(1, rounds + 1):
            self.answers.clear()
            for part in self.world.protocol.parts:
                yield from self._phrase(part, None, part.begin)
                yield from self._steps(part, part.steps)
                yield Visit(
                    self.world, part, self.trail.step, None, self.trail.state, self.trail
                )
            following = next_round(self.world, self.trail.state)
            self.trail = Trail(RoundOver(), following, None, self.trail)

    def _steps(self, part: Part, steps: tuple[Step, ...]) -> Iterator[Visit]:
        for step in steps:
            for phrase in step.phrases:
                yield from self._phrase(part, step, phrase)
            if step.fork:
                question = step.fork.question
                held = self.answers.get(question)
                wanted = held or self.given.get((self.round, question))
                branches = step.fork.branches
                branch = next((b for b in branches if b.answer == wanted), branches[0])
                self.asked.add((self.round, question))
                self.possible &= held in (None, branch.answer)
                self.answers[question] = branch.answer
                answer = Answer(question, branch)
                self.trail = Trail(answer, self.trail.state, step, self.trail)
                yield from self._steps(part, branch.steps)

    def _phrase(self, part: Part, step: Step | None, phrase: Phrase) -> Iterator[Visit]:
        yield Visit(self.world, part, step, phrase, self.trail.state, self.trail)
        following = after(self.world, self.trail.state, phrase)
        self.trail = Trail(phrase, following, step, self.trail)


def way(world: World, given: Given) -> Way:
    """A way with these answers."""
    return Way(world, given, Trail(None, world.start(), None, None), {})


class Ways:
    """Ways through one protocol; those walked last are remembered, since hits share them."""

    def __init__(self, world: World) -> None:
        """Knows none yet."""
        self.world = world
        self.choices = _choices(world)
        self._left = WALKS
        self._visits: dict[tuple[object, ...], dict[tuple[int, int], list[Visit]]] = {}
        self._came_up: dict[tuple[object, ...], set[Question]] = {}

    def visits(self, given: Given, hit: Hit) -> list[Visit]:
        """The visits of a hit's phrase, or of its part's end, in its round.

        Raises:
            TooManyWaysError: when it would be one way too many.
        """
        key = (hit.round, *given.items())
        visits = self._visits.get(key)
        if visits is None:
            if not self._left:
                raise TooManyWaysError
            self._left -= 1
            visits = {}
            walk = way(self.world, given)
            for visit in walk.visits(hit.round):
                if not walk.possible:
                    break
                place = walk.round, id(visit.phrase or visit.part)
                visits.setdefault(place, []).append(visit)
            else:
                self._came_up[key] = walk.asked
            if len(self._visits) >= REMEMBERED:
                self._visits.pop(next(iter(self._visits)))
            self._visits[key] = visits
        return visits.get((hit.round, id(hit.phrase or hit.part)), [])

    def asked(self, given: Given, hit: Hit) -> set[Question]:
        """The questions that come up on a way up to the end of a hit's round."""
        key = (hit.round, *given.items())
        if key not in self._came_up:
            walk = way(self.world, given)
            for _ in walk.visits(hit.round):
                pass
            self._came_up[key] = walk.asked
        return self._came_up[key]


def witnessed(ways: Ways, hit: Hit) -> Finding | None:
    """The finding of a hit with a way to it; nothing when the tries do not suffice."""
    fixed = {(hit.round, question): answer for question, answer in hit.inside}
    open_questions = sorted(hit.asked - fixed.keys())
    try:
        for answers in islice(nearest(open_questions, ways.choices), TRIES):
            given = fixed | answers
            finding = _met(ways, hit, given)
            if finding:
                return replace(finding, answers=_asked(ways, hit, given), round=hit.round)
    except TooManyWaysError:
        pass
    return None


def _asked(ways: Ways, hit: Hit, given: dict[Question, str]) -> tuple[GivenAnswer, ...]:
    """The answers of a way that a reader needs; all of them when that cannot be found out."""
    inside = {(hit.round, question) for question, _ in hit.inside}
    given |= {key: ways.choices[key[1]][0] for key in hit.also - given.keys()}
    free = sorted(given.keys() - inside)
    fine: dict[Question, tuple[str, ...]] = {}
    with suppress(TooManyWaysError):
        given, fine = _needed(ways, hit, given, free)
    came_up = ways.asked(given, hit)
    given = {key: answer for key, answer in given.items() if key in came_up}
    return tuple(_told(hit, given, fine))


def nearest(
    asked: list[Question], choices: dict[str, tuple[str, ...]]
) -> Iterator[dict[Question, str]]:
    """All answers to some questions, those with the most first answers first."""
    plain = {key: choices[key[1]][0] for key in asked}
    for count in range(len(asked) + 1):
        for others in combinations(asked, count):
            for answers in product(*(choices[question][1:] for _, question in others)):
                yield {**plain, **dict(zip(others, answers, strict=True))}


def _choices(world: World) -> dict[str, tuple[str, ...]]:
    choices: dict[str, dict[str, None]] = {}
    for part in world.protocol.parts:
        for step in every_step(part.steps):
            if step.fork:
                known = choices.setdefault(step.fork.question, {})
                known.update(dict.fromkeys(b.answer for b in step.fork.branches))
    return {question: tuple(answers) for question, answers in choices.items()}


def _assignments(
    asked: list[Question], choices: dict[str, tuple[str, ...]]
) -> Iterator[dict[Question, str]]:
    """All answers to some questions."""
    for answers in product(*(choices[question] for _, question in asked)):
        yield dict(zip(asked, answers, strict=True))


def _met(ways: Ways, hit: Hit, given: Given) -> Finding | None:
    """The finding, if this way meets it."""
    for visit in ways.visits(given, hit):
        if visit.part is hit.part and (hit.phrase or visit.step is visit.trail.step):
            finding = _seen(hit, visit)
            if finding:
                return finding
    return None


def _seen(hit: Hit, visit: Visit) -> Finding | None:
    """What the check says of a visit, when it says what the hit says."""
    seen = replace(visit, before=_narrowed(visit.world, hit, visit.before))
    blank = replace(seen, trail=Trail(None, visit.world.start(), None, None))
    plain, full = list(hit.check.look(blank)), list(hit.check.look(seen))
    for short, finding in zip(plain, full, strict=True):
        if (short.rule.slug, short.message) == (hit.slug, hit.message):
            return finding
    return None


def _narrowed(world: World, hit: Hit, state: State) -> State:
    """The state as the check's sight shows it."""
    blank = world.start()
    items = hit.sight.items | hit.sight.unworn
    if hit.check.hands:
        items |= world.gloves
    return state._replace(
        items=tuple(x if i in items else blank.items[i] for i, x in enumerate(state.items)),
        places=tuple(
            x if i in hit.sight.places else blank.places[i] for i, x in enumerate(state.places)
        ),
    )


def _needed(
    ways: Ways, hit: Hit, given: Given, free: list[Question]
) -> tuple[dict[Question, str], dict[Question, tuple[str, ...]]]:
    """The answers without those that make no difference, and the answers that are fine.

    A question is left out only when the fault is met with all its answers, whatever those to
    the questions left out before: either of two answers may do where both are not needed.
    """
    needed = dict(given)
    fine: dict[Question, tuple[str, ...]] = {}
    left_out: list[Question] = []
    for key in free:
        others = [answer for answer in ways.choices[key[1]] if answer != given[key]]
        fine[key] = tuple(a for a in others if not _met(ways, hit, needed | {key: a}))
        if not fine[key] and _always(ways, hit, needed, [*left_out, key]):
            # any answer will do; the first stands for all
            del needed[key], fine[key]
            left_out.append(key)
    return needed, fine


def _always(ways: Ways, hit: Hit, given: Given, open_: list[Question]) -> bool:
    """Whether the fault is met with all answers to some questions; not if they are too many."""
    if prod(len(ways.choices[question]) for _, question in open_) > CERTAIN:
        return False
    every = _assignments(open_, ways.choices)
    return all(_met(ways, hit, {**given, **answers}) for answers in every)


def _told(
    hit: Hit, given: Given, fine: Mapping[Question, tuple[str, ...]]
) -> Iterator[GivenAnswer]:
    """The answers as the reader sees them: earlier rounds first, and called so."""
    for key, answer in sorted(given.items(), key=lambda pair: pair[0][0]):
        back = hit.round - key[0]
        when = {0: "", 1: " (the round before)"}.get(back, f" ({back} rounds before)")
        yield GivenAnswer(key[1] + when, answer, fine.get(key, ()))
