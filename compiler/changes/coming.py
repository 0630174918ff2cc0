"""Steps that are only in one version: added and dropped, with all that goes with them."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from compiler.changes.change import Change, Detail
from compiler.changes.deeds import PROTECTIVE, Grounds, sort_of
from compiler.changes.matching import Matched
from compiler.changes.placed import Placed, doing
from compiler.changes.telling import (
    called,
    lead_of,
    neighbour,
    number_of,
    phrase_text,
    text_of,
)
from compiler.model.protocol import Hygiene, Step, Wear, every_step


def dropped_step(both: Matched, at: int, grounds: Grounds) -> Change:
    """A step that the new version does not have."""
    return _only_once(both.old_steps, at, both.steps, grounds, dropped=True)


def added_step(both: Matched, at: int, grounds: Grounds) -> Change:
    """A step that the old version did not have."""
    pairs = {there: here for here, there in both.steps.items()}
    return _only_once(both.new_steps, at, pairs, grounds, dropped=False)


def _only_once(
    steps: Sequence[Placed],
    at: int,
    pairs: dict[int, int],
    grounds: Grounds,
    *,
    dropped: bool,
) -> Change:
    placed = steps[at]
    sort = _sort(placed.step, grounds)
    is_gone = "is gone" if dropped else "is new"
    there = f"{placed.words}, {neighbour(steps, at)}"
    below = [steps[k].step for k in _below(steps, at) if k not in pairs]
    with_it = f", with {number_of(len(below), 'step')} below its answers" if below else ""
    text = text_of(placed.step)
    return Change(
        f"{sort} {'dropped' if dropped else 'added'}",
        f"{called(placed.step)} {is_gone} ({there}){with_it}{_does(placed.step)}.",
        subject=lead_of(placed.step),
        place=placed.words,
        old=placed.step.at if dropped else None,
        new=None if dropped else placed.step.at,
        was=text if dropped else "",
        is_now="" if dropped else text,
        look_first=dropped and _protects(placed.step, grounds),
        details=tuple(_details(placed.step, below, dropped)),
    )


def _sort(step: Step, grounds: Grounds) -> str:
    """`hand hygiene` for a step that is nothing else, and so on; else `step` or `question`."""
    if step.fork:
        return "question"
    sorts = {sort_of(phrase, grounds) for phrase in doing(step)}
    return sorts.pop() if len(sorts) == 1 and sorts <= PROTECTIVE else "step"


def _does(step: Step) -> str:
    """What the checker no longer sees done, in the words of the phrases."""
    phrases = [p for p in doing(step) if not isinstance(p, Hygiene)]
    return f"; it says {', '.join(map(phrase_text, phrases))}" if phrases else ""


def _protects(step: Step, grounds: Grounds) -> bool:
    below = (s for b in step.fork.branches for s in every_step(b.steps)) if step.fork else ()
    return any(
        one.cautions
        or any(sort_of(p, grounds) in PROTECTIVE or isinstance(p, Wear) for p in one.phrases)
        for one in (step, *below)
    )


def _below(steps: Sequence[Placed], at: int) -> Iterator[int]:
    for k in range(at + 1, len(steps)):
        if any(fork == at for fork, _ in steps[k].around):
            yield k


def _details(step: Step, below: list[Step], dropped: bool) -> Iterator[Detail]:
    """The cautions and the steps that come or go with it."""
    for one in (step, *below):
        texts = [*one.cautions] if one is step else [lead_of(one), *one.cautions]
        for text in texts:
            yield Detail(text, "", old=one.at) if dropped else Detail("", text, new=one.at)
