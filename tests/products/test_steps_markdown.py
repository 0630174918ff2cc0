"""The step list as Markdown, judged by a CommonMark parser (markdown-it-py, CommonMark 0.31.2)."""

import pytest
from hypothesis import given
from hypothesis import strategies as some
from markdown_it import MarkdownIt
from markdown_it.tree import SyntaxTreeNode

from compiler.model.protocol import Hygiene, every_step
from compiler.products.path import Row, Split, every_stop, path_of
from compiler.products.steps_markdown import escaped
from tests.printing.posters import small
from tests.products.step_lists import (
    HOSTILE,
    LISTS,
    bare,
    draft,
    markdown_of,
    nested,
    out_of_order,
    read_markdown,
    sentences,
)

all_lists = pytest.mark.parametrize(("name", "language"), LISTS)
PLAIN = {"root", "heading", "paragraph", "inline", "text", "strong", "em", "hr", "list_item"}
PLAIN |= {"ordered_list", "bullet_list", "blockquote"}


def tree(text: str) -> SyntaxTreeNode:
    return SyntaxTreeNode(MarkdownIt("commonmark").parse(text))


def items(node: SyntaxTreeNode) -> list[tuple[int, SyntaxTreeNode]]:
    """Every item of an ordered list with the number that a reader shows, in order."""
    found = []
    for child in node.walk():
        if child.type == "ordered_list":
            start = int(child.attrs.get("start", 1))
            found += [(start + i, item) for i, item in enumerate(child.children)]
    return sorted(found, key=lambda pair: pair[1].map)


def words(node: SyntaxTreeNode) -> str:
    return bare("".join(n.content for n in node.walk() if n.type == "text"))


@all_lists
def test_it_is_made_of_headings_lists_and_quotes_only(name, language):
    node = tree(markdown_of(draft(name, language)))
    assert {child.type for child in node.walk()} <= PLAIN
    assert [child.tag for child in node.children].count("h1") == 1


@all_lists
def test_each_step_is_an_item_with_its_number(name, language):
    order = draft(name, language)
    stops = [
        stop
        for part in order.protocol.parts
        for stop in every_stop(path_of(part, order.clinic).stretches)
    ]
    rows = [stop.question if isinstance(stop, Split) else stop for stop in stops]
    wanted = [(row.number, bare(row.lead)) for row in rows if isinstance(row, Row)]
    shown = [
        (number, words(next(n for n in item.walk() if n.type == "strong")))
        for number, item in items(tree(markdown_of(draft(name, language))))
    ]
    assert shown == wanted


@all_lists
def test_cautions_are_quotes_and_hand_hygiene_stands_between_the_lists(name, language):
    order = draft(name, language)
    node = tree(markdown_of(draft(name, language)))
    found = [s for part in order.protocol.parts for s in every_step(part.steps)]
    quotes = [words(quote) for quote in node.walk() if quote.type == "blockquote"]
    say = order.words.say
    wanted = [say("Caution: {text}", text=c) for s in found for c in s.cautions]
    assert quotes == list(map(bare, wanted))
    beats = [s.lead for s in found if s.lead and any(isinstance(p, Hygiene) for p in s.phrases)]
    steps = {words(item) for _, item in items(node)}
    paragraphs = [
        words(p)
        for p in node.walk()
        if p.type == "paragraph" and p.parent and p.parent.type != "blockquote"
    ]
    bands = [p for p in paragraphs if p not in steps and p.startswith(tuple(map(bare, beats)))]
    assert len(bands) == len(beats)


def test_answers_are_bullets_in_the_item_of_their_question():
    node = tree(markdown_of(nested()))
    question = next(item for number, item in items(node) if number == 1)
    bullets = [child for child in question.children if child.type == "bullet_list"]
    assert [words(answer)[:6] for answer in bullets[0].children] == ["First.", "Second"]
    first = bullets[0].children[0]
    assert [number for number, _ in items(first)] == [2, 3, 4]
    after = node.children[node.children.index(question.parent) + 1]
    assert words(after) == bare("Go on with 5")
    assert [number for number, _ in items(node)] == [1, 2, 3, 4, 5]


def test_words_of_markup_stay_words():
    order = small(HOSTILE)
    text = markdown_of(order)
    assert out_of_order(read_markdown(text), sentences(order.protocol)) == []
    assert {child.type for child in tree(text).walk()} <= PLAIN
    assert len(items(tree(text))) == 2


@pytest.mark.parametrize("shape", ["{}", "1. {}", "- **{}** x", "> {}", "x {}"])
@given(text=some.text(some.characters(exclude_categories=("C", "Z")), min_size=1, max_size=40))
def test_any_text_reads_as_it_was_written(shape, text):
    """Also by readers that know tables and crossed-out words (GitHub Flavored Markdown 0.29)."""
    for reader in (
        MarkdownIt("commonmark"),
        MarkdownIt("commonmark").enable(["table", "strikethrough"]),
    ):
        tokens = reader.parse(shape.format(escaped(text)))
        shown = "".join(
            child.content for token in tokens for child in (token.children or [token])
        )
        assert bare(shown.strip("x ")) == bare(text.strip("x "))
        assert not {t.type for t in tokens} & {"code_block", "fence", "html_block", "hr"}
