"""Who has reviewed a translation, when, and just which texts: a later edit voids it."""

from __future__ import annotations

import datetime
import hashlib
from dataclasses import dataclass, replace

from compiler.source import Span
from compiler.wording.catalogue import Catalogue

WHO, DAY, OF = "X-Reviewed-By", "X-Review-Date", "X-Review-Of"
FIELDS = (WHO, DAY, OF)
"""The header's fields, in the order written."""
KIND = "sha256"
SHOWN = 16
"""Hexadecimal digits of the hash that are written: against edits, not against forgers."""


@dataclass(frozen=True, slots=True)
class Review:
    """What the header of a translation file says of its review."""

    who: str
    """Name and role, as given."""
    day: datetime.date | None
    """Nothing when the header has no date, or none that the calendar has."""
    of: str
    """The hash of the texts that were reviewed, after the name of its kind."""


def digest(catalogue: Catalogue, fixed: Catalogue | None = None) -> str:
    """The hash of all that a sheet may print from a file, in any order of its entries.

    Args:
        catalogue: The file.
        fixed: The fixed words of the language, which are reviewed together with the clinic's.
    """
    hashed = hashlib.sha256()
    for part in (catalogue, fixed):
        entries = part.entries.values() if part else ()
        for texts in sorted((e.context, e.source, e.text) for e in entries if e.usable):
            hashed.update(repr(texts).encode())
        hashed.update(b"\n")
    return f"{KIND} {hashed.hexdigest()[:SHOWN]}"


def review_of(catalogue: Catalogue | None) -> Review | None:
    """The review that the header tells of, whether it holds or not."""
    who = catalogue.headers.get(WHO, "") if catalogue else ""
    if not catalogue or not who:
        return None
    try:
        day = datetime.date.fromisoformat(catalogue.headers.get(DAY, ""))
    except ValueError:
        day = None
    return Review(who, day, catalogue.headers.get(OF, ""))


def reviewed(catalogue: Catalogue | None, fixed: Catalogue | None = None) -> bool:
    """Whether somebody has put name and date to just these texts."""
    review = review_of(catalogue)
    if catalogue is None or review is None or review.day is None:
        return False
    return review.of == digest(catalogue, fixed)


def signed(
    catalogue: Catalogue, who: str, day: datetime.date, fixed: Catalogue | None = None
) -> Catalogue:
    """The file as reviewed by somebody on a day."""
    said = {WHO: who, DAY: day.isoformat(), OF: digest(catalogue, fixed)}
    return replace(catalogue, headers=catalogue.headers | said)


def review_line(catalogue: Catalogue) -> Span:
    """Where the header names the reviewer."""
    text = catalogue.source.text
    start = max(text.find(f"{WHO}:"), 0)
    end = text.find("\\n", start)
    return catalogue.source.span(start, max(end, start + 1))
