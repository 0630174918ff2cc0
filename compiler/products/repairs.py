"""What the PDF engine leaves undone or does at too great a cost, put right."""

from __future__ import annotations

import struct

import pydyf

from compiler.products.bare_fontconfig import Engine
from compiler.products.boxes import POINTS

TABLE_CELLS = frozenset({"/TD", "/TH"})
"""An empty cell still counts as one of its row."""


def draw_background_once(stream: Engine, layer: Engine, style: Engine) -> bool:
    """Draws a background picture that is not repeated; False if it is another kind.

    The engine puts each into a transparency group the size of the page, which is safe for masks
    that cut across each other. A poster has fifty pictograms, none with such a mask, and fifty
    groups of that size make it large, and slow to print.
    """
    if layer.image is None or 0 in layer.size or layer.repeat != ("no-repeat", "no-repeat"):
        return False
    left, top = (
        sum(pair) for pair in zip(layer.position, layer.positioning_area, strict=False)
    )
    with stream.artifact(), stream.stacked():
        if not layer.unbounded:
            stream.rectangle(*layer.painting_area)
            stream.clip()
            stream.end()
        stream.transform(e=left, f=top)
        layer.image.draw(stream, *layer.size, style)
    return True


def finish(document: Engine, pdf: Engine) -> None:
    """The last touches to a PDF before it is written."""
    _drop_empty_tags(pdf.objects)
    for item in pdf.objects:
        if isinstance(item, pydyf.Stream):
            if item.extra.get("Subtype") == "/OpenType":
                item.stream = [bare_cff(b"".join(item.stream))]
                item.extra["Subtype"] = "/CIDFontType0C"
        elif isinstance(item, dict) and item.get("S") == "/Figure":
            _place_figure(item, document.pages[pdf.page_references.index(item["Pg"])].height)


def _drop_empty_tags(objects: list[Engine]) -> None:
    """Takes tags out that hold nothing, so that no reader stops at them."""
    found: list[Engine] = [each for each in objects if isinstance(each, dict)]
    tags = {each.number: each for each in found if each.get("Type") == "/StructElem"}
    held_in = {tag.reference: tags.get(_number(tag["P"])) for tag in tags.values()}
    waiting = [tag for tag in tags.values() if _says_nothing(tag)]
    while waiting:
        tag = waiting.pop()
        around = held_in[tag.reference]
        if around is not None and tag.reference in around["K"]:
            around["K"].remove(tag.reference)
            if _says_nothing(around):
                waiting.append(around)


def _says_nothing(tag: Engine) -> bool:
    return not tag["K"] and "Alt" not in tag and tag["S"] not in TABLE_CELLS


def _number(reference: bytes) -> int:
    return int(reference.split()[0])


def _place_figure(figure: Engine, height: float) -> None:
    """Turns its frame into PDF units from below; the engine leaves CSS pixels from above."""
    left, top, right, bottom = figure["A"]["BBox"]
    frame = (left, height - bottom, right, height - top)
    figure["A"]["BBox"][:] = [length * POINTS for length in frame]


def bare_cff(font: bytes) -> bytes:
    """The outlines of an OpenType font; a PDF needs no more of it (ISO 32000-1:2008, 9.9).

    Layout of the file: OpenType specification 1.9, "Organization of an OpenType font".
    """
    count = struct.unpack_from(">H", font, 4)[0]
    for place in range(12, 12 + 16 * count, 16):
        tag, _, start, length = struct.unpack_from(">4sIII", font, place)
        if tag == b"CFF ":
            return font[start : start + length]
    return font
