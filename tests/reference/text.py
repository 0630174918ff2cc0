"""What the reference takes from the text alone, before any way is walked."""

from __future__ import annotations

from dataclasses import dataclass

from compiler.model.clinic import Clinic, Zone
from compiler.model.kit import Kind, Kit
from compiler.model.protocol import (
    Activity,
    Begin,
    Go,
    Phrase,
    Protocol,
    Touch,
    Wear,
    every_step,
)


@dataclass(frozen=True)
class Text:
    """What is known from the text alone."""

    work_begins: list[Begin]
    """Headings at which work begins."""
    gloves_follow: list[Go]
    """Ways in that gloves follow."""


def read_text(protocol: Protocol, clinic: Clinic, kit: Kit) -> Text:
    """Looks for both in the text, in reading order."""
    text = Text([], [])
    worked = False
    for part in protocol.parts:
        activity = part.begin.activity
        if activity is Activity.WORK or (activity is Activity.DOFFING and not worked):
            text.work_begins.append(part.begin)
            worked = True
        if activity is Activity.DONNING:
            phrases = [phrase for step in every_step(part.steps) for phrase in step.phrases]
            text.gloves_follow.extend(
                phrase
                for number, phrase in enumerate(phrases)
                if isinstance(phrase, Go)
                and clinic.areas[phrase.area].zone is Zone.CONTAMINATED
                and gloves_come_first(phrases[number + 1 :], kit)
            )
    return text


def gloves_come_first(phrases: list[Phrase], kit: Kit) -> bool:
    """Whether gloves are put on later, and nothing is touched before."""
    for phrase in phrases:
        if isinstance(phrase, Touch):
            return False
        if isinstance(phrase, Wear) and kit.items[phrase.item].kind is Kind.GLOVES:
            return True
    return False
