"""Heights of letters and reading distances, against published figures."""

from math import pi

import pytest
from hypothesis import given
from hypothesis import strategies as some

from compiler.layout.legibility import (
    AIM,
    FLOOR,
    MOST,
    angle,
    reading_distance,
    required_height,
)


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
