"""Which letters of a sheet are regular and which bold: each font is cut for its own."""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator
from html.parser import HTMLParser

RULE = re.compile(r"([^{}]+)\{([^{}]*)\}")
WEIGHT = re.compile(r"font-weight:\s*(\d+)")
SUBJECT = re.compile(r"[.\w-]+")
EMPTY = frozenset({"area", "br", "col", "hr", "img", "input", "link", "meta", "source", "wbr"})


def weights_of(css: Iterable[str]) -> dict[str, int]:
    """The weight that style sheets give to each tag and class that they name.

    A rule for a child of a class counts for the class: both weights of a text that might be
    either would only make a font larger.
    """
    weights: dict[str, int] = {}
    for sheet in css:
        for selectors, block in RULE.findall(sheet):
            if found := WEIGHT.search(block):
                for selector in selectors.split(","):
                    subjects = [s for s in SUBJECT.findall(selector) if s.strip(".")]
                    if subjects:
                        weights[subjects[-1].rpartition(".")[2]] = int(found[1])
    return weights


def by_weight(html: str, css: Iterable[str]) -> tuple[str, str]:
    """The letters set regular, and those set bold, as the style sheets have it."""
    reader = _Reader(weights_of(css))
    reader.feed(html)
    return "".join(reader.letters[False]), "".join(reader.letters[True])


class _Reader(HTMLParser):
    """Follows the weight down the elements."""

    def __init__(self, weights: dict[str, int]) -> None:
        super().__init__(convert_charrefs=True)
        self.weights = weights
        self.stack: list[tuple[str, int]] = [("", 400)]
        self.letters: dict[bool, list[str]] = {False: [], True: []}

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        """An element takes its own weight, or that of the one around it."""
        if tag in EMPTY:
            return
        weight = self.stack[-1][1]
        for name in self._names(tag, dict(attrs)):
            weight = self.weights.get(name, weight)
        self.stack.append((tag, weight))

    def _names(self, tag: str, attributes: dict[str, str | None]) -> Iterator[str]:
        yield tag
        yield from (attributes.get("class") or "").split()

    def handle_endtag(self, tag: str) -> None:
        """The weight around it holds again."""
        while len(self.stack) > 1:
            if self.stack.pop()[0] == tag:
                return

    def handle_data(self, data: str) -> None:
        """Letters."""
        self.letters[self.stack[-1][1] >= 600].append(data)
