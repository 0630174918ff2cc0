"""How tall the letters of a face are, as a share of the type size: what legibility goes by."""

from __future__ import annotations

import statistics
from functools import lru_cache

import uharfbuzz as harfbuzz

from compiler.layout.font_files import FontFile
from compiler.layout.fonts import Faces, opened

CAPITALS = "HEINTX"
"""Flat at foot and head, so that their height is the height of a capital."""
SMALL = "vxz"
"""Flat at foot and head, and with neither stem nor tail: their height is the x-height."""
HAN = "人口日月水火木手足衣洗戴门室"
TYPICAL = {
    "Arab": "الطك",
    "Aran": "اطظ",
    "Beng": "অকখগঘচজডণতথদনপফবমযরল",
    "Deva": "अकखगघचजटडणतथदनपफबमयरल",
    "Ethi": "ሀለሐመሠረሰቀበተኀነአከወዐዘየደገጠጰጸፈ",
    "Hans": HAN,
    "Hant": HAN.replace("门", "門"),
    "Jpan": HAN.replace("门", "門"),
    "Kore": "가나다라마바사아자차카타파하손문",
    "Thai": "กขคงจชซดตถทนบผพมยรลวสหอ",
}
"""Ordinary letters of scripts without capitals, by the script of the face."""
STANDING = frozenset({"Arab", "Aran"})
"""Scripts with all sorts of tails below the line; what stands above it counts."""


def letter_height(faces: Faces) -> float:
    """Height of a full letter of the sheet's main script, as a share of the type size.

    Measured from the ink of the glyphs (their extents in the font file), the median over a few
    ordinary letters. European scripts: a capital, as ISO 9241-303 measures. Arabic: how far the
    tall letters (alef, lam, tah, kaf) stand above the line. Han, Hangul: the whole character.
    Devanagari, Bengali, Thai, Ethiopic: a consonant from foot to head, without vowel signs.
    """
    if not faces.order:
        return 0.7  # no font at all: an obstacle tells, and nothing is printed
    face = faces.order[0]
    return _median(face.regular, TYPICAL.get(face.script, CAPITALS), face.script in STANDING)


def capital_height(faces: Faces) -> float:
    """Height of a European capital on this sheet, as a share of the size; 0 without one."""
    return _latin(faces, CAPITALS)


def x_height(faces: Faces) -> float:
    """Height of a European small letter without stem or tail, as a share; 0 without one."""
    return _latin(faces, SMALL)


def _latin(faces: Faces, letters: str) -> float:
    drawing = faces.drawn_by(letters[0])
    return _median(faces.order[drawing].regular, letters, False) if drawing is not None else 0.0


@lru_cache(maxsize=256)
def _median(file: FontFile, letters: str, standing: bool) -> float:
    face = opened(file)
    font = harfbuzz.Font(face)
    inks = [font.get_glyph_extents(font.get_nominal_glyph(ord(letter))) for letter in letters]
    heights = [ink.y_bearing if standing else -ink.height for ink in inks]
    return float(statistics.median(heights) / face.upem)
