"""The same question asked again: its answers must be the same, and none may contradict."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, field

from compiler.findings import Finding, Level, Mark, Rule
from compiler.model.protocol import Branch, Fork, Part, Step
from compiler.source import Span
from compiler.syntax.spelling import advice, alike, nearest, quoted

ANSWER_MISSING = Rule(
    "answer-missing",
    Level.MUST,
    "A question that is asked again lacks an answer, or has one it did not have before.",
    waivable=False,
)
ANSWER_NEVER_REACHED = Rule(
    "answer-never-reached",
    Level.MUST,
    "An answer contradicts one that was already given on the way to it.",
    waivable=False,
)

RULES = (ANSWER_MISSING, ANSWER_NEVER_REACHED)


@dataclass(slots=True)
class _Asked:
    """What is known of one question."""

    at: Span
    answers: dict[str, Branch] = field(default_factory=dict)


def contradictions(parts: Iterable[Part]) -> list[Finding]:
    """Everything that is wrong between the forks of one protocol."""
    asked: dict[str, _Asked] = {}
    findings: list[Finding] = []
    for part in parts:
        _walk(part.steps, {}, asked, findings)
    return findings


def _walk(
    steps: Iterable[Step],
    given: dict[str, Branch],
    asked: dict[str, _Asked],
    findings: list[Finding],
) -> None:
    for step in steps:
        fork = step.fork
        if fork is None:
            continue
        key = alike(fork.question)
        if key in given:
            findings.extend(_asked_within(fork, given[key]))
        elif key in asked:
            findings.extend(_asked_again(fork, asked[key]))
        else:
            answers = {alike(branch.answer): branch for branch in fork.branches}
            asked[key] = _Asked(fork.at, answers)
        for branch in fork.branches:
            # The outer answer stays the one that holds, however the inner fork is labelled.
            _walk(branch.steps, {key: branch, **given}, asked, findings)


def _asked_within(fork: Fork, given: Branch) -> Iterable[Finding]:
    path = (Mark(given.at, "already answered here"),)
    answers = [alike(branch.answer) for branch in fork.branches]
    if alike(given.answer) not in answers:
        yield Finding(
            ANSWER_MISSING,
            f"The question {quoted(fork.question)} is asked again without the answer "
            f"{quoted(given.answer)}, which holds here.",
            Mark(fork.at, "asked again"),
            path,
            remedy=f"add a bullet with `if {given.answer}`, or leave the question out",
        )
    for branch in fork.branches:
        if alike(branch.answer) != alike(given.answer):
            yield Finding(
                ANSWER_NEVER_REACHED,
                f"The answer {quoted(branch.answer)} is never reached: "
                f"{quoted(fork.question)} was already answered with {quoted(given.answer)}.",
                Mark(branch.at, "never reached"),
                path,
                remedy="delete it, or ask another question",
            )


def _asked_again(fork: Fork, first: _Asked) -> Iterable[Finding]:
    path = (Mark(first.at, "first asked here"),)
    here = {alike(branch.answer): branch for branch in fork.branches}
    before = {key: branch.answer for key, branch in first.answers.items()}
    meant: set[str] = set()
    for key, branch in here.items():
        if key in before:
            continue
        left = [name for other, name in before.items() if other not in here]
        meant.update(alike(name) for name in nearest(branch.answer, left, 1))
        yield Finding(
            ANSWER_MISSING,
            f"The answer {quoted(branch.answer)} is new: {quoted(fork.question)} "
            "was asked before without it.",
            Mark(branch.at, "not an answer before"),
            path,
            remedy=advice(branch.answer, left or before.values(), "answer"),
        )
    for key, name in before.items():
        if key not in here and key not in meant:
            yield Finding(
                ANSWER_MISSING,
                f"The question {quoted(fork.question)} is asked again without the answer "
                f"{quoted(name)}.",
                Mark(fork.at, "asked again"),
                (Mark(first.answers[key].at, "the answer"), *path)[:1],
                remedy=f"add a bullet with `if {name}`",
            )


def unknown_standing(parts: Iterable[Part], standing: dict[str, str]) -> list[Finding]:
    """Standing answers of the clinic that the protocol's questions do not have."""
    known = {alike(question): answer for question, answer in standing.items()}
    found: list[Finding] = []
    reported: set[str] = set()
    for fork in _forks(step for part in parts for step in part.steps):
        key = alike(fork.question)
        answers = [branch.answer for branch in fork.branches]
        if key not in known or key in reported:
            continue
        reported.add(key)
        if alike(known[key]) not in map(alike, answers):
            found.append(
                Finding(
                    ANSWER_MISSING,
                    f"The clinic's standing answer to {quoted(fork.question)}, "
                    f"{quoted(known[key])}, is not an answer here.",
                    Mark(fork.at, "asked here"),
                    remedy=advice(known[key], answers, "answer"),
                )
            )
    return found


def _forks(steps: Iterable[Step]) -> Iterable[Fork]:
    for step in steps:
        if step.fork:
            yield step.fork
            for branch in step.fork.branches:
                yield from _forks(branch.steps)
