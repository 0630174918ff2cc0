"""How far each language is: coverage, review, reading level, and how far away it is legible."""

from __future__ import annotations

import datetime
from collections.abc import Iterable, Iterator
from dataclasses import dataclass

from compiler.layout.fonts import faces_for
from compiler.pipeline import ProtocolSet, Version, in_language
from compiler.products.poster_page import PosterPage
from compiler.products.poster_report import PosterReport, report_on
from compiler.products.sheet import Order
from compiler.products.theme import theme_named
from compiler.products.theme_choice import chosen
from compiler.rules.passages import passages
from compiler.rules.wording_measures import NORMS
from compiler.translating import Brought, brought_up_to_date
from compiler.wording.readability import counted
from compiler.wording.review import review_of
from compiler.wording.words import words


@dataclass(frozen=True, slots=True)
class Coverage:
    """The translation files that one sheet is made of, its protocol's and the clinic's."""

    texts: int
    translated: int
    marked: int
    """Translated, but somebody must look again."""
    empty: int
    files: tuple[tuple[str, str], ...]
    """Each file's name with the state of its review."""


@dataclass(frozen=True, slots=True)
class Language:
    """One language of the protocol."""

    tag: str
    name: str
    """In itself."""
    direction: str
    coverage: Coverage | None
    """Nothing for the language that it is written in."""
    reading: str
    legible: bool
    """Whether the poster is surely read from as far as the clinic asks, by estimate."""
    reach: PosterReport | None
    """How far that is, where it is worked out; nothing where it does not fit or has no font."""


def languages_of(
    protocol_set: ProtocolSet, folder: str, wanted: Iterable[str] = ()
) -> list[Language]:
    """Every language, or those wanted, the source first.

    Distances are worked out for the source, for the languages wanted, and where a poster does
    not surely meet what is asked: that takes ten times as long as to see that it does.
    """
    assert protocol_set.clinic
    [protocol] = protocol_set.protocols
    tags = [tag for tag in protocol_set.clinic.languages if not wanted or tag in set(wanted)]
    files = list(brought_up_to_date(protocol_set, folder))
    theme = chosen("", protocol_set.clinic, protocol_set.folder)
    found: list[Language] = []
    for tag in tags:
        version = in_language(protocol_set, protocol, tag)
        said = words(tag)
        mine = [file for file in files if file.language == tag]
        coverage = _coverage(mine) if tag != protocol_set.clinic.languages[0] else None
        level = reading_level(version)
        page = _page(version, theme)
        fits = any(map(page.fitter.meets_the_floor, page.papers)) if page else False
        figures = wanted or not found or not fits
        reach = _reach(page, version) if page and figures else None
        found.append(Language(tag, said.own_name, said.direction, coverage, level, fits, reach))
    return found


def _coverage(files: list[Brought]) -> Coverage:
    left, marked = sum(f.left for f in files), sum(f.marked for f in files)
    translated = sum(f.translated for f in files)
    states = tuple((f"{f.stem}.po", _state(f)) for f in files)
    return Coverage(left + translated, translated, marked, left - marked, states)


def _state(file: Brought) -> str:
    review = review_of(file.catalogue)
    if review is None:
        return "not reviewed"
    day: datetime.date | None = review.day
    who = f"{review.who}, {day.isoformat()}" if day else review.who
    return f"reviewed by {who}" if file.reviewed else f"changed since the review by {who}"


def reading_level(version: Version) -> str:
    """The score by the formula made for the language, or why there is none."""
    texts = [passage.text for passage in passages(version.protocol)]
    count = counted(texts, version.language)
    norm = NORMS.get(version.language)
    if norm is None or not count.words:
        return "no formula is known for this language"
    score = norm.score(count)
    hard = score > norm.limit if norm.grade else score < norm.limit
    kind = "grade" if norm.grade else "reading ease"
    bound = "at most" if norm.grade else "at least"
    ending = ": harder than that" if hard else ""
    return f"{kind} {score:.1f} by {norm.name}; {bound} {norm.limit:g} is wanted{ending}"


def _page(version: Version, theme: str) -> PosterPage | None:
    """The poster, measured; nothing when a font or every part is missing."""
    look, faces = theme_named(theme), faces_for(version.language)
    if faces.obstacles:
        return None
    order = Order(
        version.protocol,
        version.clinic,
        version.kit,
        words(version.language),
        code="0000 0000",
        link=version.clinic.name,
        reviewed=version.reviewed,
        theme=theme,
    )
    page = PosterPage(order, look, faces)
    return page if page.fitter.page.columns else None


def _reach(page: PosterPage, version: Version) -> PosterReport | None:
    """What the fitter estimates, without laying the poster out."""
    plan = page.fitter.best(page.papers)
    return report_on(plan, page.scale, page.letter, version.clinic.reading, 0) if plan else None


def short_of(language: Language) -> Iterator[str]:
    """Which of its texts are estimated to be read from no further than less than was asked."""
    if language.reach:
        for name, reach in (
            ("leads", language.reach.leads),
            ("details", language.reach.details),
        ):
            # to the centimetre, as it is shown: the fitter stops just at what is asked
            if round(reach.far, 2) < reach.asked:
                yield name
