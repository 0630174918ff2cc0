"""Step lists for the tests: the worked example in all its languages, and what readers see of them."""

from __future__ import annotations

import unicodedata
from functools import cache
from html.parser import HTMLParser

from markdown_it import MarkdownIt

from compiler.model.protocol import Protocol, Step
from compiler.products.outcome import Outcome
from compiler.products.page import page
from compiler.products.sheet import Order
from compiler.products.steps import steps
from compiler.products.steps_listing import step_list
from compiler.products.steps_markdown import markdown
from compiler.products.steps_text import plain_text
from tests.printing.posters import NAMES, order, small

LANGUAGES = ("en", "es", "ar", "zh-Hans", "hi")
LISTS = [(name, language) for name in NAMES for language in LANGUAGES]

HOSTILE = """# Putting *on* \\# `donning in change room`

1\\. Not a list \\<b> & co.

- \\- not a bullet either

1. **\\*Stars\\* and \\_lines\\_.** \\# no heading, \\`no code\\`, a \\| b, \\[x](y), &lt;, \\~\\~x\\~\\~, $5$. `handrub`
   > \\> 2 m away \\<script>alert(1)\\</script>
2. **12. Then.** 3\\) 4\\. `wear gown`
3. \\+ no lead \\=== --- `go to room`
"""
"""Words that mean something in Markdown, HTML and CSS."""


@cache
def draft(name: str, language: str) -> Order:
    """An order as they come: a draft, and a translation that nobody has reviewed."""
    return order(name, language, draft=True, reviewed=language == "en")


@cache
def made(name: str, language: str) -> Outcome:
    """The three files of a step list."""
    return steps((draft(name, language),))


@cache
def page_of(name: str, *languages: str) -> str:
    """The web page in these languages, or in all of the example."""
    return written(*(draft(name, language) for language in languages or LANGUAGES))


def written(*orders: Order) -> str:
    """The web page of these orders."""
    return page(orders).files["html"].decode()


def text_of(wanted: Order) -> str:
    return plain_text(step_list(wanted), wanted.words)


def markdown_of(wanted: Order) -> str:
    return markdown(step_list(wanted), wanted.words)


def nested(answers: int = 2) -> Order:
    """A fork in a fork, an answer without steps, a way that ends in another area."""
    deep = "\n".join(
        f"     - **Inner {i}.** `if inner {i}`\n       1. **Step {i}.** Words. `wear gown`"
        for i in range(answers)
    )
    return small(
        "# Putting on `donning in change room`\n\n"
        "1. **Clean your hands.** Rub. `handrub`\n"
        "2. **Which?** Look. `decide outer`\n"
        "   - **First.** Then more. `if first`\n"
        f"     1. **And which?** Look again. `decide inner`\n{_deeper(deep)}\n"
        "     2. **Clean your hands.** Rub. `handrub`\n"
        "        > Not yet dry is not clean.\n"
        "   - **Second.** `if second`\n"
        "3. **Go in.** Walk. `go to room`\n"
    )


def _deeper(text: str) -> str:
    return "\n".join("   " + line for line in text.splitlines())


# --- what a protocol says, told apart from the code under test


def sentences(protocol: Protocol) -> list[str]:
    """Every text of a protocol in reading order."""
    found = []
    for part in protocol.parts:
        found += [part.title, *part.introduction, *_texts(part.steps)]
    return [text for text in found if text]


def _texts(of: tuple[Step, ...]) -> list[str]:
    found = []
    for step in of:
        found += [step.lead, step.detail, *step.cautions]
        for branch in step.fork.branches if step.fork else ():
            found += [branch.lead or branch.answer, branch.detail, *_texts(branch.steps)]
    return found


def bare(text: str) -> str:
    """Without white space and signs of direction, in one normal form (NFKC)."""
    return "".join(
        sign
        for sign in unicodedata.normalize("NFKC", text)
        if not sign.isspace() and unicodedata.category(sign) != "Cf"
    )


def out_of_order(text: str, wanted: list[str]) -> list[str]:
    """The sentences that are not in the text, each after the one before it."""
    text, place, missing = bare(text), 0, []
    for sentence in wanted:
        found = text.find(bare(sentence), place)
        if found < 0:
            missing.append(sentence)
        else:
            place = found + len(bare(sentence))
    return missing


# --- readers


def read_markdown(text: str) -> str:
    """The words as a CommonMark reader shows them (markdown-it-py)."""
    tokens = MarkdownIt("commonmark").parse(text)
    inline = [token for token in tokens if token.type == "inline"]
    return "\n".join("".join(c.content for c in t.children or ()) for t in inline)


class _Article(HTMLParser):
    def __init__(self, language: str) -> None:
        super().__init__(convert_charrefs=True)
        self.language, self.inside, self.words = language, False, []

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        if tag == "article":
            self.inside = dict(attrs)["lang"] == self.language

    def handle_endtag(self, tag: str) -> None:
        if tag == "article":
            self.inside = False

    def handle_data(self, data: str) -> None:
        if self.inside:
            self.words.append(data)


def read_page(html: str, language: str) -> str:
    """The words of one language of a web page (Python's own HTML parser)."""
    reader = _Article(language)
    reader.feed(html)
    return "".join(reader.words)
