"""The short ways of reading Markdown agree with CommonMark wherever they answer at all.

The judge is markdown-it-py, which passes the examples of CommonMark 0.31 (MacFarlane, 2024,
spec.commonmark.org/0.31.2).
"""

import re

import pytest
from hypothesis import example, given, settings
from hypothesis import strategies as st
from markdown_it import MarkdownIt

from compiler.source import Source
from compiler.syntax import commonmark, inline
from compiler.syntax.inline import SEAM, Content
from compiler.syntax.outline import Body, Listing, Quotation, Text, outline
from tests.reading.cases import SOUND

JUDGE = MarkdownIt("commonmark")

PIECES = st.sampled_from(
    [
        "word", "two words", "**Bold.**", "**Bold.** rest", "`code`", "`handrub`", "1.", "2.", "10.",
        "1)", "-", "*", "+", ">", "#", "##", "# Heading", "---", "===", "```", "~~~", "<b>", "[a]: b",
        "[a]", "&amp;", "\\", "|", "_a_", "*a*", "12 words", "3.5 words", "“Quoted”", "手を洗う", "!",
    ]
)  # fmt: skip
LINES = st.tuples(
    st.sampled_from(
        ["", "", "", "   ", "   ", "  ", " ", "    ", "     ", "      ", "        "]
    ),
    st.lists(PIECES, max_size=3).map(" ".join),
    st.sampled_from(["", "", "", " ", "  ", " #"]),
).map("".join)
USUAL = st.sampled_from(
    [
        "# Part `donning in room`", "", "", "1. **Lead.** Rest. `handrub`", "2. **Lead.** `observed`",
        "10. **Lead.**", "   > Caution.", "   >", "    > Caution.", "> Caution.", "   - **A.** `if a`",
        "   - **B.** `if b`", "     1. **In.** `handrub`", "     2. **In.**", "       > Deep.",
        "   goes on", "     goes on", "Words.", "   1. **Low.**", "- **Out.**", "  indented", "12 words",
    ]
)  # fmt: skip
INLINE = st.lists(
    st.sampled_from(
        [
            "**", "*", "_", "`", "``", " ", " ", "\n", "word", "Put on", ".", "!", "[", "]", "(", ")",
            "<", ">", "&amp;", "&", "\\", "**Bold.**", "`handrub`", "`wear gown`", "手", "é", "\u00a0",
            "<b>", "![a](b)", "[a](b)", "**Lead.** ",
        ]
    ),
    max_size=12,
).map("".join)  # fmt: skip


def shape(blocks):
    """Blocks without places, as nested lists, for a readable difference."""
    found = []
    for block in blocks:
        if isinstance(block, Text):
            found.append(("heading" if block.heading else "text", block.lines))
        elif isinstance(block, Quotation):
            found.append(("quote", [text.lines for text in block.paragraphs]))
        else:
            assert isinstance(block, Listing)
            found.append((block.ordered, [shape(item) for item in block.items]))
    return found


def trimmed(text, blocks):
    """The shape, with lines cut to their words."""

    def cut(part):
        if isinstance(part, tuple) and len(part) == 2 and all(type(end) is int for end in part):
            return text[part[0] : part[1]].strip(), part[0]
        if isinstance(part, list | tuple):
            return [cut(each) for each in part]
        return part

    return cut(shape(blocks))


@settings(max_examples=300, deadline=None)
@given(st.lists(st.one_of(USUAL, USUAL, LINES), max_size=9).map("\n".join))
@example("1. **A**\n   > b\n2. **C**")
@example("1. a\n   - b\n\n   c\n3. d")
@example("- a\n1. b")
@example("> a\n- b")
@example("a\n2. b")
@example("1. a\n  2. b\n 3. c")
def test_outline_answers_like_commonmark_or_not_at_all(text):
    short = outline(text)
    whole = commonmark.read_body(text)

    if short is not None:
        assert not whole.html
        assert not whole.code
        assert not whole.deep
        assert trimmed(text, short) == trimmed(text, whole.blocks)


@settings(max_examples=200, deadline=None)
@given(st.lists(LINES, max_size=8).map("\n".join))
def test_lines_of_text_stand_where_they_are_said_to(text):
    """The words that CommonMark prints are those between the places, in the same order."""
    whole = commonmark.read_body(text)
    inlines = [token.content for token in JUDGE.parse(text) if token.type == "inline"]

    assert [folded(text, lines) for lines in all_lines(whole.blocks)] == [
        " ".join(content.split()) for content in inlines
    ]


def folded(text, lines):
    return " ".join(" ".join(text[start:end] for start, end in lines).split())


def all_lines(blocks):
    for block in blocks:
        if isinstance(block, Text):
            yield block.lines
        elif isinstance(block, Quotation):
            for paragraph in block.paragraphs:
                yield paragraph.lines
        else:
            for item in block.items:
                yield from all_lines(item)


@settings(max_examples=300, deadline=None)
@given(INLINE)
def test_simple_paragraphs_are_read_as_by_commonmark(text):
    text = re.sub(r"\s*\n\s*", "\n", text).strip()
    content = Content(Source("p.md", text), text, line_starts(text), line_starts(text))
    short = inline.take_apart(text)
    if short is None:
        return
    long, _ = commonmark.read_paragraph(content, Body())

    assert inline.tidy(short.lead) == inline.tidy(long.lead)
    assert inline.tidy(short.rest) == inline.tidy(long.rest)
    assert short.codes == long.codes
    assert not short.lead or short.lead_at == long.lead_at


@settings(max_examples=300, deadline=None)
@given(INLINE)
def test_plain_text_and_code_are_those_of_commonmark(text):
    text = re.sub(r"\s*\n\s*", "\n", text).strip()
    content = Content(Source("p.md", text), text, line_starts(text), line_starts(text))
    prose = as_read(content)
    tokens = JUDGE.parseInline(text)[0].children

    codes = [" ".join(token.content.split()) for token in tokens if token.type == "code_inline"]
    words = "".join(
        token.content if token.type == "text" else SEAM if token.type == "code_inline" else ""
        if token.type != "softbreak" else "\n"
        for token in tokens
        if token.type not in ("html_inline", "image")
    )  # fmt: skip

    assert [" ".join(code.words) for code in prose.codes] == codes
    for code in prose.codes:
        assert " ".join(code.at.text.split()) == " ".join(code.words) or not code.words
    letters = re.sub(r"\W", "", prose.lead + prose.rest)
    assert sorted(letters) == sorted(re.sub(r"\W", "", words))


def as_read(content):
    """The paragraph by the short way or, where that does not answer, by the long one."""
    short = inline.take_apart(content.text)
    pieces = short or commonmark.read_paragraph(content, Body())[0]
    return inline.as_prose(content, inline.shaped(content.text, pieces))


def line_starts(text):
    return [0, *(match.end() for match in re.finditer("\n", text))]


@pytest.mark.parametrize(
    ("text", "codes"),
    [
        # CommonMark 0.31.2, section 6.1 (code spans): the examples that bear on places.
        ("`foo`", ["foo"]),
        ("`` foo ` bar ``", ["foo ` bar"]),
        ("` `` `", ["``"]),
        ("``\nfoo\nbar  \nbaz\n``", ["foo bar baz"]),
        ("`foo\\`bar`", ["foo\\"]),
        ("``foo`bar``", ["foo`bar"]),
        ("*foo`*`", ["*"]),
        ("[not a `link](/foo`)", ["link](/foo"]),
        ('<a href="`">`', []),
        ("`<https://foo.bar.`baz>`", ["<https://foo.bar."]),
        ("<https://foo.bar.`baz>`", []),
        ("```foo``", []),
        ("`foo``bar``", ["bar"]),
    ],
)
def test_code_spans_of_the_specification(text, codes):
    content = Content(Source("p.md", text), text, line_starts(text), line_starts(text))
    prose = as_read(content)

    assert [" ".join(code.words) for code in prose.codes] == codes
    assert [" ".join(code.at.text.split()) for code in prose.codes] == codes


def test_usual_protocols_take_the_short_way():
    """Otherwise the short way would be tested and never used."""
    body = SOUND["protocol.md"].split("---\n", 2)[2]

    assert outline(body) is not None
