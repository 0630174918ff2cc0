"""Quoted lines with words underlined, cropped to the width of the screen."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from unicodedata import category, east_asian_width

from compiler.findings import Mark
from compiler.report.style import Style


def cells(text: str) -> int:
    """How many columns of a terminal a text takes; wide scripts take two a sign."""
    if text.isascii():
        return len(text)
    return sum(_cells_of(sign) for sign in text)


def _cells_of(sign: str) -> int:
    """By Unicode Standard Annex 11: wide signs two, marks and format signs none."""
    if category(sign) in {"Mn", "Me", "Cf"}:
        return 0
    return 2 if east_asian_width(sign) in {"W", "F"} else 1


def quoted(marks: Sequence[Mark], style: Style, width: int, role: str) -> Iterator[str]:
    """The lines of all marks in order, each with its words underlined and labelled.

    Marks are of one file; lines left out between them show as one gap sign.
    """
    gutter = max(len(str(mark.span.line)) for mark in marks)
    gutter = max(gutter, 3)
    shown = 0
    for mark in marks:
        line = mark.span.line
        if shown and line > shown + 1:
            yield f"  {' ' * gutter} {style.gap}"
        text, before, long = cropped(mark, style, width - gutter - 6)
        if line != shown:
            yield f"  {line:>{gutter}} {style.paint('quiet', style.bar)} {text}"
        shown = line
        underline = style.paint(role, style.under * max(long, 1))
        label = f" {mark.label}" if mark.label else ""
        bar = style.paint("quiet", style.bar)
        yield f"  {' ' * gutter} {bar} {' ' * before}{underline}{label}"


def cropped(mark: Mark, style: Style, width: int) -> tuple[str, int, int]:
    """The line of a mark, the cells before its words, and the cells of its words."""
    span = mark.span
    line = span.source.line(span.line).replace("\t", " ")
    start = span.column - 1
    end = min(start + max(len(span.text.split("\n")[0]), 1), len(line))
    if cells(line) > width:
        line, start, end = _around(line, start, end, width, style.cut)
    return line, cells(line[:start]), cells(line[start:end])


def _around(line: str, start: int, end: int, width: int, cut: str) -> tuple[str, int, int]:
    first = 0
    while first < start and cells(line[first:end]) > width * 2 // 3:
        first += 1
    head = cut if first else ""
    last = len(line)
    while last > first + 1 and cells(head + line[first:last]) > width - len(cut):
        last -= 1
    tail = cut if last < len(line) else ""
    shift = len(head) - first
    start = max(start + shift, len(head))
    end = max(min(end, last) + shift, start)
    return head + line[first:last] + tail, start, end
