"""Contrast of colours against published figures, and of all that a theme prints."""

from collections import Counter
from itertools import pairwise

import pypdfium2
import pytest

from compiler.layout.contrast import (
    LEAST_CONTRAST,
    LEAST_GRAPHIC_CONTRAST,
    contrast,
    luminance,
)
from compiler.products.html import rail_rules
from compiler.products.theme import theme_named, theme_names
from tests.printing.posters import ink, printed, sheet


@pytest.mark.parametrize(
    ("colour", "ratio"),
    [
        # Against white, by the procedure of WCAG 2.2 technique G18 (W3C): #767676 is the lightest
        # grey that passes 4.5:1, #777777 the first that fails; the others are often quoted.
        ("#000000", 21.00),
        ("#595959", 7.00),
        ("#767676", 4.54),
        ("#777777", 4.48),
        ("#0000ff", 8.59),
        ("#ff0000", 4.00),
        ("#ffff00", 1.07),
    ],
)
def test_contrast_against_white(colour, ratio):
    assert contrast(colour, "#ffffff") == pytest.approx(ratio, abs=0.005)
    assert contrast("#ffffff", colour) == contrast(colour, "#ffffff")


@pytest.mark.parametrize(
    ("colour", "relative"),
    # The weights of WCAG 2.2's definition, which the primaries show by themselves; and the middle
    # grey, ((128/255 + 0.055)/1.055)^2.4, by hand.
    [
        ("#ff0000", 0.2126),
        ("#00ff00", 0.7152),
        ("#0000ff", 0.0722),
        ("#ffffff", 1.0),
        ("#000000", 0.0),
        ("#808080", 0.2159),
        # 10/255 is below the knee: 10/255/12.92
        ("#0a0a0a", 0.003035),
    ],
)
def test_relative_luminance(colour, relative):
    assert luminance(colour) == pytest.approx(relative, abs=5e-5)


def _painted():
    """Every pair of colours that a theme sets text or meaning in, by what it is."""
    for name in theme_names():
        of = theme_named(name).colours
        yield f"{name}: text", of["ink"], of["paper"], LEAST_CONTRAST
        yield f"{name}: text over the word DRAFT", of["ink"], of["draft"], LEAST_CONTRAST
        yield f"{name}: answers of a fork", of["ink"], of["shade"], LEAST_CONTRAST
        yield f"{name}: small print", of["quiet"], of["paper"], LEAST_CONTRAST
        yield f"{name}: small print over DRAFT", of["quiet"], of["draft"], LEAST_CONTRAST
        yield f"{name}: bands of hand hygiene", of["on band"], of["band"], LEAST_CONTRAST
        yield f"{name}: their edges", of["band edge"], of["paper"], LEAST_GRAPHIC_CONTRAST
        for zone in ("clean", "transition", "contaminated"):
            yield f"{name}: {zone} label", of[zone], of["paper"], LEAST_CONTRAST
            yield f"{name}: {zone} label over DRAFT", of[zone], of["draft"], LEAST_CONTRAST
            yield f"{name}: {zone} rail", of[zone], of["paper"], LEAST_GRAPHIC_CONTRAST


@pytest.mark.parametrize(
    ("one", "other", "least"), [pair[1:] for pair in _painted()], ids=[p[0] for p in _painted()]
)
def test_the_themes_stand_out(one, other, least):
    """WCAG 2.2, 1.4.3 (text, 4.5:1) and 1.4.11 (graphics, 3:1), from the theme's own colours."""
    assert contrast(one, other) >= least


@pytest.mark.parametrize("theme", theme_names())
@pytest.mark.parametrize("language", ["en", "ar"])
def test_all_text_stands_out_as_it_is_drawn(theme, language):
    """Pixels of the printed page: in each line of text the letters against what is behind them.

    What is behind is the commonest colour of the line's box; where the word DRAFT passes behind,
    its own colour too. Letters are what stands out most.
    """
    found = sheet("airborne-room", language, draft=True, reviewed=False, theme=theme)
    page = pypdfium2.PdfDocument(found.pdf)[0].render(scale=110 / 72).to_pil().convert("RGB")
    draft = theme_named(theme).colours["draft"]
    weakest = {}
    for text in printed(found):
        left, top, right, bottom = ink(text)
        line = _colours(page, (left, top, right, bottom))
        # some white beside it, since a bold numeral alone is mostly letter
        around = _colours(page, (left - text.height, top, right + text.height, bottom))
        behind = around.most_common(1)[0][0]
        letters = max(around, key=lambda colour: contrast(colour, behind))
        # a tenth of the line, since the edge of a letter may by chance have that colour too
        grounds = {behind, draft} if line[draft] > line.total() / 10 else {behind}
        for ground in grounds:
            ratio = contrast(letters, ground)
            if ratio < weakest.get((letters, ground), (22.0, ""))[0]:
                weakest[letters, ground] = ratio, text.text
    assert len(weakest) >= 4
    assert [at for at in weakest.items() if at[1][0] < LEAST_CONTRAST] == []


def _colours(page, edges):
    """How often each colour occurs in a part of a page, given in millimetres."""
    data = page.crop(tuple(round(edge * 110 / 25.4) for edge in edges)).tobytes()
    pixels = zip(data[::3], data[1::3], data[2::3], strict=True)
    return Counter(f"#{red:02x}{green:02x}{blue:02x}" for red, green, blue in pixels)


def test_draft_is_seen_but_faint():
    """A watermark between visible and disturbing; common practice, no source."""
    of = theme_named().colours
    assert 1.08 < contrast(of["draft"], of["paper"]) < 1.25


@pytest.mark.parametrize("name", theme_names())
def test_areas_are_told_apart_without_colour(name):
    """WCAG 2.2, 1.4.1: colour is never the only sign. Each rail has a pattern of its own."""
    theme = theme_named(name)
    rules = rail_rules(theme)
    for colour in theme.colours.values():
        rules = rules.replace(colour, "").replace(colour.replace("#", "%23"), "")
    rails = [line.partition("{")[2] for line in rules.splitlines() if line.startswith(".rail.")]
    assert len(rails) == 3
    assert all(one != other for one, other in pairwise([*rails, rails[0]]))
