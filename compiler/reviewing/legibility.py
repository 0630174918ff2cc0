"""How far away each sheet is read, by calculation: nothing is laid out.

A step list, a tick sheet and what else lies on the desk has one size of type, so that its
figure is exact. Cards and tags are set as large as their words leave room for, between two
sizes. A poster's figure is what the fitter estimates before it is laid out.
"""

from __future__ import annotations

from dataclasses import dataclass

from compiler.layout.fonts import Faces, faces_for
from compiler.layout.legibility import (
    AIM,
    FLOOR,
    reading_distance,
    required_height,
    type_size,
)
from compiler.layout.letters import letter_height
from compiler.model.clinic import Clinic
from compiler.model.protocol import Protocol, kept_items
from compiler.model.sheet_kinds import SHEET_KINDS, USUAL
from compiler.pipeline import Version
from compiler.products.poster_page import PosterPage
from compiler.products.sheet import Order
from compiler.products.theme import Theme, theme_named
from compiler.wording.words import words

MEASURED = {
    "poster": ("leads", "details"),
    "card": ("leads",),
    "steps": ("details",),
    "observer": ("steps",),
    "tags": ("words",),
    "review": ("texts",),
    "words": ("texts",),
    "pictograms": ("meanings",),
}
"""What is measured on each kind of sheet; a web page is as large as its reader sets it."""


@dataclass(frozen=True, slots=True)
class Far:
    """How far away one kind of words on one kind of sheet is read."""

    least: float = 0.0
    """Metres at which its letters span 16 minutes of arc; 0 where it cannot be made."""
    most: float = 0.0
    """The same where there is room; 0 where only the least is known."""
    asked: float = 0.0
    paper: str = ""

    @property
    def short(self) -> bool:
        """Whether it is read from no further than less than was asked."""
        # to the centimetre, as it is shown: the fitter stops just at what is asked
        return 0 < round(self.least, 2) < self.asked

    @property
    def told(self) -> str:
        """For a cell of the table."""
        if not self.least:
            return "cannot be made: see wallward compile"
        if not self.most:
            return f"{self.least:.2f} m or more"
        if self.most - self.least < 0.005:
            return f"{self.least:.2f} m"
        return f"{self.least:.2f} to {self.most:.2f} m"


def measured_kinds(clinic: Clinic, protocol: Protocol) -> list[tuple[str, str, float]]:
    """Each kind of sheet that the clinic has of a protocol, its words, and metres asked."""
    named = clinic.products or USUAL
    return [
        (kind.name, said, _asked(clinic, kind.name, said))
        for kind in SHEET_KINDS.values()
        if kind.name in named and (not kind.kept or kept_items(protocol))
        for said in MEASURED.get(kind.name, ())
    ]


def _asked(clinic: Clinic, kind: str, said: str) -> float:
    reading = clinic.reading
    if kind != "poster":
        return reading.card
    return reading.leads if said == "leads" else reading.details


def distances(
    version: Version, theme: str, written_in: str, figures: bool
) -> tuple[Far | None, ...]:
    """The distances of one language, in the order of `measured_kinds`.

    None where there is no such sheet: nothing is translated into the source language.

    Args:
        version: The protocol in the language.
        theme: The look.
        written_in: The language of the source text.
        figures: Whether a poster's are worked out even if it surely meets what is asked.
    """
    kinds = measured_kinds(version.clinic, version.protocol)
    foreign = version.language != written_in
    wanted = [kind for kind in kinds if foreign or not SHEET_KINDS[kind[0]].foreign]
    faces = faces_for(version.language)
    if faces.obstacles:
        found = {kind: Far(asked=kind[2]) for kind in wanted}
    else:
        measuring = _Measuring(version, theme_named(theme), theme, faces)
        found = {kind: measuring.far(*kind) for kind in wanted if kind[0] != "poster"}
        if any(kind[0] == "poster" for kind in wanted):
            leads, details = measuring.poster(figures)
            both = {"leads": leads, "details": details}
            found |= {kind: both[kind[1]] for kind in wanted if kind[0] == "poster"}
    return tuple(found.get(kind) for kind in kinds)


@dataclass(frozen=True, slots=True)
class _Measuring:
    """One language with its look and letters."""

    version: Version
    look: Theme
    theme: str
    faces: Faces

    def far(self, kind: str, _: str, asked: float) -> Far:
        """Of any sheet but a poster."""
        if kind in ("card", "tags"):
            grown = self.look.number(f"{kind}/most") * required_height(asked, AIM)
            return Far(asked, max(asked, reading_distance(grown)), asked)
        beside = self._beside(kind)
        letter = letter_height(faces_for(*beside) if len(beside) > 1 else self.faces)
        exact = reading_distance(type_size(asked, letter) * letter, FLOOR)
        return Far(exact, exact, asked)

    def _beside(self, kind: str) -> tuple[str, ...]:
        """The languages whose letters stand on a sheet."""
        own, first = self.version.language, self.version.clinic.languages[0]
        return (own, first) if SHEET_KINDS[kind].foreign else (own,)

    def poster(self, figures: bool) -> tuple[Far, Far]:
        """Leads and details, as the fitter estimates them."""
        reading = self.version.clinic.reading
        page = self._page()
        if not page.fitter.page.columns:
            return Far(asked=reading.leads), Far(asked=reading.details)
        if not figures and any(map(page.fitter.meets_the_floor, page.papers)):
            return Far(reading.leads, 0, reading.leads), Far(
                reading.details, 0, reading.details
            )
        plan = page.fitter.best(page.papers)
        if plan is None:
            return Far(asked=reading.leads), Far(asked=reading.details)
        paper = f"{plan.paper.name} {'portrait' if plan.paper.upright else 'landscape'}"
        return (
            _exact(plan.base * page.scale.lead * page.letter, reading.leads, paper),
            _exact(plan.base * page.letter, reading.details, paper),
        )

    def _page(self) -> PosterPage:
        version = self.version
        order = Order(
            version.protocol,
            version.clinic,
            version.kit,
            words(version.language),
            code="0000 0000",
            link=version.clinic.name,
            reviewed=version.reviewed,
            theme=self.theme,
        )
        return PosterPage(order, self.look, self.faces)


def _exact(height: float, asked: float, paper: str) -> Far:
    far = reading_distance(height)
    return Far(far, far, asked, paper)
