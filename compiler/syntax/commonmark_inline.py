"""What stands in a paragraph of any shape, by markdown-it's rules with places added.

markdown-it does not say where in a line its tokens are. Its rules know, so each one that
matters here is wrapped to write it down.
"""

from __future__ import annotations

import re
from collections.abc import Callable

from markdown_it import MarkdownIt
from markdown_it.rules_inline import StateInline, backtick, emphasis, html_inline, image
from markdown_it.token import Token

from compiler.syntax.inline import SEAM, Content, Foreign, Pieces

# Written as references, these two slip past the check of the source.
_OVERRIDES = re.compile("[\u202d\u202e]")


def inline_parser() -> MarkdownIt:
    """A CommonMark parser that also tells where code spans and bold words are."""
    made = MarkdownIt("commonmark")
    rules = made.inline.ruler
    for name, rule in (("backticks", backtick), ("html_inline", html_inline), ("image", image)):
        rules.at(name, _placed(rule))
    rules.at("emphasis", _placed_marks)
    return made


def take_apart(
    content: Content,
    parser: MarkdownIt,
    references: dict[str, object],
) -> tuple[Pieces, list[Foreign]]:
    """Any paragraph, and what in it is never printed."""
    pieces = Pieces()
    foreign: list[Foreign] = []
    tokens: list[Token] = []
    parser.inline.parse(content.text, parser, references, tokens)
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
    return pieces, foreign


def _has_words(texts: list[str]) -> bool:
    return any(text.strip(" \n\t" + SEAM) for text in texts)


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
