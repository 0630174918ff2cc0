"""Heights of letters and contrasts, against published figures."""

from itertools import pairwise
from math import pi

import pytest
from hypothesis import given
from hypothesis import strategies as some

from compiler.layout.legibility import (
    AIM,
    FLOOR,
    LEAST_CONTRAST,
    LEAST_GRAPHIC_CONTRAST,
    MOST,
    angle,
    contrast,
    reading_distance,
    required_height,
)
from compiler.products.html import rail_rules
from compiler.products.theme import theme_named, theme_names


@pytest.mark.parametrize(
    ("metres", "floor", "aim"),
    [
        # Worked by hand from h = 2·d·tan(θ/2), the definition of visual angle (ISO 9241-303:2011,
        # from memory): tan(8′) = 0.00232711, tan(11′) = 0.00319978.
        (0.35, 1.63, 2.24),
        (0.6, 2.79, 3.84),
        (1.0, 4.65, 6.40),
        (2.0, 9.31, 12.80),
    ],
)
def test_required_heights(metres, floor, aim):
    assert required_height(metres, FLOOR) == pytest.approx(floor, abs=0.005)
    assert required_height(metres, AIM) == pytest.approx(aim, abs=0.005)


@given(some.floats(0.2, 10), some.floats(5, MOST))
def test_the_formula_agrees_with_the_nuclear_regulators(metres, minutes):
    """NUREG-0700 rev. 3 (U.S. NRC, 2020), section 1.3.1: height = 6.283·D·MA/21600."""
    assert required_height(metres, minutes) == pytest.approx(
        2 * pi * metres * 1000 * minutes / 21600, rel=2e-5
    )


@pytest.mark.parametrize(
    ("millimetres", "height"), [(500, 3.2), (600, 3.9), (700, 4.5), (800, 5.2)]
)
def test_the_aim_is_the_recommended_minimum_at_workplaces(millimetres, height):
    """ASR A6 Bildschirmarbeit (Ausschuss für Arbeitsstätten, 2024): smallest recommended heights.

    The table rounds distance/155, so a tenth of a millimetre either way.
    """
    assert required_height(millimetres / 1000, AIM) == pytest.approx(height, abs=0.1)


@given(some.floats(0.5, 100), some.floats(5, MOST))
def test_distance_angle_and_height_are_one_relation(height, minutes):
    distance = reading_distance(height, minutes)
    assert required_height(distance, minutes) == pytest.approx(height)
    assert angle(height, distance) == pytest.approx(minutes)


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


def _painted():
    """Every pair of colours that a theme sets text or meaning in, by what it is."""
    for name in theme_names():
        of = theme_named(name).colours
        yield f"{name}: text", of["ink"], of["paper"], LEAST_CONTRAST
        yield f"{name}: text over the word DRAFT", of["ink"], of["draft"], LEAST_CONTRAST
        yield f"{name}: answers of a fork", of["ink"], of["shade"], LEAST_CONTRAST
        yield f"{name}: small print", of["quiet"], of["paper"], LEAST_CONTRAST
        yield f"{name}: small print over DRAFT", of["quiet"], of["draft"], LEAST_CONTRAST
        yield f"{name}: bands of hand hygiene", of["paper"], of["ink"], LEAST_CONTRAST
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


def test_draft_is_seen_but_faint():
    """A watermark between visible and disturbing; common practice, no source."""
    of = theme_named().colours
    assert 1.08 < contrast(of["draft"], of["paper"]) < 1.25


def test_areas_are_told_apart_without_colour():
    """WCAG 2.2, 1.4.1: colour is never the only sign. Each rail has a pattern of its own."""
    theme = theme_named()
    rules = rail_rules(theme)
    for colour in theme.colours.values():
        rules = rules.replace(colour, "").replace(colour.replace("#", "%23"), "")
    rails = [line.partition("{")[2] for line in rules.splitlines() if line.startswith(".rail.")]
    assert len(rails) == 3
    assert all(one != other for one, other in pairwise([*rails, rails[0]]))
