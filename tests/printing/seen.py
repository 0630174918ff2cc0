"""The signs of a PDF by where they stand, as a reader's eye takes them in."""

from __future__ import annotations

import unicodedata
from ctypes import c_double

import pypdfium2


def seen_lines(pdf: bytes) -> list[str]:
    """The signs of each line, from left to right by their places, without white space."""
    document = pypdfium2.PdfDocument(pdf)
    lines = [line for page in document for line in _lines(page)]
    document.close()
    return lines


def _lines(sheet: pypdfium2.PdfPage) -> list[str]:
    page = sheet.get_textpage()
    signs = []
    for i in range(page.count_chars()):
        sign = page.get_text_range(i, 1)
        if sign.strip() and unicodedata.category(sign[0]) != "Cf":
            left, base = c_double(), c_double()
            pypdfium2.raw.FPDFText_GetCharOrigin(page, i, left, base)
            signs.append((base.value, left.value, sign))
    lines: list[list[tuple[float, float, str]]] = []
    for place in sorted(signs, key=lambda place: -place[0]):
        if lines and abs(lines[-1][0][0] - place[0]) < 4:
            lines[-1].append(place)
        else:
            lines.append([place])
    return ["".join(s for _, _, s in sorted(line, key=lambda p: p[1])) for line in lines]
