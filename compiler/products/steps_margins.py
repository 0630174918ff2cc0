"""The margins of a step list on paper: what stands above and below on each of its pages."""

from __future__ import annotations

from dataclasses import dataclass

from compiler.layout.fonts import Faces
from compiler.layout.paper import Paper
from compiler.products.html import isolated_letters
from compiler.products.sheet import Imprint
from compiler.products.theme import Theme
from compiler.products.typesetting import taller
from compiler.wording.words import SLOT, Words

PAGE = "Page {number} of {count}"
SPOKEN = (PAGE,)
"""Fixed words that this file asks the catalogue for."""
ABOVE_FOOT = 2.0
"""Millimetres between the list and its foot."""
FOOT_LINES = 3
"""The caution on two lines, and what the sheet is not."""
COUNTS = {"number": "counter(page, own)", "count": "counter(pages, own)"}
"""What the engine puts into the slots, in the language's own digits."""


@dataclass(frozen=True, slots=True)
class Margins:
    """Where in the list a page is, whose it is, the caution, and which page of how many.

    The engine leaves margins out of the tagged text, so a reader hears them once, on page 1.
    """

    said: Imprint
    words: Words
    theme: Theme
    paper: Paper
    faces: Faces
    base: float
    """Size of the type, in millimetres."""

    @property
    def bottom(self) -> float:
        """Room for the foot and the white below it, which printers cannot reach, in mm."""
        line = self.theme.number("type/lines/text") * taller(self.theme, self.words.tag)
        return self.theme.number("steps/bottom") + ABOVE_FOOT + FOOT_LINES * line * self.base

    def letters(self) -> str:
        """All that may be printed here, apart from the names of parts and areas."""
        said, digits = self.said, "".join(map(self.words.number, range(10)))
        texts = (said.title, said.clinic, said.caution, said.code, *said.notices)
        return "".join((*texts, *SLOT.split(self.words.say(PAGE))[::2], digits, " · "))

    def css(self) -> str:
        """The rules of the page: its size, its margins, and the size of the type."""
        said, of = self.said, self.theme.number
        start, end = ("right", "left") if said.direction == "rtl" else ("left", "right")
        both = (
            f"font-family: {self.faces.families}; font-size: {self.base:.4f}mm; "
            f"color: {self.theme.colours['quiet']}; direction: {said.direction}; "
            "white-space: pre-line; "
        )
        first, last = f"{both}text-align: {start}; ", f"{both}text-align: {end}; "
        foot = f"vertical-align: top; padding-top: {ABOVE_FOOT}mm; "
        bold = "font-weight: 700; "
        notices = self._string("\n" + " · ".join(said.notices))
        symbols = " ".join(f'"{self.words.number(digit)}"' for digit in range(10))
        return (
            f"@counter-style own {{ system: numeric; symbols: {symbols}; }}\n"
            f"@page {{ size: {self.paper.width}mm {self.paper.height}mm; "
            f"margin: {of('steps/top')}mm {of('steps/side')}mm {self.bottom:.3f}mm;\n"
            f"@top-{start} {{ content: string(here); {first}{bold}width: 45%; }}\n"
            f'@top-{end} {{ content: {self._string(said.title)} " · " '
            f"{self._string(said.clinic)}; {last}width: 55%; }}\n"
            f"@bottom-{start} {{ content: {self._string(said.caution)} {notices}; "
            f"{first}{foot}{bold}width: 66%; }}\n"
            f'@bottom-{end} {{ content: {self._string(said.code)} "\\A " {self._page()}; '
            f"{last}{foot}width: 34%; }} }}\n"
            f"@page :first {{ margin-top: {of('steps/side')}mm; "
            f"@top-{start} {{ content: none; }} @top-{end} {{ content: none; }} }}\n"
            f"html {{ font-size: {self.base:.4f}mm; }}\n"
        )

    def _page(self) -> str:
        """The words "Page 2 of 5" as a value of CSS `content`."""
        pieces = SLOT.split(self.words.say(PAGE))
        return " ".join(
            COUNTS[piece] if i % 2 else css_string(piece) for i, piece in enumerate(pieces)
        )

    def _string(self, text: str) -> str:
        """A text in which numbers and codes keep their order from right to left."""
        return css_string(isolated_letters(text, self.said.direction))


def css_string(text: str) -> str:
    r"""A text as a string in CSS (CSS Syntax Module Level 3, 4.3.5).

    >>> print(css_string('a "b" c'))
    "a \22 b\22  c"
    """
    escape = '"\\\n\r\f'
    return '"' + "".join(f"\\{ord(c):x} " if c in escape else c for c in text) + '"'
