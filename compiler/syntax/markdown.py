"""Markdown to a small tree: headings, paragraphs, quotes and lists, each with its place.

The blocks come from `outline` or, when the body is in any way unusual, from `commonmark`. Raw
HTML and pictures are found and reported, and never go any further.
"""

from __future__ import annotations

import re
from urllib.parse import unquote

from compiler.findings import Finding, Level, Mark, Rule
from compiler.source import Source, Span
from compiler.syntax import limits
from compiler.syntax.inline import Content, Foreign, Pieces, as_prose, shaped, simple
from compiler.syntax.outline import Body, Line, Listing, Outline, Quotation, Text, outline
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
    ("commonmark-0-31",),
    waivable=False,
)
PICTURE_OUTSIDE_SET = Rule(
    "picture-outside-set",
    Level.MUST,
    "A picture's address leads out of the protocol set, or to the network.",
    waivable=False,
)
UNPRINTED_PICTURE = Rule(
    "unprinted-picture",
    Level.SHOULD,
    "A picture stands in the text; sheets print their own pictograms only.",
    waivable=False,
)
UNPRINTED_TEXT = Rule(
    "unprinted-text",
    Level.MUST,
    "Text stands where no sheet would print it.",
    waivable=False,
)

RULES = (RAW_HTML, PICTURE_OUTSIDE_SET, UNPRINTED_PICTURE, UNPRINTED_TEXT)

# A scheme or a drive, a root or a home folder, or a step upwards anywhere in a path.
_OUTSIDE = re.compile(
    r"[a-zA-Z][a-zA-Z0-9+.-]*:|[/\\~]|.*(?:^|[/\\])\.\.(?:[/\\]|$)", re.DOTALL
)


def read(source: Source, start: int = 0) -> tuple[tuple[Block, ...], list[Finding]]:
    """The blocks of `source` from offset `start` on, where a line begins."""
    text = source.text[start:]
    if bad := unreadable(source, text, start):
        return (), bad
    usual = outline(text)
    body = _any_body(text) if usual is None else Body(usual)
    reading = _Reading(source, start, body)
    return tuple(map(reading.block, body.blocks)), reading.findings


def leads_outside(address: str) -> bool:
    """Whether a picture's address is anything but a path below the protocol's own folder.

    >>> [leads_outside(a) for a in ("door.svg", "a/b.png", "../x.png", "https://x.org/a.png")]
    [False, False, True, True]
    """
    return bool(_OUTSIDE.match(unquote(unquote(address)).strip()))


def unprinted(message: str, at: Span, remedy: str = "") -> Finding:
    """What is said of text that no sheet would print."""
    return Finding(
        UNPRINTED_TEXT,
        message,
        Mark(at, "this would be lost"),
        remedy=remedy or "move it into a step, before or after the others",
    )


# The CommonMark parser takes as long to load as everything else that reads a protocol, and most
# protocols can do without, so it is loaded when it is first needed.


def _any_body(text: str) -> Body:
    from compiler.syntax.commonmark import read_body

    return read_body(text)


def _any_paragraph(content: Content, body: Body) -> tuple[Pieces, list[Foreign]]:
    from compiler.syntax.commonmark import read_paragraph

    return read_paragraph(content, body)


class _Reading:
    """Turns the outline of one body into blocks with places."""

    def __init__(self, source: Source, start: int, body: Body) -> None:
        self.source = source
        self.start = start
        self.body = body
        self.findings: list[Finding] = [
            *(self._foreign(Foreign(None, self._span(line))) for line in body.html),
            *(self._code_block(self._span(line)) for line in body.code),
            *(limits.too_deep(self._span(line), limits.DEEPEST_LISTS) for line in body.deep),
        ]

    def block(self, block: Outline) -> Block:
        """One block, and everything in it."""
        if isinstance(block, Text):
            prose = self._prose(block)
            return Heading(prose) if block.heading else Paragraph(prose)
        if isinstance(block, Quotation):
            return self._quote(block)
        return self._list(block)

    def _span(self, line: Line) -> Span:
        return Span(self.source, self.start + line[0], self.start + line[1])

    def _prose(self, text: Text) -> Prose:
        content = self._content(text.lines)
        if len(content.text) > limits.MOST_BRACKETS:
            at = content.span(0, limits.MOST_BRACKETS)
            if (finding := limits.beyond(content.text, at)) is not None:
                self.findings.append(finding)
                return Prose("", "", (), at)
        shape = simple(content.text)
        if shape is None:
            pieces, foreign = _any_paragraph(content, self.body)
            self.findings += map(self._foreign, foreign)
            shape = shaped(content.text, pieces)
        return as_prose(content, shape)

    def _content(self, places: list[Line]) -> Content:
        source, start = self.source, self.start
        if len(places) == 1:
            begin, end = places[0]
            return Content(
                source, source.text[start + begin : start + end], [0], [start + begin]
            )
        pieces: list[str] = []
        lines: list[int] = []
        origins: list[int] = []
        length = 0
        for begin, end in places:
            piece = source.text[start + begin : start + end]
            lines.append(length)
            origins.append(start + begin)
            pieces.append(piece)
            length += len(piece) + 1
        return Content(source, "\n".join(pieces).rstrip(), lines, origins)

    def _quote(self, block: Quotation) -> Quote:
        paragraphs = tuple(map(self._prose, block.paragraphs))
        at = paragraphs[0].at if paragraphs else self._span((block.place, block.place + 1))
        return Quote(paragraphs, at)

    def _list(self, block: Listing) -> Steps | Bullets:
        items = tuple(map(self._item, block.items, block.places))
        return Steps(items, items[0].at) if block.ordered else Bullets(items, items[0].at)

    def _item(self, blocks: list[Outline], place: int) -> Item:
        paragraphs: list[Prose] = []
        quotes: list[Quote] = []
        lists: list[Steps | Bullets] = []
        for each in blocks:
            block = self.block(each)
            if isinstance(block, Paragraph):
                paragraphs.append(block.prose)
            elif isinstance(block, Quote):
                quotes.append(block)
            elif isinstance(block, Heading):
                message = "A heading stands inside a list item."
                self.findings.append(unprinted(message, block.prose.at))
            else:
                lists.append(block)
        at = paragraphs[0].at if paragraphs else self._span((place, place + 1))
        return Item(tuple(paragraphs), tuple(quotes), tuple(lists), at)

    def _code_block(self, at: Span) -> Finding:
        remedy = "indent by three spaces what belongs to a step, and leave out the fence"
        return unprinted("A block of code is not printed.", at, remedy)

    def _foreign(self, foreign: Foreign) -> Finding:
        mark = Mark(foreign.at, "here")
        if foreign.address is None:
            message = f"Raw HTML stands in the text: {quoted(foreign.at.text, 40)}."
            return Finding(RAW_HTML, message, mark, remedy="write plain Markdown instead")
        if leads_outside(foreign.address):
            message = f"The picture {quoted(foreign.address)} is not inside the protocol set."
            return Finding(PICTURE_OUTSIDE_SET, message, mark, remedy="delete the picture")
        message = f"The picture {quoted(foreign.address)} is not printed."
        remedy = "say in words what it shows, and delete the picture"
        return Finding(UNPRINTED_PICTURE, message, mark, remedy=remedy)
