"""What a poster achieved: its sizes, and how far away they can be read."""

from __future__ import annotations

from dataclasses import dataclass

from compiler.layout.legibility import AIM, FLOOR, angle, reading_distance
from compiler.model.clinic import ReadingDistance
from compiler.products.poster_fit import Plan
from compiler.products.typesetting import Scale

POINT = 25.4 / 72
"""Millimetres."""


@dataclass(frozen=True, slots=True)
class Reach:
    """One kind of text on one sheet."""

    points: float
    """Type size."""
    letter: float
    """Height of a capital or a typical letter, in millimetres."""
    asked: float
    """Metres from which the clinic wants it read."""
    minutes: float
    """Minutes of arc that a letter spans from there."""
    far: float
    """Metres at which it still spans 16 minutes."""
    easy: float
    """Metres at which it still spans 22."""


@dataclass(frozen=True, slots=True)
class PosterReport:
    """What the layout reached."""

    paper: str
    orientation: str
    leads: Reach
    details: Reach
    layouts: int
    """How often the engine laid it out."""


def report_on(
    plan: Plan, scale: Scale, letter: float, reading: ReadingDistance, layouts: int
) -> PosterReport:
    """The report of a finished layout."""
    return PosterReport(
        paper=plan.paper.name,
        orientation="portrait" if plan.paper.upright else "landscape",
        leads=_reach(plan.base * scale.lead, letter, reading.leads),
        details=_reach(plan.base, letter, reading.details),
        layouts=layouts,
    )


def _reach(size: float, share: float, asked: float) -> Reach:
    letter = size * share
    return Reach(
        points=size / POINT,
        letter=letter,
        asked=asked,
        minutes=angle(letter, asked),
        far=reading_distance(letter, FLOOR),
        easy=reading_distance(letter, AIM),
    )
