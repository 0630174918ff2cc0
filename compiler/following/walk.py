"""One way through a protocol, step by step: which answers, and the state after each step."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass, field

from compiler.analysis.effects import after
from compiler.analysis.fates import choices
from compiler.analysis.state import State
from compiler.analysis.witness import way
from compiler.analysis.world import World
from compiler.following.steps import Answers, NotThereError
from compiler.model.protocol import Part, Phrase, Step


@dataclass(frozen=True, slots=True)
class Moment:
    """The state once a heading or a step is done."""

    part: Part
    step: Step | None
    """Nothing for the heading of a part."""
    depth: int
    """In how many forks the step stands."""
    answer: str
    """The answer given at a fork, or empty."""
    before: State
    state: State


@dataclass(slots=True)
class Walk:
    """One round of one way."""

    world: World
    round: int
    wanted: Mapping[str, str]
    """Answers; a question that is not among them gets its first."""
    earlier: Mapping[str, str]
    """Answers of the rounds before."""
    answers: dict[str, str] = field(default_factory=dict)
    """Those given on the way, once it is walked."""
    start: State = field(init=False)
    """When the round begins."""

    def moments(self) -> list[Moment]:
        """The round, moment by moment."""
        given = {(n, q): a for n in range(1, self.round) for q, a in self.earlier.items()}
        before = way(self.world, given)
        for _ in before.visits(self.round - 1):
            pass
        self.start = before.trail.state
        self.answers.clear()
        return list(self._parts(self.start))

    def _parts(self, state: State) -> Iterator[Moment]:
        for part in self.world.protocol.parts:
            before, state = state, self._done(state, [part.begin])
            yield Moment(part, None, 0, "", before, state)
            for moment in self._steps(part, part.steps, state, 0):
                state = moment.state
                yield moment

    def _steps(
        self, part: Part, steps: tuple[Step, ...], state: State, depth: int
    ) -> Iterator[Moment]:
        for step in steps:
            before, state = state, self._done(state, step.phrases)
            if not step.fork:
                yield Moment(part, step, depth, "", before, state)
                continue
            question, branches = step.fork.question, step.fork.branches
            wanted = self.answers.get(question) or self.wanted.get(question)
            branch = next((b for b in branches if b.answer == wanted), branches[0])
            self.answers[question] = branch.answer
            yield Moment(part, step, depth, branch.answer, before, state)
            for moment in self._steps(part, branch.steps, state, depth + 1):
                state = moment.state
                yield moment

    def _done(self, state: State, phrases: Iterable[Phrase]) -> State:
        for phrase in phrases:
            state = after(self.world, state, phrase)
        return state


def chosen(world: World, answers: Answers) -> dict[str, str]:
    """The answers asked for, if the protocol has them.

    Raises:
        NotThereError: when it does not have a question or an answer.
    """
    known = {q.casefold(): (q, {a.casefold(): a for a in c}) for q, c in choices(world).items()}
    found: dict[str, str] = {}
    for question, answer in answers:
        name, its = known.get(" ".join(question.casefold().split()), ("", {}))
        given = its.get(" ".join(answer.casefold().split()))
        if given is None:
            raise NotThereError(
                f'no question "{question}" with the answer "{answer}"; {_asked(world)}'
            )
        if found.setdefault(name, given) != given:
            raise NotThereError(f'two answers to "{name}"; one round has one')
    return found


def _asked(world: World) -> str:
    said = "; ".join(f"{q} = {' or '.join(a)}" for q, a in choices(world).items())
    return f"there are: {said}" if said else "this protocol asks none"
