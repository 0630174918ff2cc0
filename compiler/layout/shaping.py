"""Measures text as the layout engine will set it: its width, and how many lines it takes."""

from __future__ import annotations

import unicodedata
from collections.abc import Iterator
from functools import lru_cache

import uharfbuzz as harfbuzz

from compiler.layout.breaking import Ends, pieces
from compiler.layout.font_files import FontFile
from compiler.layout.fonts import Faces, follows, opened

HARFBUZZ = {
    "Latin": "Latn",
    "Aran": "Arab",
    "Hans": "Hani",
    "Hant": "Hani",
    "Jpan": "Hani",
    "Kore": "Hang",
}
"""Scripts that HarfBuzz calls otherwise, as the Unicode character database does."""


class Shaper:
    """Widths and line counts of text in one set of faces. What was shaped is remembered."""

    def __init__(self, faces: Faces, ends: Ends | None = None) -> None:
        self._faces, self._ends = faces, ends
        self._widths: dict[tuple[str, int], float] = {}

    def width(self, text: str, size: float, weight: int = 400) -> float:
        """The width of `text` on one line, in the unit of `size`."""
        return self._share_of_em(text, weight) * size

    def line_count(
        self, text: str, size: float, weight: int, width: float, language: str
    ) -> int:
        """How many lines `text` takes in a column of `width`, in the unit of `size`.

        Breaks where the engine would; Thai, which the engine breaks by a word list, is broken
        between any two syllables unless the shaper was told its words (see `pieces`). A word
        wider than the column has its own line.
        """
        room = width / size
        lines, used = 1, 0.0
        for piece, space in pieces(text, language, self._ends):
            wide = self._share_of_em(piece, weight)
            if used and used + wide > room:
                lines, used = lines + 1, 0.0
            used += wide + (self._share_of_em(space, weight) if space else 0.0)
        return lines

    def _share_of_em(self, text: str, weight: int) -> float:
        key = text, weight
        if key not in self._widths and self._faces.order:
            language, main = self._faces.language, self._faces.order[0].script
            script = HARFBUZZ.get(main, main)
            self._widths[key] = sum(
                advance(
                    self._faces.order[face].file(weight),
                    run,
                    _spoken(run, language, script),
                    script,
                )
                for face, run in runs(text, self._faces)
            )
        return self._widths.get(key, 0.0)


def runs(text: str, faces: Faces) -> Iterator[tuple[int, str]]:
    """Stretches of text in one face, script and direction, in the order of the text."""
    start, current = 0, None
    for i, character in enumerate(text):
        if follows(character):
            continue
        kind = _kind(character) or (current[1] if current else "")
        key = faces.drawn_by(character) or 0, kind
        if current is not None and key != current and (current[1] or key[0] != current[0]):
            end = _end_of_run(text, start, i)
            yield current[0], text[start:end]
            start = end
        current = key
    if text:
        yield current[0] if current else 0, text[start:]


def _end_of_run(text: str, start: int, following: int) -> int:
    """Where a run ends: before the space, if what follows runs from right to left.

    Between letters that run apart a space has the direction of the text around (Unicode
    Standard Annex 9, rule N2), and so the face of the run that goes on.
    """
    leftward = unicodedata.bidirectional(text[following]) in {"R", "AL"}
    bare = text[start:following].rstrip(" ")
    turns = leftward and bare and unicodedata.bidirectional(bare[-1]) in {"L", "EN"}
    return start + len(bare) if turns else following


def _spoken(run: str, language: str, script: str) -> str:
    """The language that the engine takes a run for: none is written in another's script.

    Pango gives Latin words of a Korean text to English, and with that other spaces.
    """
    latin = any(_kind(character) == "LATIN" for character in run)
    return "en" if latin and script in {"Hani", "Hang"} else language


@lru_cache(maxsize=4096)
def _kind(character: str) -> str:
    """The script of a letter, or that it is a digit; nothing for what goes along."""
    category = unicodedata.category(character)
    if category.startswith("L"):
        return unicodedata.name(character, "?").split()[0]
    # digits run from left to right, also between Arabic letters
    return "DIGIT" if category == "Nd" else ""


def advance(file: FontFile, text: str, language: str, script: str) -> float:
    """The width of a run of text in one face, as a share of the type size.

    `script` is that of the text around, for spaces and signs; they differ in width by script.
    """
    buffer = harfbuzz.Buffer()
    buffer.add_str(text)
    if not any(character.isalpha() for character in text):
        buffer.script, buffer.direction = script, "ltr"
    buffer.guess_segment_properties()
    buffer.language = language
    font = _font(file)
    harfbuzz.shape(font, buffer)
    return float(sum(p.x_advance for p in buffer.glyph_positions) / font.face.upem)


@lru_cache(maxsize=64)
def _font(file: FontFile) -> harfbuzz.Font:
    font = harfbuzz.Font(opened(file))
    font.set_variations({"wght": file.weight})
    return font
