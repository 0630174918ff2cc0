"""How tall the letters of a face are, as a share of the type size: what legibility goes by."""

from __future__ import annotations

import statistics
from functools import lru_cache

import uharfbuzz as harfbuzz

from compiler.layout.fonts import Faces, opened

TYPICAL = {
    "Arab": "بتحدرسصطعفقكلمنهوي",
    "Beng": "অআকখগঘচজটডণতথদনপফবমযরল",
    "Deva": "अआकखगघचजटडणतथदनपफबमयरल",
    "Ethi": "ሀለሐመሠረሰቀበተኀነአከወዐዘየደገጠጰጸፈ",
    "Hang": "가나다라마바사아자차카타파하",
    "Hans": "人口日月水火木手足衣洗戴脱门室",
    "Hant": "人口日月水火木手足衣洗戴脫門室",
    "Thai": "กขคงจชซดตถทนบปผพมยรลวสหอ",
}
"""Ordinary letters of scripts without capitals, by ISO 15924 code."""
CAPITALS = "HEINTX"
"""Flat at foot and head, so that their height is the height of a capital."""


def letter_height(faces: Faces) -> float:
    """Height of a typical letter of the sheet's main script, as a share of the type size.

    European scripts: a capital, as ISO 9241-303 measures. Others have no capitals: the median
    height of the ink of ordinary letters, marks above and below not counted.
    """
    face = faces.order[0]
    typical = TYPICAL.get(face.script, CAPITALS)
    file = face.regular
    heights = [_ink(file, letter) for letter in typical if faces.drawn_by(letter) is not None]
    return statistics.median(h for h in heights if h) if any(heights) else 0.7


@lru_cache(maxsize=512)
def _ink(file: object, letter: str) -> float:
    face = opened(file)  # type: ignore[arg-type]
    font = harfbuzz.Font(face)
    glyph = font.get_nominal_glyph(ord(letter))
    extents = font.get_glyph_extents(glyph) if glyph else None
    return abs(extents.height) / face.upem if extents else 0.0
