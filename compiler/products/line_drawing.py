"""Draws a line that Pango has shaped into the PDF, so that its text reads back right."""

from __future__ import annotations

from collections.abc import Callable, MutableMapping
from dataclasses import dataclass, field

import pydyf

from compiler.products.actual_text import Pen
from compiler.products.bare_fontconfig import Engine
from compiler.products.glyphs import DrawnFont, Glyph, drawn_font, outline
from compiler.products.pango_lines import clusters_of, runs_of

BOLD = 600
"""The least CSS weight that is set in a bold font; there are two weights."""


class WrongFontError(Exception):
    """The engine would draw with another font than was asked for. The message says why."""


@dataclass
class Lines:
    """Draws the lines of one document."""

    bytes_of: Callable[[Engine], bytes]
    """Reads the file of a font that Pango has opened."""
    fonts: dict[str, DrawnFont] = field(default_factory=dict)
    """By the engine's name for them."""
    _known: set[Engine] = field(default_factory=set)
    """Fonts of Pango's that have been found to be the engine's."""

    def draw(self, stream: Engine, layout: Engine, weight: int, matrix: Engine) -> None:
        """Adds a line to a content stream, within a text object that has been begun.

        Raises:
            MissingLetterError: no font has a letter.
            WrongFontError: the weight is not there, or is there in two files.
        """
        line, _ = layout.get_first_line()
        text = layout.text.encode()
        stream.set_text_matrix(*matrix.values)
        pen, left = Pen(), 0.0
        shapes: list[bytes] = []
        for run in runs_of(line):
            opened, size = stream.add_font(run.item.analysis.font)
            if (opened.weight >= BOLD) != (weight >= BOLD):
                raise WrongFontError(f"{opened.family} is not there in weight {weight}")
            font = self._font(opened, run.item.analysis.font)
            stream.set_font_size(opened.hash, size)
            clusters, left = clusters_of(run, text, left)
            stream.stream.extend(pen.write(font, size, clusters))
            for glyph in pen.outlines:
                name = _shared_shape(stream._resources["XObject"], opened.hash, font, glyph)
                scale = size / font.face.face.upem
                place = b"q %.5f 0 0 %.5f %.3f %.3f cm" % (scale, scale, glyph.left, glyph.rise)
                shapes.append(place + b" /%s Do Q" % name.encode())
        if shapes:
            stream.end_text()
            with stream.stacked():
                stream.transform(*matrix.values)
                stream.stream.extend(shapes)
            stream.begin_text()

    def _font(self, opened: Engine, shaped_with: Engine) -> DrawnFont:
        if shaped_with not in self._known:
            if self.bytes_of(shaped_with) != opened.file_content:
                raise WrongFontError(f"{opened.family} has two font files in one weight")
            self._known.add(shaped_with)
        if opened.hash not in self.fonts:
            self.fonts[opened.hash] = drawn_font(
                opened.file_content, opened.to_unicode, opened.widths
            )
        font = self.fonts[opened.hash]
        # the engine may open a font twice, and then writes the tables of the last
        opened.to_unicode, opened.widths = font.meanings, font.widths
        return font


def _shared_shape(
    shapes: MutableMapping[str, Engine], font_name: str, font: DrawnFont, glyph: Glyph
) -> str:
    """The name of a glyph's shape among a page's objects; each shape is in the file once."""
    name = f"{font_name}{glyph.code}"
    if name not in shapes:
        shapes[name] = _form(font, glyph.code)
    return name


def _form(font: DrawnFont, code: int) -> Engine:
    """A form XObject that fills a glyph in the colour in force (ISO 32000-1:2008, 8.10)."""
    ink = font.face.get_glyph_extents(code)
    frame = [ink.x_bearing, ink.y_bearing + ink.height]
    frame += [ink.x_bearing + ink.width, ink.y_bearing]
    extra = {"Type": "/XObject", "Subtype": "/Form", "BBox": pydyf.Array(frame)}
    return pydyf.Stream([outline(font, code)], extra, compress=True)
