"""A protocol with some forks already resolved: what is printed where an answer is supposed.

Only the print changes. Checking covers every answer, whatever is supposed.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import replace

from compiler.model.protocol import Branch, Fork, Protocol, Step
from compiler.syntax.spelling import alike


def supposing(protocol: Protocol, answers: Mapping[str, str]) -> Protocol:
    """The protocol as it reads when these questions have these answers.

    A fork whose question or answer is not among them stays a fork. Cautions are never lost.
    Names count as in the source text, whatever language the protocol is in.
    """
    if not answers:
        return protocol
    wanted = {alike(question): alike(answer) for question, answer in answers.items()}
    parts = tuple(
        replace(part, steps=tuple(_resolved(part.steps, wanted))) for part in protocol.parts
    )
    return replace(protocol, parts=parts)


def _resolved(steps: tuple[Step, ...], answers: Mapping[str, str]) -> Iterator[Step]:
    for step in steps:
        if step.fork is None:
            yield step
        elif branch := _chosen(step.fork, answers):
            yield from _along(step, branch, answers)
        else:
            branches = tuple(
                replace(each, steps=tuple(_resolved(each.steps, answers)))
                for each in step.fork.branches
            )
            yield replace(step, fork=replace(step.fork, branches=branches))


def _chosen(fork: Fork, answers: Mapping[str, str]) -> Branch | None:
    """The branch that is supposed; a translation keeps the places of the source."""
    question = alike(fork.at.text.strip("`").removeprefix("decide "))
    answer = answers.get(question, answers.get(alike(fork.question)))
    if answer is None:
        return None
    for branch in fork.branches:
        if answer in {
            alike(branch.answer),
            alike(branch.at.text.strip("`").removeprefix("if ")),
        }:
            return branch
    return None


def _along(step: Step, branch: Branch, answers: Mapping[str, str]) -> Iterator[Step]:
    """What is left of a fork: its own phrases, the branch's words, the branch's steps."""
    cautions = step.cautions
    if step.phrases:
        yield replace(step, fork=None)
        cautions = ()
    if branch.detail or not branch.steps:
        yield replace(
            step,
            lead=branch.lead or branch.answer,
            detail=branch.detail,
            cautions=cautions,
            phrases=(),
            fork=None,
        )
        cautions = ()
    for below in _resolved(branch.steps, answers):
        yield replace(below, cautions=(*cautions, *below.cautions)) if cautions else below
        cautions = ()
