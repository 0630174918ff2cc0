"""Writes a line of glyphs so that its text reads back right, in every script.

A PDF font maps each glyph to text, once. That is not enough where one letter is drawn by several
glyphs, several letters by one, letters in another order than they are read, or one glyph stands
for two letters; Arabic, Devanagari and Bengali do all of this. For such clusters the text is
written beside the glyphs as ActualText (ISO 32000-1:2008, 14.9.4).
"""

from __future__ import annotations

import unicodedata
from collections.abc import Iterable, Mapping, MutableMapping
from dataclasses import dataclass, field
from itertools import groupby
from operator import itemgetter

import uharfbuzz as harfbuzz

NOTHING = "\u200b"
"""Stands for a glyph that has no letter of its own; a font must map every glyph to something."""


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

    def include(self, text: str) -> None:
        """Enters letters into the table: readers distrust ActualText that a font cannot write."""
        for letter in text:
            if (glyph := self.glyphs.get(letter)) is not None:
                self.meanings.setdefault(glyph, letter)


def drawn_font(
    data: bytes, meanings: MutableMapping[int, str], widths: MutableMapping[int, int]
) -> DrawnFont:
    """A font read from the bytes of its cut, with the engine's two tables."""
    face = harfbuzz.Face(data)
    font = harfbuzz.Font(face)
    glyphs = {chr(code): font.get_nominal_glyph(code) for code in sorted(face.unicodes)}
    letters = {glyph: letter for letter, glyph in glyphs.items()}
    return DrawnFont(meanings, widths, font, glyphs, letters)


@dataclass(frozen=True, slots=True)
class Glyph:
    """A glyph in its place."""

    code: int
    left: float
    """Of its origin, from the start of the line, in the unit of the type size."""
    rise: float
    """Of its origin, above the base line."""
    seen: bool = True
    """Whether it leaves ink; letters that only carry text do not."""


@dataclass(frozen=True, slots=True)
class Cluster:
    """The smallest stretch of text that has glyphs of its own, marks taken with their letter."""

    text: str
    glyphs: tuple[Glyph, ...]
    """From left to right."""
    left: float
    """Where it starts, from the start of the line."""
    leftward: bool
    """Whether it is read from right to left."""


class Pen:
    """Writes text operators, and knows where in the line they have got to."""

    def __init__(self) -> None:
        self.at = 0.0
        self.rise = 0.0
        self.seen = True
        self.out: list[bytes] = []
        self._shown: list[tuple[bool, bytes]] = []
        """Whether it is a glyph rather than a distance, and its code or figure."""

    def write(self, font: DrawnFont, size: float, clusters: Iterable[Cluster]) -> list[bytes]:
        """The operators for a run of clusters in one font, which must have been set."""
        for cluster in clusters:
            if _plain(font, cluster):
                self._show(font, size, cluster.glyphs[0])
            else:
                self._write_marked(font, size, cluster)
        self._set()
        self._flush()
        out, self.out = self.out, []
        return out

    def _write_marked(self, font: DrawnFont, size: float, cluster: Cluster) -> None:
        """A cluster with ActualText, in the way that readers of PDF cope with.

        They put right-to-left text in order letter by letter, so that each letter needs its own
        mark: the first gets the glyphs, the others are set unseen on its left, in the same place.
        They take the place of a mark from its first glyph and its end from its last, neither of
        which may be above or below the line, and they drop a mark that has no ink.
        """
        font.include(cluster.text)
        text, glyphs = cluster.text, cluster.glyphs
        if cluster.leftward:
            for letter in reversed(text[1:]):
                self._mark(font, size, letter, [_unseen(font, letter, cluster)])
            text = text[0]
            glyphs = sorted(glyphs, key=lambda glyph: font.width(glyph.code) > 0)
            if glyphs[0].rise:
                glyphs.insert(0, _unseen(font, text, cluster))
            if glyphs[-1].rise:
                glyphs.append(_unseen(font, text, cluster))
        self._mark(font, size, text, glyphs)

    def _mark(self, font: DrawnFont, size: float, text: str, glyphs: Iterable[Glyph]) -> None:
        self._flush()
        code = text.encode("utf-16-be").hex().encode()
        self.out.append(b"/Span <</ActualText <feff%s>>> BDC" % code)
        for glyph in glyphs:
            self._show(font, size, glyph)
        self._set()
        self._flush()
        self.out.append(b"EMC")

    def _show(self, font: DrawnFont, size: float, glyph: Glyph) -> None:
        self._set(glyph.rise, glyph.seen)
        back = round((self.at - glyph.left) * 1000 / size)
        if back:
            self._shown.append((False, b"%d" % back))
        self._shown.append((True, b"%04x" % glyph.code))
        # only whole thousandths are written, so what was rounded off is made good next time
        self.at += (font.width(glyph.code) - back) * size / 1000

    def _set(self, rise: float = 0.0, seen: bool = True) -> None:
        """Text rise and rendering mode; mode 3 leaves no ink (ISO 32000-1:2008, 9.3.6)."""
        if (rise, seen) != (self.rise, self.seen):
            self._flush()
        if rise != self.rise:
            self.out.append(b"%g Ts" % round(rise, 3))
        if seen != self.seen:
            self.out.append(b"0 Tr" if seen else b"3 Tr")
        self.rise, self.seen = rise, seen

    def _flush(self) -> None:
        if self._shown:
            self.out.append(b"[" + _operand(self._shown) + b"] TJ")
            self._shown = []


def _unseen(font: DrawnFont, letter: str, cluster: Cluster) -> Glyph:
    code = font.glyphs.get(letter, cluster.glyphs[-1].code)
    return Glyph(code, cluster.left, 0.0, seen=False)


def _operand(shown: list[tuple[bool, bytes]]) -> bytes:
    """Glyphs next to each other go into one string."""
    parts = []
    for glyphs, several in groupby(shown, key=itemgetter(0)):
        codes = (code for _, code in several)
        parts.append(b"<" + b"".join(codes) + b">" if glyphs else b" ".join(codes))
    return b"".join(parts)


def _plain(font: DrawnFont, cluster: Cluster) -> bool:
    """Whether the font's own table is enough; enters what the glyphs mean into that table."""
    text = cluster.text
    if len(cluster.glyphs) > 1:
        for glyph in cluster.glyphs:
            own = font.letters.get(glyph.code, NOTHING)
            meaning = own if own in text else NOTHING
            font.meanings.setdefault(glyph.code, font.claimed.get(glyph.code, meaning))
        return False
    glyph = cluster.glyphs[0]
    meaning = font.claimed.setdefault(glyph.code, text)
    font.meanings[glyph.code] = meaning
    alike = unicodedata.normalize("NFKC", meaning) == unicodedata.normalize("NFKC", text)
    return alike and not glyph.rise and (len(text) == 1 or not cluster.leftward)
