"""What a poster achieved: its sizes, how far away they can be read, and what would help."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from compiler.findings import Finding, Mark
from compiler.layout.legibility import AIM, FLOOR, angle, reading_distance
from compiler.layout.paper import Paper, larger, paper_named
from compiler.products.path import Row, Split, every_stop
from compiler.products.poster_fit import Fitter, Limits, Plan
from compiler.products.poster_parts import PartPiece
from compiler.products.sheet import Order
from compiler.products.sheet_rules import SHEET_OVERFULL, TEXT_TOO_SMALL
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
    plan: Plan, limits: Limits, scale: Scale, letter: float, order: Order, layouts: int
) -> PosterReport:
    """The report of a finished layout."""
    del limits
    reading = order.clinic.reading
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


def too_small(fitter: Fitter, plan: Plan, order: Order) -> Iterator[Finding]:
    """A finding if the type is below the floor, with the paper or the words that would help."""
    share = plan.base / fitter.limits.floor
    if share >= 1:
        return
    reading = order.clinic.reading
    yield Finding(
        TEXT_TOO_SMALL,
        f"On {plan.paper.name} the {order.words.tag} poster's leads can be read from "
        f"{reading.leads * share:.2f} m and its details from {reading.details * share:.2f} m, "
        f"not from {reading.leads:g} m and {reading.details:g} m.",
        Mark(order.protocol.at, "this poster"),
    )


def overfull(fitter: Fitter, papers: Sequence[Paper], order: Order) -> Finding:
    """The finding for a poster that cannot be printed."""
    return Finding(
        SHEET_OVERFULL,
        f"The {order.words.tag} poster cannot be read even in the hand on {papers[0].name}.",
        Mark(order.protocol.at, "this poster"),
    )
