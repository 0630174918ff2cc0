"""The step list as plain text: one column, lines of at most 72 cells, only words and space.

A line has the direction of its first letter that has one (Unicode Standard Annex 9), so text
from right to left needs no tricks; only numbers with units, codes and telephone numbers are
isolated in it.
"""

from __future__ import annotations

import unicodedata
from collections.abc import Iterator

from compiler.layout.breaking import pieces
from compiler.products.html import isolated_letters
from compiler.products.steps_listing import (
    ListedBeat,
    ListedFork,
    ListedPart,
    ListedStep,
    ListedStop,
    ListedStretch,
    ListedWay,
    StepList,
)
from compiler.wording.cells import cells
from compiler.wording.words import Words

WIDTH = 72
"""Cells, so that a line survives being quoted in a message; common practice, no source."""
NARROWEST = 24
"""Answers within answers are not indented further than leaves this much."""
BEAT, ANSWER, CAUTION = "*** ", "- ", "! "


def plain_text(steps: StepList, words: Words) -> str:
    """The whole list, which ends in a line feed."""
    writer = _Writer(words)
    lines = [*writer.head(steps)]
    for part in steps.parts:
        lines += ["", "", *writer.part(part)]
    lines += ["", "", *writer.foot(steps), ""]
    return "\n".join(isolated_letters(line, words.direction) for line in lines)


def wrapped(text: str, language: str, first: str = "", after: str = "") -> Iterator[str]:
    """The text in lines, the first behind `first` and the others behind `after`."""
    line, gap, start = first, "", first
    for word, space in pieces(text, language):
        for piece in _bits(word, WIDTH - cells(after)):
            if line != start and cells(line + gap + piece) > WIDTH:
                yield line.rstrip()
                line = start = after
                gap = ""
            line, gap = line + gap + piece, ""
        gap = space
    if line.strip():
        yield line.rstrip()


def _bits(word: str, room: int) -> Iterator[str]:
    """The word, cut where it would be wider than a line."""
    bit = ""
    for sign in word:
        if bit and cells(bit + sign) > room and not unicodedata.category(sign).startswith("M"):
            yield bit
            bit = ""
        bit += sign
    yield bit


class _Writer:
    """Writes the pieces of a list in one language."""

    def __init__(self, words: Words) -> None:
        self.words = words

    def lines(self, text: str, indent: int = 0, mark: str = "") -> Iterator[str]:
        """A paragraph, whose first line may have a mark that hangs before the others."""
        left = " " * min(indent, WIDTH - NARROWEST)
        return wrapped(text, self.words.tag, left + mark, left + " " * cells(mark))

    def head(self, steps: StepList) -> Iterator[str]:
        said = steps.sheet
        yield from self.titled(said.title, "=")
        yield from self.lines(said.about)
        yield from self.lines(said.clinic)
        yield said.own_name
        if said.draft or said.notices:
            yield ""
            for notice in (said.draft, *said.notices):
                yield from self.lines(notice)
        yield ""
        yield from self.lines(said.caution)

    def foot(self, steps: StepList) -> Iterator[str]:
        said = steps.sheet
        yield "=" * WIDTH
        yield from self.lines(said.caution)
        for line in (said.clinic, said.contact, said.title, *steps.facts, said.own_name):
            yield from self.lines(line)

    def titled(self, title: str, rule: str) -> Iterator[str]:
        yield from self.lines(title)
        yield rule * min(WIDTH, cells(title))

    def part(self, part: ListedPart) -> Iterator[str]:
        yield from self.titled(part.title, "-")
        for paragraph in part.introduction:
            yield ""
            yield from self.lines(paragraph)
        yield from self.stretches(part.stretches, 0)

    def stretches(self, stretches: tuple[ListedStretch, ...], indent: int) -> Iterator[str]:
        for stretch in stretches:
            if stretch.named:
                yield ""
                yield from self.lines(f"[{stretch.area}, {stretch.kind}]", indent)
            for stop in stretch.stops:
                yield ""
                yield from self.stop(stop, indent)

    def stop(self, stop: ListedStop, indent: int) -> Iterator[str]:
        match stop:
            case ListedStep():
                yield from self.step(stop, indent)
            case ListedBeat():
                yield from self.beat(stop, indent)
            case ListedFork():
                yield from self.fork(stop, indent)

    def step(self, step: ListedStep, indent: int) -> Iterator[str]:
        mark = " " * (2 - cells(step.number)) + f"{step.number}  "
        texts = [text for text in (step.lead, step.detail) if text]
        yield from self.lines(texts[0] if texts else "", indent, mark)
        for text in texts[1:]:
            yield from self.lines(text, indent + 4)
        yield from self.cautions(step.cautions, indent + 4)

    def beat(self, beat: ListedBeat, indent: int) -> Iterator[str]:
        place = f" ({beat.place})" if beat.place else ""
        yield from self.lines(f"{beat.lead}{place}", indent, BEAT)
        yield from self.lines(beat.detail, indent + len(BEAT))
        yield from self.cautions(beat.cautions, indent + len(BEAT))

    def cautions(self, cautions: tuple[str, ...], indent: int) -> Iterator[str]:
        for caution in cautions:
            yield from self.lines(
                self.words.say("Caution: {text}", text=caution), indent, CAUTION
            )

    def fork(self, fork: ListedFork, indent: int) -> Iterator[str]:
        yield from self.step(fork.question, indent)
        for way in fork.ways:
            yield ""
            yield from self.way(way, indent + 4)
        if fork.onward:
            yield ""
            yield from self.lines(fork.onward, indent + 4)

    def way(self, way: ListedWay, indent: int) -> Iterator[str]:
        yield from self.lines(way.lead, indent, ANSWER)
        yield from self.lines(way.detail, indent + len(ANSWER))
        yield from self.stretches(way.stretches, indent + len(ANSWER))
