"""What stands in one paragraph: a bold lead, plain text and code spans, each with its place.

Almost every paragraph of a protocol has one simple shape, which is read by pattern; all others
go to the CommonMark parser. A test holds the short way against the long one.
"""

from __future__ import annotations

import re
from bisect import bisect_right
from collections.abc import Callable
from dataclasses import dataclass, field

from markdown_it import MarkdownIt
from markdown_it.rules_inline import (
    StateInline,
    autolink,
    backtick,
    emphasis,
    html_inline,
    image,
)
from markdown_it.token import Token

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
class _Pieces:
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
# Written as references, these two slip past the check of the source.
_OVERRIDES = re.compile("[\u202d\u202e]")
_CODE = re.compile(r"`([^`]+)`")


def read_inline(
    content: Content, parser: Callable[[], MarkdownIt], references: dict[str, object]
) -> tuple[Prose, list[Foreign]]:
    """One paragraph as plain text with places."""
    foreign: list[Foreign] = []
    pieces = _short(content.text) or _long(content, parser, references, foreign)
    codes = tuple(_code(content, *code) for code in pieces.codes)
    lead, rest = tidy(pieces.lead), tidy(pieces.rest)
    return Prose(lead, rest, codes, _first_words(content, pieces)), foreign


def parser() -> MarkdownIt:
    """A CommonMark parser that also tells where code spans and bold words are."""
    made = MarkdownIt("commonmark")
    rules = made.inline.ruler
    for name, rule in (
        ("backticks", backtick),
        ("html_inline", html_inline),
        ("image", image),
        ("autolink", autolink),
    ):
        rules.at(name, _placed(rule))
    rules.at("emphasis", _placed_marks)
    return made


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


def _short(text: str) -> _Pieces | None:
    """The simple shape, or None."""
    pieces = _Pieces()
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


def _long(
    content: Content,
    parser: Callable[[], MarkdownIt],
    references: dict[str, object],
    foreign: list[Foreign],
) -> _Pieces:
    """Any shape, by the CommonMark parser."""
    pieces = _Pieces()
    tokens: list[Token] = []
    parser().inline.parse(content.text, parser(), references, tokens)
    lead: list[str] = []
    rest: list[str] = []
    into, depth = rest, 0
    for token in tokens:
        kind = token.type
        if kind == "code_inline":
            start, end = token.meta["place"]
            pieces.codes.append((start, end, len(token.markup)))
            into.append(SEAM)
        elif kind in ("text", "text_special"):
            into.append(_OVERRIDES.sub("\N{REPLACEMENT CHARACTER}", token.content))
        elif kind in ("softbreak", "hardbreak"):
            into.append("\n")
        elif kind in ("html_inline", "image"):
            at = content.span(*token.meta["place"])
            address = str(token.attrs["src"]) if kind == "image" else None
            foreign.append(Foreign(address, at))
        elif kind == "strong_open":
            if depth == 0 and pieces.lead_at is None and not _has_words(rest):
                pieces.lead_at = (token.meta["place"] + 1, 0)
                into = lead
            depth += 1
        elif kind == "strong_close":
            depth -= 1
            if depth == 0 and into is lead and pieces.lead_at is not None:
                pieces.lead_at = (pieces.lead_at[0], token.meta["place"])
                into = rest
    pieces.lead, pieces.rest = "".join(lead), "".join(rest)
    return pieces


def _has_words(texts: list[str]) -> bool:
    return any(text.strip(" \n\t" + SEAM) for text in texts)


def _code(content: Content, start: int, end: int, fence: int) -> CodeSpan:
    words = tuple(content.text[start + fence : end - fence].split())
    if not words:
        return CodeSpan((), content.span(start, end))
    return CodeSpan(words, content.span(start + fence, end - fence))


def _first_words(content: Content, pieces: _Pieces) -> Span:
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


def _placed(
    rule: Callable[[StateInline, bool], bool],
) -> Callable[[StateInline, bool], bool]:
    """The rule, which also writes where its token begins and ends."""

    def wrapped(state: StateInline, silent: bool) -> bool:
        start, before = state.pos, len(state.tokens)
        made = rule(state, silent)
        # A run of backticks that closes nothing is taken in as text, without a token.
        if made and len(state.tokens) > before:
            state.tokens[-1].meta["place"] = (start, state.pos)
        return made

    return wrapped


def _placed_marks(state: StateInline, silent: bool) -> bool:
    """Asterisks and underscores become one token each; every one learns its place."""
    start = state.pos
    made = emphasis.tokenize(state, silent)
    if made:
        count = state.pos - start
        for step, token in enumerate(state.tokens[-count:]):
            token.meta["place"] = start + step
    return made
