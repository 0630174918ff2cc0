"""Cuts fonts down to the letters of one document: one small file for each family and weight."""

from __future__ import annotations

import struct
import unicodedata
from dataclasses import dataclass, field
from functools import lru_cache
from pathlib import Path

import uharfbuzz as harfbuzz

from compiler.layout.font_files import FACE_FILES, FontFile
from compiler.layout.fonts import Faces, follows, letters_of, opened

ALWAYS = " 0123456789./-–‐•"
"""Letters that the engine sets by itself: numbers of pages and lists, bullets, hyphens."""
TAKEN_APART = {"\u0e33", "\u0eb3"}
"""Thai and Lao vowels that HarfBuzz splits in two, though Unicode has them as one."""
FLAGS = (
    harfbuzz.SubsetFlags.NOTDEF_OUTLINE
    | harfbuzz.SubsetFlags.NO_HINTING
    | harfbuzz.SubsetFlags.DESUBROUTINIZE
    | harfbuzz.SubsetFlags.DOWNGRADE_CFF2
    | harfbuzz.SubsetFlags.CFF_IDENTITY_CHARSET
)
"""Missing letters stay visible; no hints for paper; CFF2 becomes what every reader knows; and
glyphs are numbered as they lie, since in a PDF a letter of a CID font is found by that number
(ISO 32000-1:2008, 9.7.4.2), and the engine writes places."""


@dataclass(frozen=True, slots=True)
class CutFace:
    """A font file in memory with only the letters of one document."""

    family: str
    weight: int
    """400 or 700, as in CSS."""
    data: bytes = field(repr=False)
    source: Path
    """The file it was cut from."""


def cut(faces: Faces, regular_text: str, bold_text: str) -> tuple[CutFace, ...]:
    """One file for each family and weight in use, with letter sets that never overlap.

    Give all text that is set in a weight; markup does no harm. Only white space and joining
    controls are in several cuts (see `Faces.drawn_by`). Both weights of a family get the same
    letters: fontconfig asks first which file covers the alphabet of a language, and only then
    which is bold, and would set bold Arabic in the regular file. The PDF does not grow by that,
    since only what is drawn gets into it. The same input gives the same bytes.
    """
    cuts = []
    shares = _shares(faces, regular_text + bold_text)
    for weight, text in ((400, regular_text), (700, bold_text)):
        if not text:
            continue
        for i, codes in shares.items():
            face = faces.order[i]
            file = face.file(weight)
            data = _subset(file, codes)
            if (files := FACE_FILES.get(face.script)) and files.line:
                data = _with_line(data, *files.line)
            cuts.append(CutFace(face.family, weight, data, file.path))
    return tuple(cuts)


def _shares(faces: Faces, text: str) -> dict[int, frozenset[int]]:
    """Which code points each face draws, without the faces that draw none."""
    everywhere = {ord(c) for c in (*text, *ALWAYS) if follows(c)}
    shares: dict[int, set[int]] = {}
    for character in sorted({*_as_shaped(text), *ALWAYS}):
        if not follows(character) and (i := faces.drawn_by(character)) is not None:
            shares.setdefault(i, set()).add(ord(character))
    return {i: frozenset(codes | everywhere) for i, codes in sorted(shares.items())}


def _as_shaped(text: str) -> set[str]:
    """The letters of a text, and those that shaping takes them apart into or joins them to."""
    letters = {*text, *unicodedata.normalize("NFC", text), *unicodedata.normalize("NFD", text)}
    for letter in letters & TAKEN_APART:
        letters = letters | set(unicodedata.normalize("NFKD", letter))
    return letters


@lru_cache(maxsize=32)
def _subset(file: FontFile, codes: frozenset[int]) -> bytes:
    face = opened(file)
    wanted = harfbuzz.SubsetInput()
    wanted.flags = FLAGS
    letters = letters_of(file)
    wanted.unicode_set.set(harfbuzz.Set(code for code in codes if code in letters))
    for axis in face.axis_infos:
        if axis.tag == "wght":
            wanted.pin_axis_location(face, axis.tag, file.weight)
        else:
            wanted.pin_axis_to_default(face, axis.tag)
    data: bytes = harfbuzz.subset(face, wanted).blob.data
    return data


def _with_line(data: bytes, above: float, below: float) -> bytes:
    """The font with other heights of its line, as shares of the type size.

    OpenType 1.9: `hhea` and, in `OS/2`, the typographic and the Windows figures, in font units;
    the checksum of each table is the sum of its words.
    """
    font = bytearray(data)
    places = {}
    for record in range(12, 12 + 16 * struct.unpack_from(">H", font, 4)[0], 16):
        tag, _, offset, length = struct.unpack_from(">4sLLL", font, record)
        places[tag] = record, offset, length
    units = struct.unpack_from(">H", font, places[b"head"][1] + 18)[0]
    up, down = round(above * units), round(below * units)
    struct.pack_into(">hhh", font, places[b"hhea"][1] + 4, up, -down, 0)
    struct.pack_into(">hhhHH", font, places[b"OS/2"][1] + 68, up, -down, 0, up, down)
    for record, offset, length in (places[b"hhea"], places[b"OS/2"]):
        table = bytes(font[offset : offset + length]).ljust(-(-length // 4) * 4, b"\0")
        total = sum(struct.unpack(f">{len(table) // 4}L", table)) & 0xFFFFFFFF
        struct.pack_into(">L", font, record + 4, total)
    return bytes(font)
