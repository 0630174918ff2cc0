"""The blocks of any body, by markdown-it: slower than `outline`, and never in doubt.

markdown-it knows the lines of a block but no columns. Its rules are wrapped here so that each
paragraph also says where its lines begin.
"""

from __future__ import annotations

from collections.abc import Callable
from functools import cache

from markdown_it import MarkdownIt
from markdown_it.rules_block import StateBlock, heading, lheading, paragraph
from markdown_it.token import Token

from compiler.syntax import limits
from compiler.syntax.commonmark_inline import inline_parser, take_apart
from compiler.syntax.inline import Content, Foreign, Pieces
from compiler.syntax.outline import Body, Line, Listing, Outline, Quotation, Text


def read_body(text: str) -> Body:
    """The blocks of any text; CommonMark has no faulty ones."""
    body = Body()
    tokens: list[Token] = []
    parser().block.parse(text, parser(), body.references, tokens)
    _Tokens(text, tokens, body).blocks(len(tokens), body.blocks)
    return body


def read_paragraph(content: Content, body: Body) -> tuple[Pieces, list[Foreign]]:
    """What stands in one paragraph of a body."""
    return take_apart(content, parser(), body.references)


@cache
def parser() -> MarkdownIt:
    """The parser, made once."""
    made = inline_parser()
    # The parser drops what is nested beyond this without a word, so it is set well above
    # what is read here, where it is reported.
    made.options["maxNesting"] = limits.DEEPEST_LISTS * 4 + 4
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


class _Tokens:
    """One run over the block tokens."""

    def __init__(self, text: str, tokens: list[Token], body: Body) -> None:
        self.text = text
        self.lines = text.split("\n")
        self.starts = [0]
        for line in self.lines:
            self.starts.append(self.starts[-1] + len(line) + 1)
        self.tokens = tokens
        self.body = body
        self.next = 0
        self.depth = 0

    def blocks(self, end: int, found: list[Outline]) -> None:
        """Everything up to token `end`."""
        while self.next < end:
            token = self.tokens[self.next]
            self.next += 1
            if token.type in ("heading_open", "paragraph_open"):
                found.append(self._text(token.type == "heading_open"))
            elif token.type == "blockquote_open":
                self._quotation(token, found)
            elif token.type in ("ordered_list_open", "bullet_list_open"):
                self._listing(token, found)
            elif token.type == "html_block":
                self.body.html.append(self._line(token))
            elif token.type in ("code_block", "fence"):
                self.body.code.append(self._line(token))

    def _line(self, token: Token) -> Line:
        number = token.map[0] if token.map else 0
        line = self.lines[number]
        start = self.starts[number]
        words = line.strip(" \t") or line
        begin = start + line.index(words)
        return begin, begin + len(words)

    def _text(self, heading: bool) -> Text:
        token = self.tokens[self.next]
        self.next += 2
        lines: list[Line] = token.meta["lines"]
        if len(lines) == 1:
            # A heading's text stands between its marks; a paragraph's fills its line.
            begin = self.text.find(token.content, *lines[0])
            return Text(heading, [(begin, begin + len(token.content))])
        return Text(heading, lines)

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
        if self.depth > limits.DEEPEST_LISTS:
            self.body.deep.append(self._line(token))
            self.next = close
        return close

    def _leave(self, close: int) -> None:
        self.depth -= 1
        self.next = close + 1

    def _quotation(self, token: Token, found: list[Outline]) -> None:
        close = self._enter(token)
        inside: list[Outline] = []
        self.blocks(close, inside)
        self._leave(close)
        found.append(Quotation(self._line(token)[0], list(_flat(inside))))

    def _listing(self, token: Token, found: list[Outline]) -> None:
        close = self._enter(token)
        listing = Listing(token.type == "ordered_list_open", token.markup, 0)
        while self.next < close:
            item = self.tokens[self.next]
            self.next += 1
            end = self._close(item)
            inside: list[Outline] = []
            self.blocks(end, inside)
            self.next = end + 1
            listing.items.append(inside)
            listing.places.append(self._line(item)[0])
        self._leave(close)
        if listing.items:
            found.append(listing)


def _flat(blocks: list[Outline]) -> list[Text]:
    """All paragraphs, those inside lists and quotes included, in reading order."""
    found: list[Text] = []
    for block in blocks:
        if isinstance(block, Text):
            found.append(block)
        elif isinstance(block, Quotation):
            found.extend(block.paragraphs)
        else:
            for item in block.items:
                found.extend(_flat(item))
    return found
