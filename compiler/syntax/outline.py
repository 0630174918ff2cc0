"""The blocks of a body of the usual shape, several times faster than a CommonMark parser.

Headings at the margin, lists, quotes and paragraphs that begin with a letter, a digit or bold
words: almost every protocol has nothing else. For anything beyond that, and wherever CommonMark
would take a line for something it does not look like, the answer is None, and the CommonMark
parser reads the body. A test holds the two against each other.
"""

from __future__ import annotations

import re
from dataclasses import dataclass, field

Line = tuple[int, int]
"""Where a line of text begins and ends, without the marks of lists and quotes."""


@dataclass(slots=True)
class Text:
    """A paragraph or a heading."""

    heading: bool
    lines: list[Line]


@dataclass(slots=True)
class Quotation:
    """A block quote."""

    place: int = field(compare=False)
    """Where its first mark stands."""
    paragraphs: list[Text] = field(default_factory=list)
    open: bool = field(default=False, compare=False)
    """Whether the last paragraph may go on in the next line."""


@dataclass(slots=True)
class Listing:
    """A list; each item holds its own blocks."""

    ordered: bool
    mark: str
    """The last sign before an item: a full stop, a bracket, a hyphen …"""
    indent: int = field(compare=False)
    """Of its first mark; only `outline` asks for it."""
    items: list[list[Outline]] = field(default_factory=list)
    places: list[int] = field(default_factory=list, compare=False)
    """Where each item's mark stands."""


Outline = Text | Quotation | Listing


@dataclass(slots=True)
class Body:
    """A body taken apart, by either reader; only the CommonMark one finds more than blocks."""

    blocks: list[Outline] = field(default_factory=list)
    html: list[Line] = field(default_factory=list)
    """The first lines of blocks of raw HTML."""
    code: list[Line] = field(default_factory=list)
    """The first lines of blocks of code."""
    deep: list[Line] = field(default_factory=list)
    """The first lines of lists and quotes that are nested too deeply to be read."""
    references: dict[str, object] = field(default_factory=dict)
    """What links in square brackets refer to."""


_DEEPEST = 8
_LINE = re.compile(
    r"""
    (?P<indent>\ *)
    (?: (?P<hashes>\#{1,6})\ +
      | (?P<marker>(?P<number>[0-9]{1,9})[.)]|[-+*])\ {1,4}
      | (?P<quote>>\ ?)
    )?
    (?P<text> (?![0-9]{1,9}[.)](?:\s|$)) (?:\*\*[^\W_]|`[^`]|[^\W_]|["“‘(¿¡]) .*)?
    """,
    re.VERBOSE,
)


class _Unusual(Exception):  # noqa: N818 - the body is not of the usual shape; caught below
    pass


def outline(text: str) -> list[Outline] | None:
    """The blocks, or None when the text is not of the usual shape."""
    if "\t" in text:
        return None
    sketch = _Sketch()
    place = 0
    try:
        for line in text.split("\n"):
            if line and not line.isspace():
                sketch.take(line, place)
            else:
                sketch.paragraph = sketch.quotation = None
            place += len(line) + 1
    except _Unusual:
        return None
    return sketch.root


class _Sketch:
    """What is open after the lines taken so far."""

    def __init__(self) -> None:
        self.root: list[Outline] = []
        self.stack: list[tuple[int, list[Outline]]] = [(0, self.root)]
        """For each open item: the indentation it asks for, and its blocks."""
        self.paragraph: Text | None = None
        self.quotation: Quotation | None = None

    def take(self, line: str, place: int) -> None:
        """The next line that is not blank."""
        match = _LINE.fullmatch(line)
        if match is None:
            raise _Unusual
        hashes, marker, quote, text = match.group("hashes", "marker", "quote", "text")
        if text is None and quote is None:
            raise _Unusual
        indent = match.end("indent")
        depth = len(self.stack)
        while indent < self.stack[-1][0]:
            self.stack.pop()
        left = len(self.stack) < depth
        if indent - self.stack[-1][0] > 3:
            raise _Unusual
        at = (place + match.start("text"), place + len(line.rstrip()))
        if marker:
            self._item(match, at, place, left)
        elif quote:
            self._quote(at if text else None, place + indent, left)
        elif hashes:
            self._heading(line, at, indent)
        elif self.paragraph is not None and not left:
            self.paragraph.lines.append(at)
        elif self.paragraph is not None or self.quotation is not None:
            # CommonMark takes the line for part of a paragraph that looks finished.
            raise _Unusual
        else:
            self._paragraph(at)

    def _paragraph(self, at: Line) -> None:
        self.paragraph = Text(False, [at])
        self.stack[-1][1].append(self.paragraph)

    def _heading(self, line: str, at: Line, indent: int) -> None:
        if indent or line.rstrip().endswith("#"):
            raise _Unusual
        self.paragraph = self.quotation = None
        self.root.append(Text(True, [at]))

    def _item(self, match: re.Match[str], at: Line, place: int, left: bool) -> None:
        number, mark = match["number"], match["marker"][-1]
        indent = match.end("indent")
        # a list that begins below a paragraph or a quote, and with another number than one
        words = self.paragraph or self.quotation
        if not left and words is not None and number and int(number) != 1:
            raise _Unusual
        blocks = self.stack[-1][1]
        last = blocks[-1] if blocks else None
        if isinstance(last, Listing) and last.mark == mark:
            if last.indent != indent:
                raise _Unusual
        else:
            last = Listing(number is not None, mark, indent)
            blocks.append(last)
        inside: list[Outline] = []
        last.items.append(inside)
        last.places.append(place + indent)
        if len(self.stack) > _DEEPEST:
            raise _Unusual
        self.stack.append((match.start("text"), inside))
        self.quotation = None
        self._paragraph(at)

    def _quote(self, at: Line | None, place: int, left: bool) -> None:
        self.paragraph = None
        if self.quotation is None:
            self.quotation = Quotation(place)
            self.stack[-1][1].append(self.quotation)
        elif left:
            raise _Unusual
        if at is None:
            self.quotation.open = False
        elif self.quotation.open:
            self.quotation.paragraphs[-1].lines.append(at)
        else:
            self.quotation.paragraphs.append(Text(False, [at]))
            self.quotation.open = True
