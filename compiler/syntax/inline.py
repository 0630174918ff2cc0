"""What stands in one paragraph: a bold lead, plain text and code spans, each with its place.

Almost every paragraph of a protocol has one simple shape, which is taken apart by pattern; all
others go to the CommonMark parser. A test holds the short way against the long one.
"""

from __future__ import annotations

import re
from bisect import bisect_right
from dataclasses import dataclass, field

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
        while end > start and self.text[end - 1].isspace():
            end -= 1
        while start < end and self.text[start].isspace():
            start += 1
        last = max(start, end - 1)
        return Span(self.source, self.origin(start), self.origin(last) + (end > start))

    def origin(self, offset: int) -> int:
        """The place in the source of one character of `text`."""
        if len(self.lines) == 1:
            return self.origins[0] + offset
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


def as_prose(content: Content, pieces: Pieces) -> Prose:
    """The pieces of one paragraph as plain text with places."""
    codes = tuple(_code(content, *code) for code in pieces.codes)
    return Prose(tidy(pieces.lead), tidy(pieces.rest), codes, _first_words(content, pieces))


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


def _code(content: Content, start: int, end: int, fence: int) -> CodeSpan:
    words = tuple(content.text[start + fence : end - fence].split())
    if not words:
        return CodeSpan((), content.span(start, end))
    return CodeSpan(words, content.span(start + fence, end - fence))


def _first_words(content: Content, pieces: Pieces) -> Span:
    """The lead; or text up to a code span or line end; or the first code span."""
    if pieces.lead_at is not None and pieces.lead.strip():
        return content.span(*pieces.lead_at)
    text = content.text
    start = 0
    for code_start, code_end, _ in pieces.codes:
        if text[start:code_start].strip():
            break
        start = code_end
    if not text[start:].strip():
        start, end, fence = pieces.codes[0] if pieces.codes else (0, len(text), 0)
        return content.span(start + fence, end - fence)
    while text[start].isspace():
        start += 1
    ends = [code[0] for code in pieces.codes if code[0] > start]
    newline = text.find("\n", start)
    return content.span(start, min([*ends, newline if newline > 0 else len(text)]))
