"""Which colours of a theme stand on one another, and which are too much alike for that."""

from __future__ import annotations

from collections.abc import Iterator, Mapping

from compiler.findings import Finding, Mark
from compiler.layout.contrast import LEAST_CONTRAST, LEAST_GRAPHIC_CONTRAST, contrast
from compiler.rules.themes import CONTRAST_TOO_LOW
from compiler.source import Span
from compiler.syntax.spelling import quoted

ZONES = ("clean", "transition", "contaminated")
READ = (
    *((ink, ground) for ink in ("ink", "quiet", *ZONES) for ground in ("paper", "draft")),
    *((ink, "shade") for ink in ("ink", "quiet")),
    ("on band", "band"),
)
"""Colours of text, and what it stands on."""
SEEN = (
    ("pictograms/line", "pictograms/ground"),
    ("pictograms/line", "pictograms/garment"),
    ("colours/band edge", "colours/paper"),
    ("colours/band edge", "colours/draft"),
)
"""Keys of lines that carry meaning, and of what they stand on."""
PAIRS: tuple[tuple[str, str, float], ...] = (
    *((f"colours/{ink}", f"colours/{ground}", LEAST_CONTRAST) for ink, ground in READ),
    *((line, ground, LEAST_GRAPHIC_CONTRAST) for line, ground in SEEN),
    # by night the web page takes other colours; the word DRAFT does not lie behind its text
    *(
        (f"dark/{ink}", f"dark/{ground}", LEAST_CONTRAST)
        for ink, ground in READ
        if ground != "draft"
    ),
)
"""All of them, with the least ratio: WCAG 2.2, 1.4.3 for text and 1.4.11 for lines."""


def too_much_alike(
    settings: Mapping[str, str | float], places: Mapping[str, Span]
) -> Iterator[Finding]:
    """Pairs of colours that cannot be told apart well enough.

    Only those of which a theme has set one itself: `places` says where.
    """
    for ink, ground, least in PAIRS:
        first, second = places.get(ink), places.get(ground)
        at = first or second
        one, other = str(settings[ink]), str(settings[ground])
        if at is None or (ratio := contrast(one, other)) >= least:
            continue
        names = [quoted(key.replace("/", ", ")) for key in (ink, ground)]
        yield Finding(
            CONTRAST_TOO_LOW,
            # rounded down, so that 4.499 is not told as the 4.5 that is asked for
            f"{names[0]} stands out from {names[1]} by {ratio * 100 // 1 / 100:g} to 1, and "
            f"{least:g} to 1 is the least.",
            Mark(at, "here"),
            path=(Mark(second, "on this"),) if first and second else (),
            remedy="make the darker of the two darker, or the lighter one lighter",
        )
