"""Changes as one web page that stands alone: no script, no picture, nothing fetched."""

from __future__ import annotations

import re
from itertools import groupby
from xml.etree import ElementTree

from compiler.changes.change import Change, Detail
from compiler.changes.sides import Comparison
from compiler.report.changes_text import CAUTION, HEADINGS, LOOK_FIRST, counted
from compiler.report.differing import Word, both_marked
from compiler.source import Span

Element = ElementTree.Element
# what XML 1.0 (section 2.2) does not allow, and marks that turn the direction of writing
REFUSED = re.compile(
    "[\x00-\x08\x0b\x0c\x0e-\x1f\x7f\x80-\x9f\u202a-\u202e\u2066-\u2069\ud800-\udfff\ufffe\uffff]"
)
STYLE = """
:root { color-scheme: light; }
body { font: 1rem/1.5 "Noto Sans", system-ui, sans-serif; color: #1a1a1a; background: #fff;
  max-width: 46rem; margin: 2rem auto; padding: 0 1rem; }
h1 { font-size: 1.6rem; line-height: 1.25; margin: 0 0 .5rem; }
h2 { font-size: 1.25rem; margin: 2.5rem 0 0; padding-bottom: .25rem;
  border-bottom: 2px solid #1a1a1a; }
article { padding: 1rem 0; border-bottom: 1px solid #b5b5b5; break-inside: avoid; }
h3 { font-size: 1rem; margin: 0; }
h3 strong { border: 2px solid #1a1a1a; padding: 0 .4em; margin-left: .5em; }
p { margin: .35rem 0; }
.where { color: #4d4d4d; font-size: .875rem; overflow-wrap: anywhere; }
dl { display: grid; grid-template-columns: 3.5em 1fr; gap: .25rem .75rem;
  margin: .5rem 0; }
dt { color: #4d4d4d; font-variant-numeric: tabular-nums; }
dd { margin: 0; overflow-wrap: anywhere; }
del, ins { text-decoration-thickness: .12em; }
del { text-decoration-line: line-through; background: #f3f3f3; }
ins { text-decoration-line: underline; font-weight: 600; }
ul { margin: .5rem 0; padding-left: 1.25rem; }
footer { margin-top: 2.5rem; border-top: 2px solid #1a1a1a; padding-top: .75rem; }
@page { margin: 18mm; }
@media print { body { margin: 0; max-width: none; font-size: 10.5pt; }
  h2, h3 { break-after: avoid; } }
"""


def changes_html(told: Comparison) -> str:
    """The whole document."""
    html = Element("html", lang="en")
    head = _add(html, "head")
    _add(head, "meta", charset="utf-8")
    _add(head, "meta", name="viewport", content="width=device-width, initial-scale=1")
    policy = "default-src 'none'; style-src 'unsafe-inline'"
    _add(head, "meta", {"http-equiv": "Content-Security-Policy"}, content=policy)
    title = f"Changes from {told.old} to {told.new}"
    _add(head, "title", text=title)
    _add(head, "style", text=STYLE)
    body = _add(html, "body")
    header = _add(body, "header")
    _add(header, "h1", text=title)
    _add(header, "p", text=counted(told))
    main = _add(body, "main")
    for group, changes in groupby(told.changes, key=lambda change: change.group):
        section = _add(main, "section", {"aria-labelledby": f"group-{group.name.lower()}"})
        _add(section, "h2", id=f"group-{group.name.lower()}", text=HEADINGS[group])
        for change in changes:
            _article(section, change, told.language)
    _not_compared(main, told)
    _add(_add(body, "footer"), "p", text=CAUTION)
    ElementTree.indent(head)
    page = ElementTree.tostring(html, encoding="unicode", method="html")
    return f"<!DOCTYPE html>\n{page}\n"


def _add(
    parent: Element, tag: str, attributes: dict[str, str] | None = None, **more: str
) -> Element:
    """A new element below its parent; `text` is what stands in it."""
    text = more.pop("text", "")
    element = ElementTree.SubElement(parent, tag, {**(attributes or {}), **more})
    element.text = _clean(text) if text else None
    return element


def _clean(text: str) -> str:
    return REFUSED.sub("\ufffd", text)


def _article(section: Element, change: Change, written_in: str) -> None:
    article = _add(section, "article")
    heading = _add(article, "h3", text=f"{change.kind[:1].upper()}{change.kind[1:]}")
    if change.look_first:
        _add(heading, "strong", text=LOOK_FIRST)
    _add(article, "p", text=change.sentence)
    language = change.language or written_in
    _both(article, (change.old, change.was), (change.new, change.is_now), language)
    if change.details:
        _details(article, change.details, language)
    places = [_where("old", change.old), _where("new", change.new)]
    _add(article, "p", {"class": "where"}, text="; ".join(filter(None, places)))


def _where(name: str, span: Span | None) -> str:
    return f"{name}: {span.source.path}, line {span.line}" if span else ""


def _both(
    article: Element, old: tuple[Span | None, str], new: tuple[Span | None, str], tag: str
) -> None:
    if not old[1] and not new[1]:
        return
    rows = _add(article, "dl")
    before, after = both_marked(old[1], new[1])
    for name, words, mark in (("before", before, "del"), ("now", after, "ins")):
        if words:
            _add(rows, "dt", text=name)
            _words(_add(rows, "dd", lang=tag, dir="auto"), words, mark)


def _words(element: Element, words: list[Word], mark: str) -> None:
    """The words, a mark around each run of those that differ."""
    last: Element | None = None
    for differs, run in groupby(words, key=lambda word: word.differs):
        text = _clean(" ".join(word.text for word in run))
        if differs:
            last = _add(element, mark, text=text)
            last.tail = " "
        elif last is None:
            element.text = f"{text} "
        else:
            last.tail = f" {text} "


def _details(article: Element, details: tuple[Detail, ...], tag: str) -> None:
    rows = _add(article, "ul")
    for detail in details:
        row = _add(rows, "li")
        if detail.was and detail.is_now:
            _both(row, (detail.old, detail.was), (detail.new, detail.is_now), tag)
        else:
            text = detail.was or detail.is_now
            _words(_add(row, "span", lang=tag, dir="auto"), [Word(text)], "ins")


def _not_compared(main: Element, told: Comparison) -> None:
    if not told.not_built:
        return
    section = _add(main, "section", {"aria-labelledby": "not-compared"})
    _add(section, "h2", id="not-compared", text="Not compared")
    rows = _add(section, "ul")
    for each in told.not_built:
        _add(rows, "li", text=f"{each.path}: {each.reason}.")
