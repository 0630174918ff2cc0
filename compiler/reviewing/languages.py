"""How far each language is: coverage, review, reading level, and how far away it is read."""

from __future__ import annotations

import datetime
import os
from collections.abc import Callable, Iterable
from contextlib import suppress
from dataclasses import dataclass
from functools import partial

from compiler.pipeline import ProtocolSet, Version, in_language
from compiler.products.theme_choice import chosen
from compiler.reviewing.legibility import Far, distances
from compiler.rules.passages import passages
from compiler.rules.wording_measures import NORMS
from compiler.translating import Brought, brought_up_to_date
from compiler.wording.readability import counted
from compiler.wording.review import review_of
from compiler.wording.words import words
from compiler.workers import EndedOutsideError, can_copy, spread

FEW = 4
"""Languages that this process measures as fast as others could be started to help."""


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


Distances = tuple[Far | None, ...]


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
    sheets: Distances
    """How far away each sheet is read, in the order of `measured_kinds`."""


def languages_of(
    protocol_set: ProtocolSet, folder: str, wanted: Iterable[str] = ()
) -> list[Language]:
    """Every language, or those wanted, the source first.

    A poster's distances are worked out for the source, for the languages wanted, and where it
    does not surely meet what is asked: that takes ten times as long as to see that it does.
    """
    assert protocol_set.clinic
    [protocol] = protocol_set.protocols
    tags = [tag for tag in protocol_set.clinic.languages if not wanted or tag in set(wanted)]
    files = list(brought_up_to_date(protocol_set, folder))
    theme = chosen("", protocol_set.clinic, protocol_set.folder)
    first = protocol_set.clinic.languages[0]
    versions = [in_language(protocol_set, protocol, tag) for tag in tags]
    measured = _measured(versions, partial(_distances, theme, first, bool(wanted)))
    found: list[Language] = []
    for tag, version, sheets in zip(tags, versions, measured, strict=True):
        said = words(tag)
        mine = [file for file in files if file.language == tag]
        coverage = _coverage(mine) if tag != first else None
        level = reading_level(version)
        found.append(Language(tag, said.own_name, said.direction, coverage, level, sheets))
    return found


def _measured(
    versions: list[Version], measure: Callable[[Version], Distances]
) -> list[Distances]:
    """The distances in each language; many languages are measured on all cores."""
    workers = min(os.cpu_count() or 1, len(versions) // FEW)
    if workers > 1 and can_copy():
        with suppress(EndedOutsideError):
            return spread(measure, versions, workers)
    return list(map(measure, versions))


def _distances(theme: str, written_in: str, figures: bool, version: Version) -> Distances:
    return distances(version, theme, written_in, figures or version.language == written_in)


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
