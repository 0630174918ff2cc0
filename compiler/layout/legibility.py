"""How tall letters must be to be read from a distance.

The height is that of a capital, as in ISO 9241-303; scripts without capitals use the height of
their typical letters (see `compiler.layout.letters`). Where sources differ, both ends are kept:
16 minutes of arc is the floor, 22 the aim (ISO 9241-303:2011, Ergonomics of human-system
interaction, part 303: minimum 16, preferred 20 to 22; NUREG-0700 revision 3, U.S. Nuclear
Regulatory Commission, 2020, Human-system interface design review guidelines: the same, and
never more than 45 for words that are read as groups).
"""

from __future__ import annotations

from math import atan, degrees, radians, tan

FLOOR = 16
"""Minutes of arc below which text counts as too small."""
AIM = 22
"""Minutes of arc at which text is easy to read."""
MOST = 45
"""Minutes of arc above which words stop being read at a glance."""

LEAST_POINTS = 10.5
"""The smallest type for text read in the hand; common practice, no source."""
LEAST_DISTANCE = 0.4
"""Metres: older eyes read a list in the hand from no nearer; common practice, no source."""
POINT = 25.4 / 72
"""Millimetres."""


def required_height(distance: float, minutes: float = FLOOR) -> float:
    """Millimetres a letter needs to span `minutes` of arc at `distance` metres: 2·d·tan(θ/2).

    >>> round(required_height(0.35), 2), round(required_height(1.0, AIM), 2)
    (1.63, 6.4)
    """
    return 2000 * distance * tan(radians(minutes / 60) / 2)


def reading_distance(height: float, minutes: float = FLOOR) -> float:
    """Metres at which a letter of `height` millimetres still spans `minutes` of arc."""
    return height / required_height(1.0, minutes)


def angle(height: float, distance: float) -> float:
    """Minutes of arc that a letter of `height` millimetres spans at `distance` metres.

    >>> round(angle(required_height(1.0, 20), 1.0), 6)
    20.0
    """
    return 2 * degrees(atan(height / (2000 * distance))) * 60


def type_size(distance: float, letter: float) -> float:
    """Millimetres of type for sheets in the hand, read from `distance` metres.

    `letter` is the height of a letter as a share of the size. Never below the usual in print.
    """
    height = required_height(max(distance, LEAST_DISTANCE), AIM)
    return max(height / letter, LEAST_POINTS * POINT)
