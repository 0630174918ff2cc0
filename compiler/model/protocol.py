"""A protocol as values: parts, steps, forks, and the phrases that the checker understands."""

from __future__ import annotations

import datetime
from collections.abc import Iterator
from dataclasses import dataclass
from enum import Enum

from compiler.source import Source, Span


class Activity(Enum):
    """What a part is about."""

    DONNING = "donning"
    DOFFING = "doffing"
    WORK = "at work"


class Grip(Enum):
    """How an item is held while it comes off."""

    USUAL = ""
    """Not said: the usual good technique for that kind."""
    TIES = "ties"
    STRAPS = "straps"
    INSIDE = "inside"
    CUFFS = "cuffs"
    OUTSIDE = "outside"


@dataclass(frozen=True, slots=True)
class Begin:
    """`donning in AREA`, `doffing in AREA`, `at work in AREA`: a part starts here."""

    activity: Activity
    area: str
    at: Span


@dataclass(frozen=True, slots=True)
class Go:
    """`go to AREA`."""

    area: str
    at: Span


@dataclass(frozen=True, slots=True)
class Hygiene:
    """`handrub` or `handwash`, on bare hands or on the outermost gloves."""

    wash: bool
    on_gloves: bool
    at: Span


@dataclass(frozen=True, slots=True)
class Wear:
    """`wear ITEM [from PLACE] [with assistant]`."""

    item: str
    source: str
    """The place a kept item comes from, or empty."""
    assistant: bool
    at: Span


@dataclass(frozen=True, slots=True)
class Remove:
    """`remove ITEM [and ITEM] [by GRIP] [with assistant]`."""

    items: tuple[str, ...]
    grip: Grip
    assistant: bool
    at: Span


@dataclass(frozen=True, slots=True)
class Discard:
    """`discard ITEM [in PLACE]`."""

    item: str
    place: str
    at: Span


@dataclass(frozen=True, slots=True)
class Keep:
    """`keep ITEM on PLACE` or `keep ITEM in PLACE`."""

    item: str
    place: str
    at: Span


@dataclass(frozen=True, slots=True)
class Send:
    """`send ITEM [in PLACE]`: off to reprocessing."""

    item: str
    place: str
    at: Span


@dataclass(frozen=True, slots=True)
class Disinfect:
    """`disinfect ITEM or PLACE [with AGENT]`."""

    target: str
    """The name of an item or of a place; names are unique over both."""
    agent: str
    at: Span


@dataclass(frozen=True, slots=True)
class Check:
    """`check ITEM`: seal check for a respirator; fit, tears or tally for anything else."""

    item: str
    at: Span


@dataclass(frozen=True, slots=True)
class Observed:
    """`observed`: the trained observer confirms before the next step."""

    at: Span


@dataclass(frozen=True, slots=True)
class Touch:
    """`touch PLACE`: equipment or a fixture is handled."""

    place: str
    at: Span


@dataclass(frozen=True, slots=True)
class Takes:
    """`takes 45 s`: planning time of the step, in seconds."""

    seconds: int
    at: Span


Phrase = (
    Begin
    | Go
    | Hygiene
    | Wear
    | Remove
    | Discard
    | Keep
    | Send
    | Disinfect
    | Check
    | Observed
    | Touch
    | Takes
)


@dataclass(frozen=True, slots=True)
class Branch:
    """One way out of a fork."""

    answer: str
    lead: str
    """Bold words beside the answer, or empty."""
    detail: str
    steps: tuple[Step, ...]
    at: Span
    """The `if` phrase."""


@dataclass(frozen=True, slots=True)
class Fork:
    """A question and its answers."""

    question: str
    branches: tuple[Branch, ...]
    at: Span
    """The `decide` phrase."""


@dataclass(frozen=True, slots=True)
class Step:
    """One numbered step."""

    number: int
    """Its number in its own list, counted from 1."""
    lead: str
    """The bold words, plain text: all that a card prints."""
    detail: str
    """The rest of the text, plain text without phrases."""
    cautions: tuple[str, ...]
    """Block quotes below it, plain text."""
    phrases: tuple[Phrase, ...]
    """In the order written; done before the fork, if there is one."""
    fork: Fork | None
    at: Span
    """The lead, or the first words when there is none."""


@dataclass(frozen=True, slots=True)
class Part:
    """Putting on, at work, or taking off."""

    title: str
    begin: Begin
    introduction: tuple[str, ...]
    """Paragraphs before the first step, plain text."""
    steps: tuple[Step, ...]
    at: Span
    """The heading's words."""


@dataclass(frozen=True, slots=True)
class Waiver:
    """A finding that the author accepts, with a reason and a date."""

    slug: str
    reason: str
    at: Span


@dataclass(frozen=True, slots=True)
class Protocol:
    """One protocol file."""

    name: str
    """The file's name without its ending."""
    title: str
    precautions: tuple[str, ...]
    """From standard, contact, droplet, airborne."""
    hazard: str
    edition: str
    valid_from: datetime.date | None
    review_by: datetime.date | None
    owner: str
    parts: tuple[Part, ...]
    source: Source
    at: Span
    """The title's place in the head."""
    waivers: tuple[Waiver, ...] = ()

    @property
    def spores(self) -> bool:
        """Whether the hazard asks for soap and water."""
        return "spore" in self.hazard.casefold()


def every_step(steps: tuple[Step, ...]) -> Iterator[Step]:
    """All steps below, those inside forks included, in reading order."""
    for step in steps:
        yield step
        if step.fork:
            for branch in step.fork.branches:
                yield from every_step(branch.steps)


def kept_items(protocol: Protocol) -> dict[str, str]:
    """The items that a protocol keeps, in order, each with the place where it is kept first."""
    kept: dict[str, str] = {}
    for part in protocol.parts:
        for step in every_step(part.steps):
            for phrase in step.phrases:
                if isinstance(phrase, Keep):
                    kept.setdefault(phrase.item, phrase.place)
    return kept
