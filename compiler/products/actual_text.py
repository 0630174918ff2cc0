"""Writes a line of glyphs so that its text reads back right, in every script.

A PDF font maps each glyph to text, once. That is not enough where one letter is drawn by
several glyphs, several letters by one, letters in another order than they are read, or one
glyph stands for two letters; Arabic, Devanagari and Bengali do all of this.

From left to right, such clusters carry their text as ActualText (ISO 32000-1:2008, 14.9.4).
From right to left, readers of PDF disagree on whether ActualText is in the order of reading or
of sight, so there every letter is a glyph of its own in its place along the base line: one that
is seen where a letter has one, otherwise one in rendering mode 3, which leaves no ink (9.3.6).
Glyphs above or below the base line, and shapes that stand for no letter, are drawn as outlines:
readers sort text by place and line, and would take them for text that stands elsewhere.
"""

from __future__ import annotations

from collections.abc import Iterable
from itertools import groupby
from operator import itemgetter

from compiler.products.glyphs import Cluster, DrawnFont, Glyph

ASIDE = 0.002
"""Share of the type size by which a letter that is not seen stands before the next one: readers
sort by place, and must find them apart."""
SLIVER = 0.05
"""Share of the type size that such a letter is wide: readers take a larger overlap with the
next one for the start of another word."""


class Pen:
    """Writes the text operators of one line, and knows where in it they have got to."""

    def __init__(self) -> None:
        self.outlines: list[Glyph] = []
        """Glyphs of the last run that must be drawn as shapes."""
        self._at = 0.0
        self._state = Glyph(0, 0.0)
        """A glyph with the ink and stretch that are in force."""
        self._out: list[bytes] = []
        self._shown: list[tuple[bool, bytes]] = []
        """Whether it is a glyph rather than a distance, and its code or figure."""

    def write(self, font: DrawnFont, size: float, clusters: Iterable[Cluster]) -> list[bytes]:
        """The operators for a run of clusters in one font, which must have been set."""
        self.outlines = []
        for cluster in clusters:
            if cluster.leftward:
                self._write_leftward(font, size, cluster)
            else:
                self._write_rightward(font, size, cluster)
        self._set(Glyph(0, 0.0))
        self._flush()
        out, self._out = self._out, []
        return out

    def _write_rightward(self, font: DrawnFont, size: float, cluster: Cluster) -> None:
        """A cluster that is read from left to right, with ActualText if its glyphs need it."""
        text, glyphs = cluster.text, cluster.glyphs
        if len(glyphs) == 1 and not glyphs[0].rise and font.means(glyphs[0].code, text):
            self._show(font, size, glyphs[0])
            return
        level = [glyph for glyph in glyphs if not glyph.rise]
        # raised glyphs would be sorted in among their neighbours
        self.outlines.extend(glyph for glyph in glyphs if glyph.rise)
        unseen = Glyph(glyphs[0].code, cluster.left, seen=False)
        for glyph in level or [unseen]:
            font.partly_means(glyph.code, text)
        self._mark(font, size, text, level or [unseen])

    def _write_leftward(self, font: DrawnFont, size: float, cluster: Cluster) -> None:
        """A cluster that is read from right to left, letter by letter as it is seen."""
        first, others = cluster.text[0], cluster.text[1:]
        base = _base(font, cluster.glyphs, first)
        if base:
            for i, letter in enumerate(reversed(others)):
                left = base.left - (len(others) - i) * ASIDE * size
                self._show_unseen(font, size, letter, left, SLIVER * size)
            self._show(font, size, base)
        else:
            room = cluster.width / len(cluster.text)
            for i, letter in enumerate(reversed(cluster.text)):
                self._show_unseen(font, size, letter, cluster.left + i * room, room)
        self.outlines.extend(glyph for glyph in cluster.glyphs if glyph is not base)

    def _show_unseen(
        self, font: DrawnFont, size: float, letter: str, left: float, room: float
    ) -> None:
        """A letter that only carries text, widened to `room` unless that is nothing."""
        code = font.glyphs.get(letter, 0)
        natural = font.width(code) * size / 1000
        stretch = round(room / natural, 2) if room and natural else 1.0
        glyph = Glyph(code, left, seen=False, stretch=max(stretch, 0.01))
        if code and font.means(code, letter):
            self._show(font, size, glyph)
        else:
            font.partly_means(code, letter)
            self._mark(font, size, letter, [glyph])

    def _mark(self, font: DrawnFont, size: float, text: str, glyphs: Iterable[Glyph]) -> None:
        """Glyphs with ActualText."""
        self._flush()
        code = text.encode("utf-16-be").hex().encode()
        self._out.append(b"/Span <</ActualText <feff%s>>> BDC" % code)
        for glyph in glyphs:
            self._show(font, size, glyph)
        self._set(Glyph(0, 0.0))
        self._flush()
        self._out.append(b"EMC")

    def _show(self, font: DrawnFont, size: float, glyph: Glyph) -> None:
        self._set(glyph)
        scale = size * glyph.stretch / 1000
        back = round((self._at - glyph.left) / scale)
        if back:
            self._shown.append((False, b"%d" % back))
        self._shown.append((True, b"%04x" % glyph.code))
        # only whole thousandths are written, so what was rounded off is made good next time
        self._at += (font.width(glyph.code) - back) * scale

    def _set(self, glyph: Glyph) -> None:
        """Brings ink and stretch into force, and what is waiting onto the page."""
        old, self._state = self._state, glyph
        if glyph.seen == old.seen and glyph.stretch == old.stretch:
            return
        self._flush()
        if glyph.seen != old.seen:
            self._out.append(b"0 Tr" if glyph.seen else b"3 Tr")
        if glyph.stretch != old.stretch:
            self._out.append(b"%g Tz" % (glyph.stretch * 100))

    def _flush(self) -> None:
        if self._shown:
            self._out.append(b"[" + _operand(self._shown) + b"] TJ")
            self._shown = []


def _base(font: DrawnFont, glyphs: Iterable[Glyph], letter: str) -> Glyph | None:
    """The one glyph on the base line that can stand for the letter itself."""
    level = [glyph for glyph in glyphs if not glyph.rise and font.width(glyph.code)]
    if len(level) == 1 and font.means(level[0].code, letter):
        return level[0]
    return None


def _operand(shown: list[tuple[bool, bytes]]) -> bytes:
    """Glyphs next to each other go into one string."""
    parts = []
    for glyphs, several in groupby(shown, key=itemgetter(0)):
        codes = (code for _, code in several)
        parts.append(b"<" + b"".join(codes) + b">" if glyphs else b" ".join(codes))
    return b"".join(parts)
