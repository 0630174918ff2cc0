"""Changes for people at a terminal: what, where, the words before and after."""

from __future__ import annotations

from collections.abc import Iterator
from itertools import groupby

from compiler.changes.change import Change, Detail, Group
from compiler.changes.sides import Comparison
from compiler.report.differing import Word, both_marked, wrapped
from compiler.report.folding import folded
from compiler.report.style import Style
from compiler.report.text import WIDTH
from compiler.wording.cells import cells

HEADINGS = {
    Group.WEARER: "For the wearer",
    Group.LIMITS: "Limits and house rules",
    Group.FINDINGS: "Findings gained and lost",
    Group.WORDS: "Words",
    Group.ADMINISTRATION: "Administration",
}
LOOK_FIRST = "look first"
"""Beside a change that may take protection away."""
CAUTION = (
    "Wallward tells what is written differently, not whether it is right. “Look first” marks "
    "what may take protection away; what is not marked may matter as much. Follow your "
    "facility's policy. Training, fit testing and a trained observer come first."
)
MOST = 6
"""So many lines below a change; the rest is counted."""


def changes_text(told: Comparison, style: Style, width: int = WIDTH) -> str:
    """The whole report, ending in a count in words and the caution."""
    title = f"Changes from {told.old} to {told.new}"
    blocks = ["\n".join(folded(title, width))] if told.changes else []
    for group, changes in groupby(told.changes, key=lambda change: change.group):
        blocks.append(style.paint("slug", HEADINGS[group]))
        blocks += ["\n".join(_block(change, style, width)) for change in changes]
    blocks += ["\n".join(_not_compared(told, style, width))] if told.not_built else []
    ending = [*folded(counted(told), width), *folded(CAUTION, width)]
    return "\n\n".join([*blocks, "\n".join(ending)]) + "\n"


def _not_compared(told: Comparison, style: Style, width: int) -> Iterator[str]:
    yield style.paint("slug", "Not compared")
    for each in told.not_built:
        yield ""
        yield from folded(f"{each.path}: {each.reason}.", width, "  ", "  ")


def _block(change: Change, style: Style, width: int) -> Iterator[str]:
    mark = f" {style.dot} {LOOK_FIRST}" if change.look_first else ""
    right = f"{change.path}, line {change.line}" if change.path else ""
    room = width - cells(f"{change.kind}{mark}") - cells(right)
    space = " " * room if room > 1 else "\n" + " " * max(width - cells(right), 0)
    role = "must fix" if change.look_first else "slug"
    yield f"{style.paint(role, change.kind)}{mark}{space if right else ''}{right}"
    yield ""
    yield from folded(change.sentence, width, "  ", "  ")
    rows = [*_rows(change, style, width)]
    if rows:
        yield ""
        yield from rows


def _rows(change: Change, style: Style, width: int) -> Iterator[str]:
    """The words before and after, and the lines below the change."""
    if _said_already(change):
        return
    before, after = both_marked(change.was, change.is_now)
    gutter = max(3, *(len(str(span.line)) for span in (change.old, change.new) if span), 0)
    for name, span, words in (("old", change.old, before), ("new", change.new, after)):
        if words:
            yield from _lines(name, str(span.line) if span else "", words, gutter, style, width)
    shown = change.details[:MOST]
    for detail in shown:
        yield from _detail(detail, gutter, style, width)
    left = len(change.details) - len(shown)
    if left > 0:
        yield f"  {' ' * (gutter + 4)} {style.gap} and {left} more"


def _said_already(change: Change) -> bool:
    """Whether the sentence has both values, so that rows would only repeat it."""
    values = (change.was, change.is_now)
    return all(value and value in change.sentence for value in values) and not change.details


def _detail(detail: Detail, gutter: int, style: Style, width: int) -> Iterator[str]:
    before, after = both_marked(detail.was, detail.is_now)
    for name, span, words in (("old", detail.old, before), ("new", detail.new, after)):
        if words:
            yield from _lines(name, str(span.line) if span else "", words, gutter, style, width)


def _lines(
    name: str, number: str, words: list[Word], gutter: int, style: Style, width: int
) -> Iterator[str]:
    bar = style.paint("quiet", style.bar)
    margin = f"  {name} {number:>{gutter}} "
    for line in wrapped(words, width - cells(margin) - 2):
        text = " ".join(word.text for word in line)
        yield f"{margin}{bar} {text}"
        margin = " " * cells(margin)
        under = _under(line, style)
        if under:
            yield f"{margin}{bar} {style.paint('should fix', under)}"


def _under(line: list[Word], style: Style) -> str:
    """A line below the words that differ; it runs on between two of them."""
    drawn = ""
    for at, word in enumerate(line):
        sign = style.under if word.differs else " "
        drawn += sign * cells(word.text)
        joins = word.differs and at + 1 < len(line) and line[at + 1].differs
        drawn += style.under if joins else " "
    return drawn.rstrip()


def counted(told: Comparison) -> str:
    """The count in words: "3 changes: 2 for the wearer, 1 of words; look at 1 first."."""
    count = len(told.changes)
    if not count:
        rest = "in what could be compared" if told.not_built else f"in {_protocols(told)}"
        return f"Nothing changed {rest} between {told.old} and {told.new}."
    groups = [
        f"{sum(c.group is group for c in told.changes)} {words}"
        for group, words in (
            (Group.WEARER, "for the wearer"),
            (Group.LIMITS, "of limits and house rules"),
            (Group.FINDINGS, "of findings"),
            (Group.WORDS, "of words"),
            (Group.ADMINISTRATION, "of administration"),
        )
        if any(c.group is group for c in told.changes)
    ]
    first = sum(change.look_first for change in told.changes)
    look = f"; look at {first} first" if first else ""
    return f"{count} change{'s' * (count > 1)}: {', '.join(groups)}{look}."


def _protocols(told: Comparison) -> str:
    return f"{told.protocols} protocol{'s' * (told.protocols != 1)}"
