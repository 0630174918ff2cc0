"""Reads two things out of a PDF without an engine: its check codes and the size of its pages.

A PDF keeps its objects in streams, mostly deflated (ISO 32000-1, 7.3.8 and 7.4.4). All streams
are looked through with bounds; what is not found is not there, and nothing is ever drawn.
"""

from __future__ import annotations

import re
import zlib
from collections.abc import Iterator
from contextlib import suppress
from itertools import islice

from compiler.check_code import is_whole
from compiler.layout.paper import CARDS, PAPERS, Paper

LARGEST = 50_000_000
"""Bytes of a file that is looked through."""
MOST_STREAMS = 2_000
PACKED, UNPACKED = 300_000, 2_000_000
"""Bytes read of one stream, and taken out of it: what is looked for stands in small ones."""
ALL_UNPACKED = 50_000_000
_STREAM = re.compile(rb"stream\r?\n")
_CODE = re.compile(rb"check code ([0-9A-Z]{4}) ([0-9A-Z]{4})", re.IGNORECASE)
_BOXES = [
    re.compile(rb"/%b\s*\[\s*([-0-9. ]{7,60})\]" % name) for name in (b"TrimBox", b"MediaBox")
]
"""The sheet as it is cut, else the sheet as it is printed."""
MILLIMETRES = 25.4 / 72
"""A PDF's unit, as a share of a millimetre (ISO 32000-1, 8.3.2.3)."""


def codes_in(data: bytes) -> tuple[str, ...]:
    """The check codes that a file of ours names; none when it is no such file.

    >>> codes_in(b"... check code 3467 ACDG ...")
    ()
    """
    found: dict[str, None] = {}
    for text in _texts(data):
        for match in _CODE.finditer(text):
            code = (match[1] + match[2]).decode().upper()
            if is_whole(code):
                found[code] = None
    return tuple(found)


def size_of(data: bytes) -> tuple[float, float] | None:
    """Width and height of the first page whose size is found, in millimetres."""
    texts = list(_texts(data))
    found = (box.search(text) for box in _BOXES for text in texts)
    for match in filter(None, found):
        with suppress(ValueError):
            left, bottom, right, top = map(float, match[1].split())
            return (right - left) * MILLIMETRES, (top - bottom) * MILLIMETRES
    return None


def paper_of(width: float, height: float) -> str:
    """The paper of that size by name, or its measures in millimetres.

    >>> paper_of(420.0, 594.1), paper_of(90, 50)
    ('A2', '90 x 50 mm')
    """
    for paper in (*PAPERS.values(), *CARDS.values()):
        if _fits(paper.portrait if height >= width else paper.landscape, width, height):
            return paper.name
    return f"{width:.0f} x {height:.0f} mm"


def _fits(paper: Paper, width: float, height: float) -> bool:
    return abs(paper.width - width) < 1 and abs(paper.height - height) < 1


def _texts(data: bytes) -> Iterator[bytes]:
    """The file as it is, then what its streams hold."""
    if len(data) > LARGEST:
        return
    yield data
    left, view = ALL_UNPACKED, memoryview(data)
    for start in islice(_STREAM.finditer(data), MOST_STREAMS):
        packed = view[start.end() : start.end() + PACKED]
        with suppress(zlib.error):
            text = zlib.decompressobj().decompress(packed, min(UNPACKED, left))
            yield text
            left -= len(text)
        if left <= 0:
            return
