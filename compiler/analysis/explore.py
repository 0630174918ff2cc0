"""Every answer to every fork, round after round, until no new state is met.

States are carried forward in sets: two ways that lead to equal states go on as one, and the
way found first, which is a shortest one, is kept with it.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import dataclass

from compiler.analysis.state import State
from compiler.analysis.transfer import after, next_round
from compiler.analysis.world import World
from compiler.model.protocol import Branch, Part, Phrase, Step

STATES_AT_ONCE = 4_000
ROUNDS = 40


@dataclass(frozen=True, slots=True)
class Answer:
    """A fork was left by this branch."""

    question: str
    branch: Branch


@dataclass(frozen=True, slots=True)
class Indifferent:
    """All answers to this question led to the same state: it does not bear on the rest."""

    question: str


@dataclass(frozen=True, slots=True)
class RoundOver:
    """One round ended; everything before belongs to an earlier round."""


@dataclass(frozen=True, slots=True, eq=False)
class Trail:
    """How a state was reached: a list that shares its beginnings."""

    event: Phrase | Answer | Indifferent | RoundOver | None
    state: State
    """The state after the event."""
    step: Step | None
    earlier: Trail | None

    def back(self) -> Iterator[Trail]:
        """From here to the beginning of the first round."""
        here: Trail | None = self
        while here:
            yield here
            here = here.earlier

    def this_round(self) -> Iterator[Trail]:
        """From here to the beginning of this round."""
        for node in self.back():
            if isinstance(node.event, RoundOver):
                return
            yield node

    def answers(self) -> tuple[tuple[str, str], ...]:
        """Answers given in this round that bear on where it stands, in order."""
        dropped: set[str] = set()
        given: dict[str, str] = {}
        for node in self.this_round():
            if isinstance(node.event, Indifferent):
                dropped.add(node.event.question)
            elif isinstance(node.event, Answer) and node.event.question not in dropped:
                given.setdefault(node.event.question, node.event.branch.answer)
        return tuple(reversed(given.items()))

    @property
    def round(self) -> int:
        """Which round this is, counted from 1."""
        return 1 + sum(isinstance(node.event, RoundOver) for node in self.back())


@dataclass(frozen=True, slots=True)
class Visit:
    """One phrase done in one state; `phrase` is None at the end of a part."""

    world: World
    part: Part
    step: Step | None
    phrase: Phrase | None
    before: State
    after: State
    trail: Trail
    """Up to, not including, the phrase."""
    last_part: bool = False


Watch = Callable[[Visit], None]
Reached = dict[State, Trail]


class TooManyStatesError(Exception):
    """More states at once than the analysis holds; carries the step where it gave up."""

    def __init__(self, step: Step) -> None:
        """Remembers the step."""
        super().__init__(step)
        self.step = step


class Exploration:
    """Walks one protocol and shows every visit to a watcher."""

    def __init__(self, world: World, watch: Watch) -> None:
        """Prepares a walk; `watch` is called for each phrase in each distinct state."""
        self.world = world
        self.watch = watch
        self.rounds = 0

    def run(self) -> None:
        """Walks until rounds bring nothing new.

        Raises:
            TooManyStatesError: when the states at one step outgrow the bound.
        """
        start = self.world.start()
        seen: set[State] = {start}
        waiting: Reached = {start: Trail(None, start, None, None)}
        while waiting and self.rounds < ROUNDS:
            self.rounds += 1
            ended = self._round(waiting)
            waiting = {}
            for state, trail in ended.items():
                following = next_round(self.world, state)
                if following not in seen:
                    seen.add(following)
                    waiting[following] = Trail(RoundOver(), following, None, trail)

    def _round(self, reached: Reached) -> Reached:
        parts = self.world.protocol.parts
        for part in parts:
            reached = self._phrase(reached, part, None, part.begin)
            reached = self._steps(reached, part, part.steps)
            for state, trail in reached.items():
                self.watch(
                    Visit(
                        self.world,
                        part,
                        trail.step,
                        None,
                        state,
                        state,
                        trail,
                        part is parts[-1],
                    )
                )
        return reached

    def _steps(self, reached: Reached, part: Part, steps: tuple[Step, ...]) -> Reached:
        for step in steps:
            for phrase in step.phrases:
                reached = self._phrase(reached, part, step, phrase)
            if step.fork:
                reached = self._fork(reached, part, step)
            if len(reached) > STATES_AT_ONCE:
                raise TooManyStatesError(step)
        return reached

    def _phrase(
        self, reached: Reached, part: Part, step: Step | None, phrase: Phrase
    ) -> Reached:
        onward: Reached = {}
        for state, trail in reached.items():
            following = after(self.world, state, phrase)
            self.watch(Visit(self.world, part, step, phrase, state, following, trail))
            if following not in onward:
                onward[following] = Trail(phrase, following, step, trail)
        return onward

    def _fork(self, reached: Reached, part: Part, step: Step) -> Reached:
        assert step.fork
        question = step.fork.question
        again = self.world.asked_after(question, step)
        outcomes: list[Reached] = []
        for branch in step.fork.branches:
            entering: Reached = {}
            for state, trail in reached.items():
                if state.answer(question) not in ("", branch.answer):
                    continue
                into = _answered(state, question, branch.answer, again)
                entering.setdefault(into, Trail(Answer(question, branch), into, step, trail))
            outcomes.append(self._steps(entering, part, branch.steps))
        return _joined(outcomes, question, step)


def _answered(state: State, question: str, answer: str, again: bool) -> State:
    others = [pair for pair in state.answers if pair[0] != question]
    if again:
        others.append((question, answer))
    return state._replace(answers=tuple(sorted(others)))


def _joined(outcomes: list[Reached], question: str, step: Step) -> Reached:
    joined: Reached = {}
    for outcome in outcomes:
        for state, trail in outcome.items():
            if state in joined:
                continue
            entries = {id(_entry(o[state], step)) if state in o else None for o in outcomes}
            if len(outcomes) > 1 and len(entries) == 1:
                trail = Trail(Indifferent(question), state, step, trail)
            joined[state] = trail
    return joined


def _entry(trail: Trail, step: Step) -> Trail | None:
    """The moment before the fork of `step` was answered."""
    for node in trail.back():
        if isinstance(node.event, Answer) and node.step is step:
            return node.earlier
    return None
