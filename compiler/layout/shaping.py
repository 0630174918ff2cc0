"""Measures text as the layout engine will set it: widths by HarfBuzz, lines by where text may break."""

from __future__ import annotations

import unicodedata
from collections.abc import Iterator
from functools import lru_cache

import uharfbuzz as harfbuzz

from compiler.layout.breaking import pieces
from compiler.layout.font_files import FontFile
from compiler.layout.fonts import Faces, follows, opened


class Shaper:
    """Widths and line counts of text in one set of faces. What was shaped is remembered."""

    def __init__(self, faces: Faces) -> None:
        self._faces = faces
        self._widths: dict[tuple[str, int], float] = {}

    def width(self, text: str, size: float, weight: int = 400) -> float:
        """The width of `text` on one line, in the unit of `size`."""
        return self._share_of_em(text, weight) * size

    def line_count(
        self, text: str, size: float, weight: int, width: float, language: str
    ) -> int:
        """How many lines `text` takes in a column of `width`, in the unit of `size`.

        Breaks where the engine would, save that Thai, which the engine breaks by a word list,
        is broken between any two letters. A word wider than the column has a line of its own.
        """
        room = width / size
        lines, used = 1, 0.0
        for piece, space in pieces(text, language):
            wide = self._share_of_em(piece, weight)
            if used and used + wide > room:
                lines, used = lines + 1, 0.0
            used += wide + (self._share_of_em(space, weight) if space else 0.0)
        return lines

    def _share_of_em(self, text: str, weight: int) -> float:
        key = text, weight
        if key not in self._widths:
            self._widths[key] = sum(
                advance(self._faces.order[face].file(weight), run)
                for face, run in runs(text, self._faces)
            )
        return self._widths[key]


def runs(text: str, faces: Faces) -> Iterator[tuple[int, str]]:
    """Stretches of text in one face and one direction, in the order of the text."""
    start, current = 0, None
    for i, character in enumerate(text):
        if follows(character):
            continue
        key = (
            faces.drawn_by(character) or 0,
            unicodedata.bidirectional(character) in {"R", "AL"},
        )
        if current is not None and key != current:
            yield current[0], text[start:i]
            start = i
        current = key
    if text:
        yield current[0] if current else 0, text[start:]


def advance(file: FontFile, text: str) -> float:
    """The width of a run of text in one face, as a share of the type size."""
    buffer = harfbuzz.Buffer()
    buffer.add_str(text)
    buffer.guess_segment_properties()
    font = _font(file)
    harfbuzz.shape(font, buffer)
    return float(sum(p.x_advance for p in buffer.glyph_positions) / font.face.upem)


@lru_cache(maxsize=64)
def _font(file: FontFile) -> harfbuzz.Font:
    font = harfbuzz.Font(opened(file))
    font.set_variations({"wght": file.weight})
    return font
