"""What the readers of this package return: nodes that know their place, but no meaning."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from compiler.source import Span

# --- YAML ---------------------------------------------------------------------------------


@dataclass(frozen=True, slots=True)
class Scalar:
    """One value: a text, a number, yes or no, or nothing."""

    value: str | int | float | bool | None
    """By the YAML 1.2 core schema; quoted and block scalars are always text."""
    text: str
    """The characters it stands for, before they were taken for a number and the like."""
    at: Span


@dataclass(frozen=True, slots=True)
class Sequence:
    """A list."""

    items: tuple[Node, ...]
    at: Span


@dataclass(frozen=True, slots=True)
class Entry:
    """One `key: value` of a map."""

    key: str
    """As written, white space folded."""
    key_at: Span
    value: Node

    @property
    def at(self) -> Span:
        """The value's place, or the key's where nothing is written after it."""
        place = self.value.at
        return place if place.end > place.start else self.key_at


@dataclass(frozen=True, slots=True)
class Mapping:
    """A map; no key occurs twice."""

    entries: tuple[Entry, ...]
    at: Span


@dataclass(frozen=True, slots=True)
class Refused:
    """Something that was reported and is not read: readers pass over it in silence."""

    at: Span


Node = Scalar | Sequence | Mapping | Refused

# --- phrases ------------------------------------------------------------------------------


@dataclass(frozen=True, slots=True)
class Word:
    """The text of a value, and where it stands."""

    text: str
    """As written, white space folded."""
    at: Span


@dataclass(frozen=True, slots=True)
class Name:
    """A name in a phrase. Its place is worked out when it is asked for: hardly ever."""

    text: str
    """As written, white space folded."""
    code: CodeSpan
    first: int
    end: int

    @property
    def at(self) -> Span:
        """Its first letter to its last."""
        return self.code.span(self.first, self.end)


@dataclass(frozen=True, slots=True)
class PhraseTree:
    """One phrase, its names not yet looked up."""

    verb: str
    """The phrase's first words in lower case: `wear`, `go to`, `at work in` …"""
    at: Span
    names: tuple[Name, ...] = ()
    """What it is about: an item, several joined by `and`, an area, a question …"""
    place: Name | None = None
    """After `from`, `in` or `on`."""
    agent: Name | None = None
    """After `with`, for `disinfect`."""
    grip: str = ""
    """After `by`, in lower case."""
    assistant: bool = False
    on_gloves: bool = False
    seconds: int = 0
    """For `takes`."""


# --- Markdown -----------------------------------------------------------------------------


@dataclass(frozen=True, slots=True)
class CodeSpan:
    """What stands between backticks."""

    words: tuple[str, ...]
    at: Span
    """The words without the backticks and without outer spaces."""

    def word(self, first: int, end: int) -> Name:
        """Some words of it as one, from number `first` up to, not including, `end`."""
        return Name(" ".join(self.words[first:end]), self, first, end)

    def span(self, first: int, end: int) -> Span:
        """The place of some words of it."""
        places = []
        start = self.at.start
        for word in self.words[:end]:
            start = self.at.source.text.index(word, start)
            places.append((start, start + len(word)))
            start += len(word)
        return Span(self.at.source, places[first][0], places[end - 1][1])


@dataclass(frozen=True, slots=True)
class Prose:
    """The text of one paragraph or heading as plain text."""

    lead: str
    """Bold words that come first; empty where there are none."""
    rest: str
    """Everything else without the code spans, white space folded."""
    codes: tuple[CodeSpan, ...]
    at: Span
    """The lead, or the first words when there is none."""


@dataclass(frozen=True, slots=True)
class Heading:
    """A heading of any level."""

    prose: Prose


@dataclass(frozen=True, slots=True)
class Paragraph:
    """A paragraph outside any list."""

    prose: Prose


@dataclass(frozen=True, slots=True)
class Quote:
    """A block quote: its paragraphs."""

    paragraphs: tuple[Prose, ...]
    at: Span


@dataclass(frozen=True, slots=True)
class Item:
    """An item of a list, with what is indented below it."""

    paragraphs: tuple[Prose, ...]
    quotes: tuple[Quote, ...]
    lists: tuple[Steps | Bullets, ...]
    at: Span
    """Its first words, or its marker when it has none."""


@dataclass(frozen=True, slots=True)
class Steps:
    """An ordered list."""

    items: tuple[Item, ...]
    at: Span


@dataclass(frozen=True, slots=True)
class Bullets:
    """An unordered list."""

    items: tuple[Item, ...]
    at: Span


Block = Heading | Paragraph | Quote | Steps | Bullets


def code_spans(paragraphs: tuple[Prose, ...]) -> Iterator[CodeSpan]:
    """All code spans of some paragraphs, in reading order."""
    for prose in paragraphs:
        yield from prose.codes
