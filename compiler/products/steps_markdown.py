"""The step list as CommonMark, which reads well as it stands and in anything that shows it.

Steps are ordered lists with the numbers of the sheet, hand hygiene stands between them as a
paragraph of its own, answers are bullets, and cautions are quotes.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator

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
from compiler.wording.words import Words

ALWAYS = re.compile(r"[\\`*_\[\]<>&~|$#]")
"""Signs that CommonMark 0.31.2, or what is built upon it (tables, formulas), may take for more
than themselves wherever they stand; a backslash makes each of them plain (6.1)."""
AT_START = re.compile(r"^(?:([+=:-])|(\d{1,9})([.)]))")
"""What would make a heading, a list or a rule of the words that begin a line."""


def markdown(steps: StepList, words: Words) -> str:
    """The whole list, which ends in a line feed."""
    writer = _Writer(words)
    blocks = [*writer.head(steps)]
    for part in steps.parts:
        blocks += writer.part(part)
    blocks += writer.foot(steps)
    return "\n\n".join(blocks) + "\n"


def escaped(text: str) -> str:
    r"""Text that reads as it was written, wherever it stands in a paragraph.

    >>> print(escaped("3. Wash *both* <hands>"))
    3\. Wash \*both\* \<hands\>
    """
    text = ALWAYS.sub(lambda sign: f"\\{sign[0]}", " ".join(text.split()))
    return AT_START.sub(lambda s: f"\\{s[1]}" if s[1] else f"{s[2]}\\{s[3]}", text)


def _indented(blocks: Iterable[str], width: int) -> Iterator[str]:
    """The blocks inside a list item whose mark is so wide (CommonMark 0.31.2, 5.2)."""
    for block in blocks:
        yield "\n".join(" " * width + line if line else line for line in block.split("\n"))


def _item(mark: str, blocks: Iterable[str]) -> Iterator[str]:
    """A list item; its first block begins beside the mark."""
    first, *rest = _indented(blocks, len(mark))
    yield mark + first[len(mark) :]
    yield from rest


class _Writer:
    """Writes the blocks of a list in one language."""

    def __init__(self, words: Words) -> None:
        self.words = words

    def text(self, words: str) -> str:
        """Words as they stand, escaped; numbers keep their order from right to left."""
        return isolated_letters(escaped(words), self.words.direction)

    def strong(self, words: str) -> str:
        """Bold words; nothing for none."""
        return f"**{self.text(words)}**" if words.strip() else ""

    def together(self, lead: str, detail: str, place: str = "") -> str:
        """Lead, detail and "after 6" in one paragraph."""
        said = f"*({self.text(place)})*" if place else ""
        return " ".join(filter(None, (self.strong(lead), self.text(detail), said)))

    def head(self, steps: StepList) -> Iterator[str]:
        said = steps.sheet
        yield f"# {self.text(said.title)}"
        yield from map(self.text, filter(None, (said.about, said.clinic, said.own_name)))
        yield from map(self.strong, filter(None, (said.draft, *said.notices)))
        yield self.strong(said.caution)

    def foot(self, steps: StepList) -> Iterator[str]:
        said = steps.sheet
        yield "---"
        yield self.strong(said.caution)
        whose = (said.clinic, said.contact, said.title)
        yield from map(self.text, filter(None, (*whose, *steps.facts, said.own_name)))

    def part(self, part: ListedPart) -> Iterator[str]:
        yield f"## {self.text(part.title)}"
        yield from map(self.text, part.introduction)
        for stretch in part.stretches:
            yield f"### {self.area(stretch)}"
            yield from self.stops(stretch.stops)

    def area(self, stretch: ListedStretch) -> str:
        return self.text(f"{stretch.area}, {stretch.kind}")

    def stops(self, stops: tuple[ListedStop, ...]) -> Iterator[str]:
        for stop in stops:
            match stop:
                case ListedStep():
                    yield from self.step(stop, ())
                case ListedBeat():
                    yield self.together(stop.lead, stop.detail, stop.place)
                    yield from self.cautions(stop.cautions)
                case ListedFork():
                    yield from self.step(stop.question, self.answers(stop))
                    if stop.onward:
                        # ends the list, whose next item would else get the next number
                        yield f"*{self.text(stop.onward)}*"

    def step(self, step: ListedStep, more: Iterable[str]) -> Iterator[str]:
        words = self.together(step.lead, step.detail)
        yield from _item(f"{step.value}. ", (words, *self.cautions(step.cautions), *more))

    def cautions(self, cautions: tuple[str, ...]) -> Iterator[str]:
        for caution in cautions:
            yield f"> {self.strong(self.words.say('Caution: {text}', text=caution))}"

    def answers(self, fork: ListedFork) -> Iterator[str]:
        for way in fork.ways:
            yield from _item("- ", self.way(way))

    def way(self, way: ListedWay) -> Iterator[str]:
        yield self.together(way.lead, way.detail)
        for stretch in way.stretches:
            if stretch.named:
                yield f"*{self.area(stretch)}*"
            yield from self.stops(stretch.stops)
