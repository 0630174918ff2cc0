"""White letters on a dark band stay on it: looked at as pixels, because boxes do not tell ink."""

from __future__ import annotations

import math

import pypdfium2
import pytest

from compiler.products.boxes import BlockBox, TextBox
from tests.printing.foreign import made_in
from tests.printing.posters import sheet

DOTS = 300 / 25.4
"""To the millimetre."""
CLEAR = 0.3
"""Millimetres of the band above and below its ink; common practice, no source."""
LIGHT = 140
"""Of 255: the band is far darker and the letters on it are far lighter."""


@pytest.mark.parametrize("language", ["ur", "ar", "hi", "bn", "th"])
def test_ink_stays_clear_of_the_edges_of_a_band(language):
    """Scripts whose letters reach highest above and lowest below their line."""
    found = sheet("airborne-room", language) if language != "th" else made_up("th")
    picture = pypdfium2.PdfDocument(found.pdf)[0].render(scale=DOTS * 25.4 / 72).to_pil()
    bands = [box for box in found.blocks if "band" in box.classes]
    for band in bands:
        # leads are largest; the sign beside them has white ground of its own
        letters = [text for text in found.texts if text.weight == 700 and _in(text, band)]
        left, right = (
            min(text.left for text in letters),
            max(text.left + text.width for text in letters),
        )
        strip = picture.convert("L").crop(
            (
                math.ceil(left * DOTS),
                math.ceil(band.top * DOTS) + 1,
                math.floor(right * DOTS),
                math.floor(band.bottom * DOTS) - 1,
            )
        )
        ink = strip.point(lambda shade: 255 * (shade > LIGHT)).getbbox()
        assert ink
        assert ink[1] / DOTS > CLEAR, f"{ink[1] / DOTS:.2f} mm from the upper edge"
        assert (strip.height - ink[3]) / DOTS > CLEAR
    assert len(bands) > 5


def made_up(language: str):
    """A poster in made-up words: the example has no translation into the language."""
    return made_in(language)[1].poster


def _in(text: TextBox, band: BlockBox) -> bool:
    middle = text.top + text.height / 2
    right = band.left + band.width
    return band.top < middle < band.bottom and band.left <= text.left < right
