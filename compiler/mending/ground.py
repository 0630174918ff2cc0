"""What a mend starts from: one file of a set, and what is known of it."""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import dataclass

from compiler.findings import Finding
from compiler.mending.lists import Spot, spots_of
from compiler.model.clinic import Clinic
from compiler.model.kit import Kit
from compiler.model.protocol import Hygiene, Phrase, Protocol, Step, every_step
from compiler.source import Source, Span

Ways = tuple[str, ...]
"""Texts of the whole file. There is a mend only if exactly one of them removes the finding."""


@dataclass(frozen=True, slots=True)
class Ground:
    """One protocol of a set."""

    clinic: Clinic
    kit: Kit
    protocol: Protocol
    others: tuple[Protocol, ...] = ()
    """The other protocols of the set: how they put a step is how the clinic puts it."""

    @property
    def source(self) -> Source:
        """The text to be mended."""
        return self.protocol.source

    @property
    def english(self) -> bool:
        """Whether words of the text can be read, and new ones be written, in English."""
        return self.clinic.languages[0].partition("-")[0] == "en"

    def steps(self) -> Iterator[Step]:
        """Every step, in reading order."""
        return steps_of(self.protocol)

    def phrase_at(self, span: Span) -> Phrase | None:
        """The phrase that stands exactly there."""
        phrases = (phrase for step in self.steps() for phrase in step.phrases)
        return next((p for p in phrases if p.at.order == span.order), None)

    def step_at(self, finding: Finding) -> Step | None:
        """The innermost step in which a finding is told."""
        spots = self.spots(finding.at.span)
        return spots[0].steps[spots[0].index] if spots else None

    def spots(self, span: Span) -> list[Spot]:
        """The step there and the steps around it, the innermost first."""
        return spots_of(self.protocol, span)


def steps_of(protocol: Protocol) -> Iterator[Step]:
    """Every step of a protocol, in reading order."""
    for part in protocol.parts:
        yield from every_step(part.steps)


def replaced(source: Source, *changes: tuple[Span, str]) -> str:
    """The text with other words at some places."""
    text = source.text
    for span, words in sorted(changes, key=lambda c: c[0].start, reverse=True):
        text = text[: span.start] + words + text[span.end :]
    return text


def prose(step: Step) -> str:
    """All that is printed of a step, in small letters."""
    return " ".join((step.lead, step.detail, *step.cautions)).casefold()


def lone_hygiene(step: Step) -> Hygiene | None:
    """The one phrase of a step that is about nothing but hand hygiene."""
    if len(step.phrases) == 1 and not step.fork and isinstance(step.phrases[0], Hygiene):
        return step.phrases[0]
    return None


def mentions(step: Step, pattern: str) -> bool:
    """Whether a step's printed words hold one of some words."""
    return bool(re.search(rf"\b(?:{pattern})\b", prose(step)))
