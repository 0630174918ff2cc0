"""Makes the text of a PDF read back right: says what a drawn cluster of glyphs stands for.

A PDF font maps each glyph to text, once. That is not enough where one letter is drawn by several
glyphs, several letters by one, letters in another order than they are read, or one glyph by two
letters; Arabic, Devanagari and Bengali do all of this. For such clusters the text is written
beside the glyphs as ActualText (ISO 32000-1:2008, 14.9.4).
"""

from __future__ import annotations

import re
import unicodedata
from collections.abc import Iterable, Iterator, Mapping, MutableMapping, Sequence
from dataclasses import dataclass, field
from itertools import groupby
from operator import itemgetter

import uharfbuzz as harfbuzz

NOTHING = "\u200b"
"""Stands for a glyph that has no letter of its own; a font must map every glyph to something."""
SHOWN = re.compile(rb"<([0-9a-f]*)>|([^<>\s]+)")
"""Glyphs and distances in the operand of a TJ operator."""


@dataclass(frozen=True, slots=True)
class DrawnFont:
    """A font of the document, with what its glyphs are said to mean."""

    meanings: MutableMapping[int, str]
    """The engine's own table, glyph to text, that ends up in the PDF."""
    widths: MutableMapping[int, int]
    """The engine's table of the widths of the glyphs in use."""
    letters: Mapping[int, str]
    """Glyphs that draw one letter as it stands."""
    glyphs: Mapping[str, int]
    """The other way round: letters with such glyphs."""
    blank: int
    """The glyph of the space."""
    blank_width: int
    """In thousandths of the type size."""
    claimed: dict[int, str] = field(default_factory=dict)
    """What glyphs that stand alone have been found to mean."""

    def include(self, text: str) -> None:
        """Enters every letter into the table; readers distrust ActualText the font cannot write."""
        for letter in text:
            glyph = self.glyphs.get(letter)
            if glyph is not None:
                self.meanings.setdefault(glyph, letter)


def drawn_font(
    data: bytes, meanings: MutableMapping[int, str], widths: MutableMapping[int, int]
) -> DrawnFont:
    """Reads from a cut font which glyphs are letters, and whether it has a blank."""
    face = harfbuzz.Face(data)
    font = harfbuzz.Font(face)
    glyphs = {chr(code): font.get_nominal_glyph(code) for code in sorted(face.unicodes)}
    letters = {glyph: letter for letter, glyph in glyphs.items()}
    blank = font.get_nominal_glyph(ord(" "))
    width = round(font.get_glyph_h_advance(blank) * 1000 / face.upem)
    return DrawnFont(meanings, widths, letters, glyphs, blank, width)


@dataclass(frozen=True, slots=True)
class Cluster:
    """The smallest stretch of text that has glyphs of its own."""

    font: DrawnFont
    text: str
    glyphs: tuple[int, ...]
    """From left to right."""
    leftward: bool
    """Whether it is read from right to left."""


def base_starts(text: bytes, starts: Sequence[int]) -> list[int]:
    """For the start of each glyph's text, that of the letter it belongs to if it is a mark.

    A vowel sign or shadda is read with its letter, not as a line of its own a little higher.
    """
    base, bases = 0, {}
    for start in sorted(set(starts)):
        letter = text[start : start + 4].decode("utf-8", "ignore")[:1]
        if not unicodedata.category(letter).startswith("M"):
            base = start
        bases[start] = base
    return [bases[start] for start in starts]


class UnlikeDrawingError(Exception):
    """The glyphs drawn are not those of the text: the engine changed, and nothing can be promised."""


def readable(operators: Iterable[bytes], clusters: Iterable[Cluster]) -> list[bytes]:
    """The drawing operators of a line of text, with ActualText where glyphs alone mislead.

    Raises:
        UnlikeDrawingError: the operators draw other glyphs than the clusters have.
    """
    writer = _Writer(iter(clusters))
    for operator in operators:
        if operator.endswith(b" TJ"):
            writer.show(operator)
        else:
            writer.out.append(operator)
    writer.finish()
    return writer.out


class _Writer:
    """Copies operators and opens and closes a mark around each cluster that needs one."""

    def __init__(self, clusters: Iterator[Cluster]) -> None:
        self.out: list[bytes] = []
        self._clusters = clusters
        self._ahead: list[int] = []
        """Glyphs of the current cluster still to come."""
        self._marked = False
        self._shown: list[tuple[bool, bytes]] = []
        """Whether it is a glyph rather than a distance, and its code or figure."""

    def show(self, operator: bytes) -> None:
        for match in SHOWN.finditer(operator[1:-4]):
            if match[2]:
                self._shown.append((False, match[2]))
                continue
            for at in range(0, len(match[1]), 4):
                self._glyph(match[1][at : at + 4])
        self._flush()

    def _glyph(self, code: bytes) -> None:
        if not self._ahead:
            self._begin()
        if not self._ahead or self._ahead.pop(0) != int(code, 16):
            raise UnlikeDrawingError
        self._shown.append((True, code))
        if self._marked and not self._ahead:
            self._flush()
            self.out.append(b"EMC")
            self._marked = False

    def _begin(self) -> None:
        cluster = next(self._clusters, None)
        if cluster is None:
            return
        self._ahead = list(cluster.glyphs)
        if not _plain(cluster):
            self._flush()
            self._mark(cluster)

    def _mark(self, cluster: Cluster) -> None:
        """Readers put right-to-left text in order letter by letter, so each needs its own mark.

        The first letter gets all glyphs, the others a blank each, to the left of them.
        """
        text = cluster.text
        cluster.font.include(text + " ")
        if cluster.leftward and len(text) > 1:
            font = cluster.font
            width = font.widths.setdefault(font.blank, font.blank_width)
            for letter in reversed(text[1:]):
                self.out.append(_begin_mark(letter))
                self._shown.append((True, b"%04x" % font.blank))
                self._flush()
                self.out.append(b"EMC")
                # going back must wait for the next operator: readers drop what has no width
                self._shown.append((False, b"%d" % width))
            text = text[0]
        self.out.append(_begin_mark(text))
        self._marked = True

    def _flush(self) -> None:
        if self._shown:
            self.out.append(b"[" + _operand(self._shown) + b"] TJ")
            self._shown = []

    def finish(self) -> None:
        if self._ahead or next(self._clusters, None) is not None:
            raise UnlikeDrawingError


def _operand(shown: list[tuple[bool, bytes]]) -> bytes:
    """Glyphs next to each other go into one string."""
    parts = []
    for glyphs, several in groupby(shown, key=itemgetter(0)):
        codes = (code for _, code in several)
        parts.append(b"<" + b"".join(codes) + b">" if glyphs else b" ".join(codes))
    return b"".join(parts)


def _begin_mark(text: str) -> bytes:
    return b"/Span <</ActualText <feff%s>>> BDC" % text.encode("utf-16-be").hex().encode()


def _plain(cluster: Cluster) -> bool:
    """Whether the font's own table is enough; enters what the cluster shows into that table."""
    font, text = cluster.font, cluster.text
    if len(cluster.glyphs) > 1:
        for glyph in cluster.glyphs:
            own = font.letters.get(glyph, NOTHING)
            meaning = own if own in text else NOTHING
            font.meanings[glyph] = font.claimed.get(glyph, meaning)
        return False
    glyph = cluster.glyphs[0]
    font.meanings[glyph] = font.claimed.setdefault(glyph, text)
    same = unicodedata.normalize("NFKC", font.claimed[glyph]) == unicodedata.normalize(
        "NFKC", text
    )
    return same and (len(text) == 1 or not cluster.leftward)
