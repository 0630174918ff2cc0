"""A text as it was read, and places in it: every finding points at one of these."""

from __future__ import annotations

import re
from bisect import bisect_right
from dataclasses import dataclass, field
from functools import cached_property


@dataclass(frozen=True)
class Source:
    """One file's text, decoded once and never changed."""

    path: str
    """As the person would write it: relative to where they stand, with forward slashes."""
    text: str = field(repr=False)
    """The whole file, line ends as `\\n`."""

    @cached_property
    def line_starts(self) -> list[int]:
        """Offsets at which lines begin; the first is 0."""
        starts = [0]
        starts.extend(match.end() for match in re.finditer("\n", self.text))
        return starts

    def place(self, offset: int) -> tuple[int, int]:
        r"""Line and column of an offset, both counted from 1, in characters.

        >>> Source("a", "one\ntwo").place(5)
        (2, 2)
        """
        line = bisect_right(self.line_starts, offset) - 1
        return line + 1, offset - self.line_starts[line] + 1

    def line(self, number: int) -> str:
        """The text of line `number`, counted from 1, without its end."""
        start = self.line_starts[number - 1]
        end = self.text.find("\n", start)
        return self.text[start:] if end < 0 else self.text[start:end]

    def offset(self, line: int, column: int = 1) -> int:
        """The offset of a line and column, both counted from 1."""
        return min(self.line_starts[line - 1] + column - 1, len(self.text))

    def span(self, start: int, end: int) -> Span:
        """The place from offset `start` up to, not including, `end`."""
        return Span(self, start, end)


@dataclass(frozen=True)
class Span:
    """A stretch of one source, end exclusive."""

    source: Source
    start: int
    end: int

    @property
    def text(self) -> str:
        """The characters at this place."""
        return self.source.text[self.start : self.end]

    @property
    def line(self) -> int:
        """The line it starts on, counted from 1."""
        return self.source.place(self.start)[0]

    @property
    def column(self) -> int:
        """The column it starts in, counted from 1, in characters."""
        return self.source.place(self.start)[1]

    @property
    def order(self) -> tuple[str, int, int]:
        """Sorts places as a reader meets them."""
        return self.source.path, self.start, self.end
