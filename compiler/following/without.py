"""What is found when one step is left out: why it is there."""

from __future__ import annotations

from collections import Counter
from dataclasses import dataclass, replace

from compiler.catalogue import check
from compiler.findings import Finding, Mark, in_reading_order
from compiler.following.steps import Named
from compiler.model.clinic import Clinic
from compiler.model.kit import Kit
from compiler.model.protocol import Observed, Protocol, Step, Takes
from compiler.model.questions import contradictions, unknown_standing
from compiler.model.read_parts import EMPTY_PART
from compiler.syntax.spelling import quoted


@dataclass(frozen=True, slots=True)
class Difference:
    """The findings with and without a step."""

    come: list[Finding]
    """Only without it."""
    go: list[Finding]
    """Only with it."""
    stay: int


def dropped(protocol: Protocol, step: Step) -> Protocol:
    """The protocol without a step, and without everything below it."""
    parts = (replace(p, steps=_without(p.steps, step)) for p in protocol.parts)
    return replace(protocol, parts=tuple(parts))


def _without(steps: tuple[Step, ...], gone: Step) -> tuple[Step, ...]:
    left = (step for step in steps if step is not gone)
    return tuple(
        replace(
            step,
            fork=replace(
                step.fork,
                branches=tuple(
                    replace(branch, steps=_without(branch.steps, gone))
                    for branch in step.fork.branches
                ),
            ),
        )
        if step.fork
        else step
        for step in left
    )


def difference(protocol: Protocol, clinic: Clinic, kit: Kit, step: Step) -> Difference:
    """What leaving out a step changes in what is found."""
    with_it = _found(protocol, clinic, kit)
    without = _found(dropped(protocol, step), clinic, kit)
    before, after = Counter(map(_key, with_it)), Counter(map(_key, without))
    come = [f for f in without if _key(f) not in before]
    go = [f for f in with_it if _key(f) not in after]
    return Difference(come, go, len(with_it) - len(go))


def _found(protocol: Protocol, clinic: Clinic, kit: Kit) -> list[Finding]:
    """What is found of the steps: by following them, and between one fork and another."""
    findings = contradictions(protocol.parts)
    findings += unknown_standing(protocol.parts, clinic.answers)
    findings += (
        Finding(
            EMPTY_PART,
            f"The part {quoted(part.title)} has no steps.",
            Mark(part.at, "this part"),
            remedy="leave its heading out as well",
        )
        for part in protocol.parts
        if not part.steps
    )
    return in_reading_order([*findings, *check(protocol, clinic, kit)])


def _key(finding: Finding) -> tuple[str, tuple[str, int, int], str]:
    return finding.rule.slug, finding.at.span.order, finding.message


def purpose(named: Named) -> str:
    """What to say of a step without which nothing more is found."""
    phrases = [p for p in named.step.phrases if not isinstance(p, Takes)]
    if named.step.fork:
        return (
            "The question and all its answers can go without a rule being broken. Whether "
            "people need to be asked is for you to judge."
        )
    if not phrases:
        return (
            "It is advice: printed, and not modelled. Its worth cannot be told here; it is "
            "for you to judge."
        )
    if all(isinstance(p, Observed) for p in phrases):
        return (
            "The observer's confirmation is printed, and not modelled: no rule asks for it. "
            "Its worth cannot be told here; it is for you to judge."
        )
    said = ", ".join(f'"{phrase.at.text}"' for phrase in phrases)
    return (
        f"No rule asks for {said} here, under this clinic's policy. The rules are coarse: "
        "that does not make the step needless. See --after for what it changes."
    )
