"""One way through a protocol or a list, as the deeds that can be compared."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from enum import Enum
from itertools import islice, product

from compiler.comparing.garments import word_of
from compiler.model.clinic import Clinic, Zone
from compiler.model.kit import Kit
from compiler.model.protocol import (
    Activity,
    Check,
    Fork,
    Go,
    Hygiene,
    Observed,
    Part,
    Phrase,
    Protocol,
    Remove,
    Step,
    Wear,
    every_step,
)
from compiler.source import Span

MOST_WAYS = 64
"""Combinations of answers that are compared one by one."""


class Verb(Enum):
    """What is done."""

    ON = "on"
    OFF = "off"
    HYGIENE = "hand hygiene"
    CHECK = "check"
    OBSERVED = "observed"


@dataclass(frozen=True, slots=True)
class Deed:
    """Something that protocols and lists both say."""

    verb: Verb
    garments: tuple[str, ...] = ()
    """By generic kind; more than one when they come off in one movement."""
    inside: bool | None = False
    """Whether it is done in the contaminated area; nothing where a list does not say."""
    at: Span | None = None
    """The phrase; nothing for a list."""
    lead: str = ""
    """The bold words of its step."""
    added: bool = False
    """A list leaves it out: it was added to make the list whole, and proves nothing."""


Deeds = tuple[Deed, ...]
Answers = tuple[tuple[str, str], ...]


@dataclass(frozen=True, slots=True)
class Course:
    """Both halves; a half that is not there is nothing, not empty."""

    donning: Deeds | None
    doffing: Deeds | None

    @property
    def garments(self) -> tuple[str, ...]:
        """What is put on or taken off, in the order first named."""
        deeds = (*(self.donning or ()), *(self.doffing or ()))
        worn = (d for d in deeds if d.verb in {Verb.ON, Verb.OFF})
        return tuple(dict.fromkeys(word for deed in worn for word in deed.garments))


def courses(protocol: Protocol, clinic: Clinic, kit: Kit) -> tuple[dict[Answers, Course], bool]:
    """Every way through a protocol by the answers given on it, and whether these are all.

    With more ways than can be compared one by one, answers are changed one at a time, the
    other questions keeping their first answer.
    """
    questions: dict[str, dict[str, None]] = {}
    for fork in _forks(protocol):
        known = questions.setdefault(fork.question, {})
        known.update(dict.fromkeys(branch.answer for branch in fork.branches))
    ways = list(islice(product(*questions.values()), MOST_WAYS + 1))
    whole = len(ways) <= MOST_WAYS
    if not whole:
        first = tuple(next(iter(answers)) for answers in questions.values())
        changed = (
            (*first[:at], answer, *first[at + 1 :])
            for at, answers in enumerate(questions.values())
            for answer in answers
        )
        ways = list(dict.fromkeys(islice(changed, 4 * MOST_WAYS)))
    answered = (tuple(zip(questions, way, strict=True)) for way in ways)
    found = {answers: _course(protocol, clinic, kit, dict(answers)) for answers in answered}
    return found, whole


def _forks(protocol: Protocol) -> Iterator[Fork]:
    for part in protocol.parts:
        yield from (step.fork for step in every_step(part.steps) if step.fork)


def _course(protocol: Protocol, clinic: Clinic, kit: Kit, answers: dict[str, str]) -> Course:
    def half(activity: Activity) -> Deeds | None:
        parts = [part for part in protocol.parts if part.begin.activity is activity]
        if not parts:
            return None
        return tuple(deed for part in parts for deed in _deeds(part, clinic, kit, answers))

    return Course(half(Activity.DONNING), half(Activity.DOFFING))


def _deeds(part: Part, clinic: Clinic, kit: Kit, answers: dict[str, str]) -> Iterator[Deed]:
    here = part.begin.area
    for step, phrase in _along(part.steps, answers):
        if isinstance(phrase, Go):
            here = phrase.area
        area = clinic.areas.get(here)
        inside = area is not None and area.zone is Zone.CONTAMINATED
        for verb, garments in _said(phrase, kit):
            yield Deed(verb, garments, inside, phrase.at, step.lead)


def _along(steps: tuple[Step, ...], answers: dict[str, str]) -> Iterator[tuple[Step, Phrase]]:
    for step in steps:
        for phrase in step.phrases:
            yield step, phrase
        for branch in step.fork.branches if step.fork else ():
            if step.fork and answers[step.fork.question] == branch.answer:
                yield from _along(branch.steps, answers)


def _said(phrase: Phrase, kit: Kit) -> Iterator[tuple[Verb, tuple[str, ...]]]:
    names: tuple[str, ...]
    match phrase:
        case Wear(item=name):
            verb, names = Verb.ON, (name,)
        case Remove(items=several):
            verb, names = Verb.OFF, several
        case Check(item=name):
            verb, names = Verb.CHECK, (name,)
        case Hygiene():
            yield Verb.HYGIENE, ()
            return
        case Observed():
            yield Verb.OBSERVED, ()
            return
        case _:
            return
    words = tuple(w for name in names if name in kit.items and (w := word_of(kit.items[name])))
    if words:
        yield verb, words
