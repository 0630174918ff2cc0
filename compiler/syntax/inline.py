"""What stands in one paragraph: a bold lead, plain text and code spans, each with its place.

Almost every paragraph of a protocol has one simple shape, which is taken apart by pattern; all
others go to the CommonMark parser. A test holds the short way against the long one.
"""

from __future__ import annotations

import re
from bisect import bisect_right
from dataclasses import dataclass, field
from functools import lru_cache

from compiler.source import Source, Span
from compiler.syntax.spelling import folded
from compiler.syntax.tree import CodeSpan, Prose

SEAM = "\x00"
"""Stands in plain text for a code span that was taken out; no text that is read contains it."""


@dataclass(frozen=True, slots=True)
class Content:
    """A paragraph's raw text, and where each of its lines came from."""

    source: Source
    text: str
    """Lines without indentation and without the marks of quotes and lists."""
    lines: list[int]
    """Where each line begins in `text`."""
    origins: list[int]
    """Where each line begins in the source."""

    def span(self, start: int, end: int) -> Span:
        """The place in the source of a stretch of `text`, outer white space left off."""
        return self.placed(*_trimmed(self.text, start, end))

    def placed(self, start: int, end: int) -> Span:
        """The place in the source of a stretch of `text` as it is."""
        if len(self.lines) == 1:
            return Span(self.source, self.origins[0] + start, self.origins[0] + end)
        last = max(start, end - 1)
        return Span(self.source, self.origin(start), self.origin(last) + (end > start))

    def origin(self, offset: int) -> int:
        """The place in the source of one character of `text`."""
        line = bisect_right(self.lines, offset) - 1
        return self.origins[line] + offset - self.lines[line]


@dataclass(slots=True)
class Pieces:
    """A paragraph taken apart; all numbers are offsets in its raw text."""

    lead: str = ""
    rest: str = ""
    lead_at: tuple[int, int] | None = None
    codes: list[tuple[int, int, int]] = field(default_factory=list)
    """Of each code span: where it begins, where it ends, how many backticks fence it."""


@dataclass(frozen=True, slots=True)
class Shape:
    """What a paragraph says, and where in its raw text."""

    lead: str
    rest: str
    codes: tuple[tuple[tuple[str, ...], int, int], ...]
    """The words of each code span, and from where to where they stand."""
    first: tuple[int, int]
    """Where the words stand that stand for the paragraph."""


@dataclass(frozen=True, slots=True)
class Foreign:
    """Something that a protocol does not print: raw HTML, or a picture."""

    address: str | None
    """Of a picture; None for HTML."""
    at: Span


# The simple shape. The lead opens before a letter or digit and closes before white space, so
# both runs of asterisks are flanking whatever the letters are (CommonMark 0.31, section 6.2).
_LEAD = re.compile(r"\*\*(?=[^\W_])([^\\&<\[\]_*`]*[^\s\\&<\[\]_*`])\*\*(?=[ \n]|\Z)")
# The outer repetition may not be possessive: Python 3.11.2 then passes over the look-ahead.
_REST = re.compile(r"(?:[^\\&<\[\]_*`]++|`[^`]++`(?!`))*")
_CODE = re.compile(r"`([^`]+)`")


def take_apart(text: str) -> Pieces | None:
    """A paragraph of the simple shape; None for any other."""
    pieces = Pieces()
    start = 0
    if lead := _LEAD.match(text):
        pieces.lead, pieces.lead_at, start = lead[1], lead.span(1), lead.end()
    whole = _REST.fullmatch(text, start)
    if whole is None:
        return None
    pieces.codes = [(*code.span(), 1) for code in _CODE.finditer(text, start)]
    rest = _CODE.sub(SEAM, text[start:]) if pieces.codes else text[start:]
    pieces.rest = rest
    return pieces


def as_prose(content: Content, shape: Shape) -> Prose:
    """One paragraph as plain text with places."""
    placed = content.placed
    codes = tuple([CodeSpan(words, placed(start, end)) for words, start, end in shape.codes])
    return Prose(shape.lead, shape.rest, codes, placed(*shape.first))


def simple(text: str) -> Shape | None:
    """The shape of a simple paragraph; protocols say the same again and again."""
    return _simple(text) if len(text) > _SHORT else _known(text)


def _simple(text: str) -> Shape | None:
    pieces = take_apart(text)
    return shaped(text, pieces) if pieces else None


_SHORT = 400
"""Signs of the longest paragraphs that are remembered."""
_known = lru_cache(maxsize=4_096)(_simple)


def shaped(text: str, pieces: Pieces) -> Shape:
    """The shape of a paragraph that was taken apart."""
    codes = tuple(_code(text, *code) for code in pieces.codes)
    return Shape(tidy(pieces.lead), tidy(pieces.rest), codes, _first_words(text, pieces))


def _trimmed(text: str, start: int, end: int) -> tuple[int, int]:
    """The same stretch without outer white space."""
    while end > start and text[end - 1].isspace():
        end -= 1
    while start < end and text[start].isspace():
        start += 1
    return start, end


def tidy(text: str) -> str:
    r"""Plain text without seams: white space folded, no punctuation left hanging.

    >>> tidy("Rub until dry. \x00.")
    'Rub until dry.'
    >>> tidy("Put on the gown \x00 (\x00), then wait.")
    'Put on the gown, then wait.'
    """
    if SEAM in text:
        # Nearly always the phrases come last, and nothing is left between words.
        text = text.rstrip(" \n" + SEAM)
    if SEAM in text:
        text = _RUN.sub(SEAM, text)
        text = _BRACKETS.sub(SEAM, text)
        text = _RUN.sub(SEAM, text)
        text = _HANGING.sub(r"\1", text)
        text = _BEFORE_POINT.sub(r"\1", text)
        text = text.replace(SEAM, " ")
    return folded(text)


_RUN = re.compile(r"\s*\x00[\s\x00]*(?:[,;][\s]*\x00[\s\x00]*)*")
_BRACKETS = re.compile(r"[(\[]\x00[)\]]")
# A full stop after a phrase at the end of a sentence that has one already.
_HANGING = re.compile(r"((?:^|[.!?:;,…。！？؟।])[)\"”’»]*)\x00[.,;:。](?=\s|\x00|$)")
_BEFORE_POINT = re.compile(r"\x00([.,;:!?)\]…。！？؟।])")


def _code(text: str, start: int, end: int, fence: int) -> tuple[tuple[str, ...], int, int]:
    words = tuple(text[start + fence : end - fence].split())
    if not words:
        return (), *_trimmed(text, start, end)
    return words, *_trimmed(text, start + fence, end - fence)


def _first_words(text: str, pieces: Pieces) -> tuple[int, int]:
    """The lead; or text up to a code span or line end; or the first code span."""
    if pieces.lead_at is not None and pieces.lead.strip():
        return _trimmed(text, *pieces.lead_at)
    start = 0
    for code_start, code_end, _ in pieces.codes:
        if text[start:code_start].strip():
            break
        start = code_end
    if not text[start:].strip():
        start, end, fence = pieces.codes[0] if pieces.codes else (0, len(text), 0)
        return _trimmed(text, start + fence, end - fence)
    while text[start].isspace():
        start += 1
    ends = [code[0] for code in pieces.codes if code[0] > start]
    newline = text.find("\n", start)
    return _trimmed(text, start, min([*ends, newline if newline > 0 else len(text)]))
