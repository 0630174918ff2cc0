"""How tall letters must be to be read from a distance, and how far print must stand out.

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
LEAST_CONTRAST = 4.5
"""For text: WCAG 2.2, success criterion 1.4.3, level AA (W3C, 2023)."""
LEAST_GRAPHIC_CONTRAST = 3.0
"""For parts of pictures that carry meaning: WCAG 2.2, success criterion 1.4.11."""


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


def luminance(colour: str) -> float:
    """Relative luminance of `#rrggbb`, as WCAG 2.2 defines it (0 is black, 1 is white)."""
    channels = (int(colour[i : i + 2], 16) / 255 for i in (1, 3, 5))
    red, green, blue = (
        # WCAG prints 0.03928, sRGB 0.04045: no 8-bit value falls between them.
        c / 12.92 if c <= 0.03928 else ((c + 0.055) / 1.055) ** 2.4
        for c in channels
    )
    return 0.2126 * red + 0.7152 * green + 0.0722 * blue


def contrast(one: str, other: str) -> float:
    """Contrast ratio of two colours, from 1 to 21: (L1 + 0.05) / (L2 + 0.05).

    >>> contrast("#000000", "#ffffff"), round(contrast("#ffffff", "#767676"), 2)
    (21.0, 4.54)
    """
    dark, light = sorted((luminance(one), luminance(other)))
    return (light + 0.05) / (dark + 0.05)
