"""What is dirty after each step, as signs in columns that fit a terminal.

The names of the columns stand above them like stairs, the last on top, so that a name of any
length and script leads down to its signs without being cut, turned or explained.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace

from compiler.findings import Level
from compiler.report.style import Style
from compiler.wording.cells import cells

WORDS_AT_LEAST = 30
"""Cells kept for the words of a step."""
STEP = 3
"""Cells of a column."""
LEVELS = ("clean", "touched", "contaminated")
"""What the signs stand for, by level; touched is what good technique leaves."""
ROLES = ("", Level.SHOULD.value, Level.MUST.value)
"""How each is painted."""


@dataclass(frozen=True, slots=True)
class Sign:
    """One cell: a surface at one moment."""

    level: int
    """By `LEVELS`."""
    around: str = "  "
    """What stands on both sides of the sign: two spaces, or a pair of brackets."""


@dataclass(frozen=True, slots=True)
class Line:
    """One step."""

    number: str
    words: str
    ending: str
    """What must not be cut off behind the words: an answer."""
    at: str
    """The line of the file."""
    signs: tuple[Sign | None, ...]


@dataclass(frozen=True, slots=True)
class Picture:
    """One part: its steps down, surfaces across."""

    title: str
    columns: tuple[str, ...]
    lines: tuple[Line, ...]


def drawn(picture: Picture, style: Style, width: int) -> str:
    """The picture, in as many blocks beside the same words as its columns need."""
    numbers = max((len(line.at) for line in picture.lines), default=0)
    room = max((width - 7 - WORDS_AT_LEAST - numbers) // STEP, 1)
    count = len(picture.columns)
    blocks = max(-(-count // room), 1)
    each = max(-(-count // blocks), 1)
    parts = [_block(picture, at, at + each, style, width) for at in range(0, count or 1, each)]
    return "\n\n".join("\n".join(lines) for lines in parts)


def _block(picture: Picture, begin: int, end: int, style: Style, width: int) -> Iterator[str]:
    columns = picture.columns[begin:end]
    more = f" ({begin + 1} to {begin + len(columns)} of {len(picture.columns)})"
    more = more if columns != picture.columns else ""
    yield style.paint("slug", cropped(picture.title, width - len(more), style) + more)
    margin = width - STEP * len(columns)
    yield from _stairs(columns, style, margin)
    for line in picture.lines:
        yield _row(replace(line, signs=line.signs[begin:end]), style, margin)


def _stairs(columns: tuple[str, ...], style: Style, margin: int) -> Iterator[str]:
    """The names, the last on top, each with a line that leads over and down to its column."""
    for at in reversed(range(len(columns))):
        name = cropped(columns[at], margin - 3, style)
        over = style.across * (STEP * at + 1) + style.corner
        down = f"  {style.down}" * (len(columns) - at - 1)
        space = " " * (margin - 1 - cells(name))
        yield f"{space}{name} {style.paint('quiet', over + down)}"


def _row(line: Line, style: Style, margin: int) -> str:
    room = margin - 7 - len(line.at) - cells(line.ending)
    words = cropped(line.words, max(room, 4), style) + line.ending
    space = " " * max(margin - 6 - len(line.at) - cells(words), 0)
    at = style.paint("quiet", line.at) if line.at else ""
    signs = "".join(signed(sign, style) if sign else " " * STEP for sign in line.signs)
    return f"{line.number:>3}  {words}{space}{at} {signs}".rstrip()


def signed(sign: Sign, style: Style) -> str:
    """One sign between its brackets."""
    drawn_sign = style.paint(ROLES[sign.level], style.levels[sign.level])
    return f"{sign.around[0]}{drawn_sign}{sign.around[1]}"


def cropped(text: str, room: int, style: Style) -> str:
    """The text, cut so that it takes no more cells than there is room."""
    if cells(text) <= room:
        return text
    while text and cells(text) > room - cells(style.cut):
        text = text[:-1]
    return text.rstrip() + style.cut
