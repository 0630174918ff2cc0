"""Quoted lines with words underlined, cropped to the width of the screen."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from compiler.findings import Mark
from compiler.report.style import Style
from compiler.source import Source
from compiler.wording.cells import cells


def quoted(marks: Sequence[Mark], style: Style, width: int, role: str) -> Iterator[str]:
    """The lines of all marks in order, each with its words underlined and labelled.

    Lines left out between them show as one gap sign; a line of another file than the last
    mark's, which is where the finding is, is labelled with the name of its file.
    """
    gutter = max(3, *(len(str(mark.span.line)) for mark in marks))
    home, shown = marks[-1].span.source, 0
    bar = style.paint("quiet", style.bar)
    for mark in marks:
        line = mark.span.line
        if shown and line not in (shown, shown + 1):
            yield f"  {' ' * gutter} {style.gap}"
        label = _label(mark, home)
        text, before, long = cropped(mark, style, width - gutter - 6, cells(label))
        if line != shown:
            yield f"  {line:>{gutter}} {bar} {text}"
        shown = line
        underline = style.paint(role, style.under * max(long, 1))
        yield f"  {' ' * gutter} {bar} {' ' * before}{underline}{label}"


def _label(mark: Mark, home: Source) -> str:
    words = [mark.label] if mark.label else []
    if mark.span.source.path != home.path:
        words.append(f"in {mark.span.source.path.rpartition('/')[2]}")
    return f" {', '.join(words)}" if words else ""


def cropped(mark: Mark, style: Style, width: int, label: int = 0) -> tuple[str, int, int]:
    """The line of a mark, the cells before its words, and the cells of its words.

    The line is cut on both sides so that it, and its underline with a label of so many cells,
    fit the width.
    """
    span = mark.span
    line = span.source.line(span.line).replace("\t", " ")
    start = span.column - 1
    end = min(start + max(len(span.text.split("\n")[0]), 1), len(line))
    room = width - label
    if cells(line) > width or cells(line[:end]) > room:
        line, start, end = _around(line, start, end, width, room, style.cut)
    return line, cells(line[:start]), min(cells(line[start:end]), max(room, 1))


def _around(
    line: str, start: int, end: int, width: int, room: int, cut: str
) -> tuple[str, int, int]:
    first, space = 0, min(width * 2 // 3, room - len(cut))
    while first < start and cells(line[first:end]) > space:
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
