"""Glyphs in their places, and the fonts they come from, as plain values for the pen."""

from __future__ import annotations

import unicodedata
from collections.abc import Mapping, MutableMapping
from dataclasses import dataclass, field
from typing import NamedTuple

import uharfbuzz as harfbuzz

NOTHING = "\u200b"
"""Stands for a glyph without a letter of its own; a font must map every glyph to something."""


@dataclass(frozen=True, slots=True)
class DrawnFont:
    """A font of the document, with what its glyphs are said to mean."""

    meanings: MutableMapping[int, str]
    """The engine's table, glyph to text, that ends up in the PDF."""
    widths: MutableMapping[int, int]
    """The engine's table of the widths of the glyphs in use, in thousandths of the size."""
    face: harfbuzz.Font
    glyphs: Mapping[str, int]
    """The glyph that draws a letter as it stands."""
    letters: Mapping[int, str]
    """The other way round."""
    claimed: dict[int, str] = field(default_factory=dict)
    """What glyphs that stand alone have been found to mean."""

    def width(self, glyph: int) -> int:
        """A glyph's width; it is entered into the table, since it is about to be shown."""
        if glyph not in self.widths:
            share = self.face.get_glyph_h_advance(glyph) / self.face.face.upem
            self.widths[glyph] = round(share * 1000)
        return self.widths[glyph]

    def means(self, glyph: int, text: str) -> bool:
        """Whether a glyph can stand for a text without more words: the first claim holds."""
        meaning = self.claimed.setdefault(glyph, text)
        self.meanings[glyph] = meaning
        return meaning == text or _folded(meaning) == _folded(text)

    def partly_means(self, glyph: int, text: str) -> None:
        """Enters for one glyph of several its own letter, for readers that look no further."""
        own = self.letters.get(glyph, NOTHING)
        meaning = self.claimed.get(glyph, own if own in text else NOTHING)
        self.meanings.setdefault(glyph, meaning)


def _folded(text: str) -> str:
    return unicodedata.normalize("NFKC", text)


def drawn_font(
    data: bytes, meanings: MutableMapping[int, str], widths: MutableMapping[int, int]
) -> DrawnFont:
    """A font read from the bytes of its cut, with the engine's two tables."""
    face = harfbuzz.Face(data)
    font = harfbuzz.Font(face)
    glyphs = {chr(code): font.get_nominal_glyph(code) for code in sorted(face.unicodes)}
    letters = {glyph: letter for letter, glyph in glyphs.items()}
    return DrawnFont(meanings, widths, font, glyphs, letters)


class Glyph(NamedTuple):
    """A glyph in its place. A tuple, since a sheet has thousands of them."""

    code: int
    left: float
    """Of its origin, from the start of the line, in the unit of the type size."""
    rise: float = 0.0
    """Of its origin, above the base line."""
    seen: bool = True
    """Whether it leaves ink; letters that only carry text do not."""
    stretch: float = 1.0
    """By how much it is widened."""


class Cluster(NamedTuple):
    """The smallest stretch of text with glyphs of its own, marks taken with their letter."""

    text: str
    glyphs: tuple[Glyph, ...]
    """From left to right."""
    left: float
    """Where it starts, from the start of the line."""
    width: float
    leftward: bool
    """Whether it is read from right to left."""


def outline(font: DrawnFont, glyph: int) -> bytes:
    """PDF operators that fill the shape of a glyph, in the units of its font."""
    operators: list[str] = []
    font.face.draw_glyph(glyph, _drawing(), operators)
    return "\n".join([*operators, "f"]).encode()


def _drawing() -> harfbuzz.DrawFuncs:
    drawing = harfbuzz.DrawFuncs()
    drawing.set_move_to_func(lambda x, y, out: out.append(f"{x:g} {y:g} m"))
    drawing.set_line_to_func(lambda x, y, out: out.append(f"{x:g} {y:g} l"))
    drawing.set_cubic_to_func(
        lambda a, b, c, d, x, y, out: out.append(f"{a:g} {b:g} {c:g} {d:g} {x:g} {y:g} c")
    )
    drawing.set_close_path_func(lambda out: out.append("h"))
    return drawing
