"""CommonMark to a small tree: headings, paragraphs, quotes and lists, each with its place.

Blocks come from markdown-it, which knows lines but no columns; its rules are wrapped here so
that each paragraph also says where its lines begin. Raw HTML and pictures are found and
reported, and never go any further.
"""

from __future__ import annotations

import re
from collections.abc import Callable
from functools import cache
from urllib.parse import unquote

from markdown_it import MarkdownIt
from markdown_it.rules_block import StateBlock, heading, lheading, paragraph
from markdown_it.token import Token

from compiler.findings import Finding, Level, Mark, Rule
from compiler.source import Source, Span
from compiler.syntax import inline, limits
from compiler.syntax.inline import Content, Foreign
from compiler.syntax.spelling import quoted
from compiler.syntax.tree import (
    Block,
    Bullets,
    Heading,
    Item,
    Paragraph,
    Prose,
    Quote,
    Steps,
)
from compiler.syntax.yaml import unreadable

RAW_HTML = Rule(
    "raw-html",
    Level.MUST,
    "Raw HTML stands in the text; it is never printed.",
    ("commonmark-0.31",),
)
PICTURE_OUTSIDE_SET = Rule(
    "picture-outside-set",
    Level.MUST,
    "A picture's address leads out of the protocol set, or to the network.",
)
UNPRINTED_PICTURE = Rule(
    "unprinted-picture",
    Level.SHOULD,
    "A picture stands in the text; sheets print their own pictograms only.",
)
UNPRINTED_TEXT = Rule(
    "unprinted-text",
    Level.MUST,
    "Text stands where no sheet would print it.",
)

RULES = (RAW_HTML, PICTURE_OUTSIDE_SET, UNPRINTED_PICTURE, UNPRINTED_TEXT)

_OUTSIDE = re.compile(r"[a-zA-Z][a-zA-Z0-9+.-]*:|[/\\~]|.*(?:^|[/\\])\.\.(?:[/\\]|$)")


def read(source: Source, start: int = 0) -> tuple[tuple[Block, ...], list[Finding]]:
    """The blocks of `source` from offset `start` on."""
    text = source.text[start:]
    if bad := unreadable(source, text, start):
        return (), bad
    references: dict[str, object] = {}
    tokens: list[Token] = []
    parser = _parser()
    parser.block.parse(text, parser, references, tokens)
    reading = _Reading(source, start, tokens, references)
    return tuple(reading.blocks(len(tokens))), reading.findings


def leads_outside(address: str) -> bool:
    """Whether a picture's address is anything but a path below the protocol's own folder.

    >>> [leads_outside(a) for a in ("door.svg", "a/b.png", "../x.png", "https://x.org/a.png")]
    [False, False, True, True]
    """
    return bool(_OUTSIDE.match(unquote(unquote(address)).strip()))


@cache
def _parser() -> MarkdownIt:
    made = inline.parser()
    made.options["maxNesting"] = limits.DEEPEST * 2 + 4
    rules = made.block.ruler
    rules.at("paragraph", _placed(paragraph, 0))
    rules.at("heading", _placed(heading, 0), {"alt": ["paragraph", "reference", "blockquote"]})
    rules.at("lheading", _placed(lheading, 1))
    return made


_BlockRule = Callable[[StateBlock, int, int, bool], bool]


def _placed(rule: _BlockRule, underline: int) -> _BlockRule:
    """The rule, which also writes where each line of its text begins and ends."""

    def wrapped(state: StateBlock, first: int, end: int, silent: bool) -> bool:
        if not rule(state, first, end, silent):
            return False
        if not silent:
            state.tokens[-2].meta["lines"] = [
                (state.bMarks[line] + state.tShift[line], state.eMarks[line])
                for line in range(first, state.line - underline)
            ]
        return True

    return wrapped


class _Reading:
    """One run over the block tokens of a body."""

    def __init__(
        self, source: Source, start: int, tokens: list[Token], references: dict[str, object]
    ) -> None:
        self.source = source
        self.start = start
        self.tokens = tokens
        self.references = references
        self.findings: list[Finding] = []
        self.next = 0
        self.depth = 0
        self.first_line = 1 + source.text.count("\n", 0, start)

    def blocks(self, end: int) -> list[Block]:
        """Everything up to token `end`."""
        found: list[Block] = []
        while self.next < end:
            token = self.tokens[self.next]
            self.next += 1
            if token.type == "heading_open":
                found.append(Heading(self._prose()))
            elif token.type == "paragraph_open":
                found.append(Paragraph(self._prose()))
            elif token.type == "blockquote_open":
                found.append(self._quote(token))
            elif token.type in ("ordered_list_open", "bullet_list_open"):
                found.append(self._list(token))
            elif token.type in ("html_block", "code_block", "fence"):
                self._report_block(token)
        return found

    def _line(self, token: Token) -> Span:
        """The first line of a block."""
        line = self.first_line + (token.map[0] if token.map else 0)
        text = self.source.line(line)
        begin = self.source.offset(line) + len(text) - len(text.lstrip())
        begin = max(begin, self.start)
        return Span(
            self.source, begin, max(begin, self.source.offset(line) + len(text.rstrip()))
        )

    def _prose(self) -> Prose:
        """The paragraph or heading whose opening token was just passed."""
        token = self.tokens[self.next]
        self.next += 2
        content = self._content(token)
        if len(content.text) > limits.LONGEST_PARAGRAPH:
            at = content.span(0, min(40, len(content.text)))
            self.findings.append(limits.too_long(at))
            return Prose("", "", (), at)
        prose, foreign = inline.read_inline(content, _parser(), self.references)
        for each in foreign:
            self._report(each)
        return prose

    def _content(self, token: Token) -> Content:
        source, start = self.source, self.start
        if len(token.meta["lines"]) == 1:
            begin, end = token.meta["lines"][0]
            # A heading's text stands between its marks; a paragraph's fills its line.
            begin = source.text.find(token.content, start + begin, start + end)
            return Content(source, token.content, [0], [begin])
        pieces: list[str] = []
        lines: list[int] = []
        origins: list[int] = []
        length = 0
        for begin, end in token.meta["lines"]:
            piece = source.text[start + begin : start + end]
            lines.append(length)
            origins.append(start + begin)
            pieces.append(piece)
            length += len(piece) + 1
        return Content(source, "\n".join(pieces).rstrip(), lines, origins)

    def _close(self, opening: Token) -> int:
        """The index of the token that closes `opening`."""
        kind = opening.type.replace("_open", "_close")
        at = self.next
        while self.tokens[at].type != kind or self.tokens[at].level != opening.level:
            at += 1
        return at

    def _enter(self, token: Token) -> int:
        """Where a container ends; its inside is passed over when it is nested too deeply."""
        close = self._close(token)
        self.depth += 1
        if self.depth > limits.DEEPEST // 2:
            self.findings.append(limits.too_deep(self._line(token)))
            self.next = close
        return close

    def _leave(self, close: int) -> None:
        self.depth -= 1
        self.next = close + 1

    def _quote(self, token: Token) -> Quote:
        close = self._enter(token)
        paragraphs = tuple(_flat(self.blocks(close)))
        self._leave(close)
        at = paragraphs[0].at if paragraphs else self._line(token)
        return Quote(paragraphs, at)

    def _list(self, token: Token) -> Steps | Bullets:
        close = self._enter(token)
        items: list[Item] = []
        while self.next < close:
            opening = self.tokens[self.next]
            self.next += 1
            items.append(self._item(opening))
        self._leave(close)
        at = items[0].at if items else self._line(token)
        made = Steps if token.type == "ordered_list_open" else Bullets
        return made(tuple(items), at)

    def _item(self, opening: Token) -> Item:
        close = self._close(opening)
        paragraphs: list[Prose] = []
        quotes: list[Quote] = []
        lists: list[Steps | Bullets] = []
        for block in self.blocks(close):
            if isinstance(block, Paragraph):
                paragraphs.append(block.prose)
            elif isinstance(block, Quote):
                quotes.append(block)
            elif isinstance(block, Heading):
                self.findings.append(
                    unprinted("A heading stands inside a list item.", block.prose.at)
                )
            else:
                lists.append(block)
        self.next = close + 1
        at = paragraphs[0].at if paragraphs else self._line(opening)
        return Item(tuple(paragraphs), tuple(quotes), tuple(lists), at)

    def _report_block(self, token: Token) -> None:
        if token.type == "html_block":
            self._report(Foreign(None, self._line(token)))
        else:
            self.findings.append(
                unprinted(
                    "A block of code is not printed.",
                    self._line(token),
                    "indent by three spaces what belongs to a step, and leave out the fence",
                )
            )

    def _report(self, foreign: Foreign) -> None:
        mark = Mark(foreign.at, "here")
        if foreign.address is None:
            message = f"Raw HTML stands in the text: {quoted(foreign.at.text, 40)}."
            finding = Finding(RAW_HTML, message, mark, remedy="write plain Markdown instead")
        elif leads_outside(foreign.address):
            message = f"The picture {quoted(foreign.address)} is not inside the protocol set."
            finding = Finding(PICTURE_OUTSIDE_SET, message, mark, remedy="delete the picture")
        else:
            message = f"The picture {quoted(foreign.address)} is not printed."
            finding = Finding(
                UNPRINTED_PICTURE, message, mark, remedy="say in words what it shows"
            )
        self.findings.append(finding)


def unprinted(message: str, at: Span, remedy: str = "") -> Finding:
    """What is said of text that no sheet would print."""
    return Finding(
        UNPRINTED_TEXT,
        message,
        Mark(at, "this would be lost"),
        remedy=remedy or "move it into a step, before or after the others",
    )


def _flat(blocks: list[Block]) -> list[Prose]:
    """All paragraphs, those inside lists and quotes included, in reading order."""
    found: list[Prose] = []
    for block in blocks:
        if isinstance(block, Heading | Paragraph):
            found.append(block.prose)
        elif isinstance(block, Quote):
            found.extend(block.paragraphs)
        else:
            for item in block.items:
                found.extend(item.paragraphs)
                found.extend(_flat([*item.lists, *item.quotes]))
    return found
