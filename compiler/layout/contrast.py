"""How far one colour stands out from another, by the formula of WCAG 2.2."""

from __future__ import annotations

LEAST_CONTRAST = 4.5
"""For text: WCAG 2.2, success criterion 1.4.3, level AA (W3C, 2023)."""
LEAST_LARGE_CONTRAST = 3.0
"""For large text, at least 18 pt or bold 14 pt: the same criterion."""
LEAST_GRAPHIC_CONTRAST = 3.0
"""For parts of pictures that carry meaning: WCAG 2.2, success criterion 1.4.11."""


def luminance(colour: str) -> float:
    """Relative luminance of `#rrggbb`, as WCAG 2.2 defines it (0 is black, 1 is white).

    >>> round(luminance("#808080"), 4)
    0.2159
    """
    channels = (int(colour[i : i + 2], 16) / 255 for i in (1, 3, 5))
    red, green, blue = (
        # WCAG 2.2 prints 0.04045, as sRGB does, and older editions 0.03928: no 8-bit value
        # falls between them.
        c / 12.92 if c <= 0.04045 else ((c + 0.055) / 1.055) ** 2.4
        for c in channels
    )
    return 0.2126 * red + 0.7152 * green + 0.0722 * blue


def contrast(first: str, second: str) -> float:
    """Contrast ratio of two colours `#rrggbb`, from 1 to 21: (L1 + 0.05) / (L2 + 0.05).

    Which of them is the text does not matter. As the standard asks, the ratio is not to be
    rounded before it is compared with what is asked for.

    >>> contrast("#000000", "#ffffff"), round(contrast("#ffffff", "#767676"), 2)
    (21.0, 4.54)
    """
    dark, light = sorted((luminance(first), luminance(second)))
    return (light + 0.05) / (dark + 0.05)


def grey_of(colour: str) -> str:
    """The grey of the same relative luminance as `#rrggbb`, by the transfer function of sRGB.

    >>> grey_of("#808080"), grey_of("#00ff00")
    ('#808080', '#dcdcdc')
    """
    light = luminance(colour)
    value = 12.92 * light if light <= 0.0031308 else 1.055 * light ** (1 / 2.4) - 0.055
    return "#" + f"{round(value * 255):02x}" * 3
