"""Paper sizes by name, in exact millimetres, and which one is the next larger."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class Paper:
    """A sheet, standing upright or lying on its side."""

    name: str
    width: float
    """Millimetres."""
    height: float

    @property
    def portrait(self) -> Paper:
        """The same sheet upright."""
        return self if self.height >= self.width else self._turned

    @property
    def landscape(self) -> Paper:
        """The same sheet on its side."""
        return self if self.width > self.height else self._turned

    @property
    def upright(self) -> bool:
        """Whether it stands upright."""
        return self.height >= self.width

    @property
    def _turned(self) -> Paper:
        return Paper(self.name, self.height, self.width)


# Each family from small to large; a larger one is what a remedy may name.
ISO_A = (
    # ISO 216:2007, Writing paper and certain classes of printed matter: A series, trimmed.
    Paper("A4", 210, 297),
    Paper("A3", 297, 420),
    Paper("A2", 420, 594),
    Paper("A1", 594, 841),
)
NORTH_AMERICAN = (
    # ANSI/ASME Y14.1, Drawing sheet size and format: sizes A (Letter), B (Tabloid), C and D,
    # in inches there.
    Paper("Letter", 215.9, 279.4),
    Paper("Tabloid", 279.4, 431.8),
    Paper("ANSI C", 431.8, 558.8),
    Paper("ANSI D", 558.8, 863.6),
)
FAMILIES = (ISO_A, NORTH_AMERICAN)
PAPERS = {paper.name: paper for family in FAMILIES for paper in family}
"""All papers a poster may be printed on, by name."""
CARDS = {
    card.name: card
    for card in (
        # ISO/IEC 7810:2019, Identification cards, physical characteristics: ID-1, upright here.
        Paper("ID-1", 53.98, 85.60),
        # ISO 216:2007, A series.
        Paper("A7", 74, 105),
        Paper("A6", 105, 148),
    )
}
"""Panels of a pocket card, from small to large, by name."""


def paper_named(name: str) -> Paper | None:
    """The paper of that name, upright; case, spaces and hyphens do not matter.

    >>> paper_named("ansi-c").width
    431.8
    """
    wanted = _plain(name)
    return next((paper for paper in PAPERS.values() if _plain(paper.name) == wanted), None)


def larger(paper: Paper) -> tuple[Paper, ...]:
    """The papers above it in its family, the next first, all upright.

    >>> [each.name for each in larger(PAPERS["A3"])]
    ['A2', 'A1']
    """
    for family in FAMILIES:
        names = [each.name for each in family]
        if paper.name in names:
            return family[names.index(paper.name) + 1 :]
    return ()


def desk_paper(paper: Paper) -> Paper:
    """The paper of an office printer in the same family, for all that is no poster.

    >>> desk_paper(PAPERS["A1"]).name, desk_paper(PAPERS["ANSI D"]).name
    ('A4', 'Letter')
    """
    return next(family[0] for family in FAMILIES if paper.name in {p.name for p in family})


def _plain(name: str) -> str:
    return name.casefold().replace(" ", "").replace("-", "")
