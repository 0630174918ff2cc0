"""Text folded to the cells of a terminal: wide scripts, and words longer than a line."""

from __future__ import annotations

from collections.abc import Iterator

from compiler.wording.cells import cells


def folded(text: str, width: int, first: str = "", rest: str = "") -> list[str]:
    """Lines of at most so many cells; `first` and `rest` stand before them.

    >>> folded("one two three", 9, "- ", "  ")
    ['- one two', '  three']
    >>> folded("脱下手套", 4)
    ['脱下', '手套']
    """
    lines = [first]
    for word in _pieces(text, max(width - max(cells(first), cells(rest)), 2)):
        begun = lines[-1] not in (first, rest)
        joined = f"{lines[-1]} {word}" if begun else lines[-1] + word
        if cells(joined) > width:
            lines.append(rest + word)
        else:
            lines[-1] = joined
    return lines


def _pieces(text: str, room: int) -> Iterator[str]:
    """Words, those longer than a line in pieces."""
    for word in text.split():
        piece = ""
        for sign in word:
            if cells(piece + sign) > room:
                yield piece
                piece = ""
            piece += sign
        yield piece
