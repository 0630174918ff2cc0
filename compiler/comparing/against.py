"""A protocol against a published list: every way compared, what they share told once."""

from __future__ import annotations

import sys
from collections.abc import Iterable
from dataclasses import dataclass, replace

from compiler.comparing.compare import differences, unlike
from compiler.comparing.course import Answers, Course, courses
from compiler.comparing.difference import Difference
from compiler.comparing.matching import PUTTING_ON, TAKING_OFF
from compiler.comparing.published import Form, Published
from compiler.model.clinic import Clinic
from compiler.model.kit import Kit
from compiler.model.protocol import Protocol

Condition = tuple[tuple[str, tuple[str, ...]], ...]
"""Questions, each with the answers that lead to a difference; empty for every way."""

TOO_MANY_WAYS = (
    "There are too many combinations of answers: answers were changed one at a time, the other "
    "questions keeping their first answer."
)


@dataclass(frozen=True, slots=True)
class Told:
    """A difference, and on which ways it is met."""

    difference: Difference
    when: Condition


@dataclass(frozen=True, slots=True)
class Comparison:
    """One protocol against one list."""

    protocol: Protocol
    policy: str
    """When the clinic cleans hands while taking off."""
    listed: Published
    form: Form
    """The form of the list that fits best."""
    differences: tuple[Told, ...]
    not_compared: tuple[str, ...]
    """Parts that the protocol or the list does not have, and ways beyond what is compared."""


def compared(protocol: Protocol, clinic: Clinic, kit: Kit, listed: Published) -> Comparison:
    """Compares every way through a protocol with the form of the list that fits best."""
    ways, whole = courses(protocol, clinic, kit)
    form = min(listed.forms, key=lambda f: sum(unlike(c, f.course) for c in ways.values()))
    met: dict[tuple[str, str, str], dict[Answers, Difference]] = {}
    for answers, course in ways.items():
        for each in differences(course, form.course, listed.short):
            found = met.setdefault((each.part, each.about, each.sentence), {})
            found[answers] = each
    told = [Told(_joined(found.values()), _condition(found, ways)) for found in met.values()]
    missing = [*_not_compared(next(iter(ways.values())), form.course, listed.short)]
    if not whole:
        missing.append(TOO_MANY_WAYS)
    return Comparison(
        protocol,
        clinic.policy.value,
        listed,
        form,
        tuple(sorted(told, key=_place)),
        tuple(missing),
    )


def _place(told: Told) -> tuple[int, int]:
    """Items first, then part by part in the protocol's order."""
    parts = (PUTTING_ON, TAKING_OFF)
    part = told.difference.part
    first = [deed.at.start for deed in told.difference.deeds[:1] if deed.at]
    return parts.index(part) if part in parts else -1, first[0] if first else sys.maxsize


def _joined(met: Iterable[Difference]) -> Difference:
    """One difference with the places of all the ways on which it is met."""
    first, *others = met
    deeds = (*first.deeds, *(deed for other in others for deed in other.deeds))
    return replace(first, deeds=tuple(dict.fromkeys(deeds)))


def _condition(met: Iterable[Answers], ways: Iterable[Answers]) -> Condition:
    """The fewest questions whose answers tell the ways on which it is met."""
    every = [dict(answers) for answers in ways]
    here = [dict(answers) for answers in met]
    if len(here) == len(every):
        return ()
    wanted = {
        question: tuple(dict.fromkeys(answers[question] for answers in here))
        for question in every[0]
    }
    narrowed = {
        question: answers
        for question, answers in wanted.items()
        if len(answers) < len({way[question] for way in every})
    }
    # a question that changes nothing beside the others is left out
    for question in list(narrowed):
        rest = {q: a for q, a in narrowed.items() if q != question}
        if rest and _ways(rest, every) == _ways(narrowed, every):
            narrowed = rest
    return tuple(narrowed.items())


def _ways(wanted: dict[str, tuple[str, ...]], every: list[dict[str, str]]) -> list[int]:
    return [i for i, w in enumerate(every) if all(w[q] in a for q, a in wanted.items())]


def _not_compared(ours: Course, theirs: Course, short: str) -> Iterable[str]:
    for part, mine, other in (
        (PUTTING_ON, ours.donning, theirs.donning),
        (TAKING_OFF, ours.doffing, theirs.doffing),
    ):
        if mine is None:
            yield f"The protocol has no part for {part}, so that is not compared."
        elif other is None:
            yield f"{short} does not show the order of {part}, so that is not compared."
