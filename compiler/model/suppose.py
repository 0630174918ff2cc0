"""A protocol with some forks already resolved, for sheets of a clinic that knows the answer."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import replace

from compiler.model.protocol import Branch, Protocol, Step


def supposed(protocol: Protocol, answers: Mapping[str, str]) -> Protocol:
    """The protocol as it reads when these questions are already answered.

    The fork's own step stays when it does something before it asks; the steps of the chosen
    branch follow it in its list. Questions that the protocol does not ask change nothing.
    """
    if not answers:
        return protocol
    parts = tuple(
        replace(part, steps=_numbered(_resolved(part.steps, answers)))
        for part in protocol.parts
    )
    return replace(protocol, parts=parts)


def _resolved(steps: tuple[Step, ...], answers: Mapping[str, str]) -> Iterator[Step]:
    for step in steps:
        if step.fork is None:
            yield step
            continue
        branches = tuple(
            replace(branch, steps=_numbered(_resolved(branch.steps, answers)))
            for branch in step.fork.branches
        )
        chosen = answers.get(step.fork.question)
        kept = [branch for branch in branches if branch.answer == chosen]
        if not kept:
            yield replace(step, fork=replace(step.fork, branches=branches))
            continue
        yield from _along(step, kept[0])


def _along(step: Step, branch: Branch) -> Iterator[Step]:
    """What is left of a fork. Its cautions stay, and so does advice given with the answer."""
    cautions = step.cautions
    if step.phrases:
        yield replace(step, fork=None)
        cautions = ()
    if branch.detail or (cautions and not branch.steps):
        lead = branch.lead or branch.answer
        detail = branch.detail
        yield replace(step, lead=lead, detail=detail, cautions=cautions, phrases=(), fork=None)
        cautions = ()
    for below in branch.steps:
        yield replace(below, cautions=(*cautions, *below.cautions)) if cautions else below
        cautions = ()


def _numbered(steps: Iterator[Step]) -> tuple[Step, ...]:
    return tuple(replace(step, number=number) for number, step in enumerate(steps, 1))
