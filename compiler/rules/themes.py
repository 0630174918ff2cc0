"""What can be wrong with a theme: the rows; the readers of themes in `products/` raise them."""

from __future__ import annotations

from compiler.findings import Level, Rule

THEME_MISTAKE = Rule(
    "theme-mistake",
    Level.MUST,
    "A theme says something that means nothing, or that no sheet can be made with.",
    waivable=False,
)
CONTRAST_TOO_LOW = Rule(
    "contrast-too-low",
    Level.SHOULD,
    "Two colours of a theme that stand on one another are too much alike to be read.",
    ("wcag-2-2",),
    waivable=False,
)
RULES = (THEME_MISTAKE, CONTRAST_TOO_LOW)
