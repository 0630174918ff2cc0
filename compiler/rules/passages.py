"""Every text of a protocol with the step it belongs to, for rules that look at the words."""

from __future__ import annotations

import re
from dataclasses import dataclass

from compiler.model.protocol import Protocol, Step
from compiler.source import Span


@dataclass(frozen=True, slots=True)
class Passage:
    """One text as the sheets print it, white space folded."""

    kind: str
    """introduction, lead, detail, caution, branch or branch detail."""
    text: str
    at: Span
    """The part's heading, the step's lead, or the answer's phrase."""
    step: Step | None
    """The step it belongs to; for an answer the step that asks; nothing for introductions."""


def passages(protocol: Protocol) -> list[Passage]:
    """All of them, in reading order."""
    found: list[Passage] = []
    for part in protocol.parts:
        found += (Passage("introduction", text, part.at, None) for text in part.introduction)
        _gather(part.steps, found)
    return found


def _gather(steps: tuple[Step, ...], found: list[Passage]) -> None:
    for step in steps:
        if step.lead:
            found.append(Passage("lead", step.lead, step.at, step))
        if step.detail:
            found.append(Passage("detail", step.detail, step.at, step))
        found += [Passage("caution", text, step.at, step) for text in step.cautions]
        for branch in step.fork.branches if step.fork else ():
            if branch.lead:
                found.append(Passage("branch", branch.lead, branch.at, step))
            if branch.detail:
                found.append(Passage("branch detail", branch.detail, branch.at, step))
            _gather(branch.steps, found)


_NEXT = re.compile(r"^\s*(?:\d+[.)]|[-*+]|#+)\s", re.MULTILINE)


def place_of(passage: Passage, words: str) -> Span:
    """Where the words stand in the file; the passage's own place when they are not found.

    Words as printed may be broken over lines or hold emphasis in the file; then the reader is
    sent to the step, never to like words of another one.
    """
    text = passage.at.source.text
    # an answer's words stand before its phrase, on the same line
    start = text.rfind("\n", 0, passage.at.start) + 1
    line_end = text.find("\n", passage.at.start)
    following = _NEXT.search(text, line_end) if line_end >= 0 else None
    found = text.find(words, start, following.start() if following else len(text))
    if found < 0:
        return passage.at
    return passage.at.source.span(found, found + len(words))
