"""A finished PDF as a picture for screens and slides: PNG, the same bytes each time."""

from __future__ import annotations

import struct
import zlib
from collections.abc import Iterator
from math import ceil

import pypdfium2

USUAL_DOTS = 150.0
"""To the inch: a screen full of an A4 sheet, and letters of a poster still sharp."""
LONGEST = 4000
"""Pixels of the longer side of a page at most: what slides and messages still carry."""
BETWEEN = 0.1
"""Inches of grey between two pages of one picture."""
GREY = 0x9A
POINTS, METRE = 72.0, 39.3701
"""In an inch; and inches in a metre."""
SIGNATURE = b"\x89PNG\r\n\x1a\n"


def png(pdf: bytes, dots: float = USUAL_DOTS, longest: int = LONGEST) -> bytes:
    """All pages below one another as one PNG (ISO/IEC 15948), on white.

    Args:
        pdf: A finished sheet.
        dots: To the inch. The picture says so of itself, and is that large on a slide.
        longest: Pixels that no side of a page is longer than; the dots become fewer for it.
    """
    document = pypdfium2.PdfDocument(pdf)
    try:
        pages = list(document)
        sides = [max(page.get_width(), page.get_height()) for page in pages]
        # half a pixel less, because a begun pixel counts as one
        scale = min(dots / POINTS, (longest - 0.5) / max(sides))
        width = max(ceil(page.get_width() * scale) for page in pages)
        gap = round(BETWEEN * scale * POINTS)
        height = sum(ceil(page.get_height() * scale) for page in pages) + gap * (len(pages) - 1)
        packer = zlib.compressobj(6)
        packed = [packer.compress(row) for row in _rows(pages, scale, width, gap)]
        data = b"".join(packed) + packer.flush()
    finally:
        document.close()
    head = struct.pack(">IIBBBBB", width, height, 8, 2, 0, 0, 0)
    size = struct.pack(">IIB", *[round(scale * POINTS * METRE)] * 2, 1)
    return SIGNATURE + b"".join(
        _chunk(kind, content)
        for kind, content in ((b"IHDR", head), (b"pHYs", size), (b"IDAT", data), (b"IEND", b""))
    )


def _rows(
    pages: list[pypdfium2.PdfPage], scale: float, width: int, gap: int
) -> Iterator[bytes]:
    """The rows of pixels, each after the number of its filter: none."""
    grey = bytes((GREY,))
    for i, page in enumerate(pages):
        if i:
            yield (b"\0" + grey * 3 * width) * gap
        bitmap = page.render(scale=scale, rev_byteorder=True)
        pixels, bytes_each = memoryview(bitmap.buffer), 3 * bitmap.width
        for y in range(bitmap.height):
            start = y * bitmap.stride
            row = bytes(pixels[start : start + bytes_each])
            yield b"\0" + row + grey * 3 * (width - bitmap.width)
        bitmap.close()


def _chunk(kind: bytes, content: bytes) -> bytes:
    check = zlib.crc32(kind + content)
    return struct.pack(">I", len(content)) + kind + content + struct.pack(">I", check)
