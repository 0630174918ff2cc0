"""What every printed sheet carries: whose it is, which edition, what it asks of the reader."""

from __future__ import annotations

import datetime
from dataclasses import dataclass

from compiler.model.clinic import Clinic
from compiler.model.kit import Kit
from compiler.model.protocol import Protocol
from compiler.source import Source
from compiler.wording.words import Words

CAUTION = (
    "Follow your facility's policy. Training, fit testing and a trained observer come first."
)
"""On every sheet, in its language."""
SPOKEN = (
    "standard",
    "contact",
    "droplet",
    "airborne",
    "Precautions: {precautions}",
    "Edition {edition}",
    "Valid from {date}",
    "Review by {date}",
    "Check code {code}",
    "DRAFT",
    "Draft: not approved for use",
    "Translation not yet reviewed",
    "Page size",
    CAUTION,
)
"""Fixed words that this file asks the catalogue for, apart from those of single products."""


@dataclass(frozen=True, slots=True)
class Order:
    """One sheet to be made: a protocol in one language, and what is to be printed of it."""

    protocol: Protocol
    """Already in the sheet's language, supposed answers already resolved."""
    clinic: Clinic
    """Already in the sheet's language."""
    kit: Kit
    words: Words
    """Fixed words, digits and dates of that language."""
    code: str
    """The check code of the content."""
    link: str
    """What the QR code holds."""
    draft: bool = True
    """Not published: the sheet says so."""
    reviewed: bool = True
    """Whether a person has reviewed the translation."""
    paper: str = ""
    """Empty for the clinic's own."""
    orientation: str = ""
    """`portrait`, `landscape`, or empty for the better."""
    parts: str = "both"
    """`donning`, `doffing` or `both`."""
    theme: str = "default"
    card: str = ""
    """The size of a card's panels; empty for the clinic's own."""
    flip: str = "long"
    """About which edge the printer turns the sheet: `long` or `short`."""
    written_in: tuple[Source, ...] = ()
    """The files that its words come from; findings about letters point there."""


@dataclass(frozen=True, slots=True)
class Imprint:
    """The words of a sheet's heading and footer, ready to print."""

    language: str
    direction: str
    own_name: str
    """The language's name in itself."""
    title: str
    about: str
    """Precautions and hazard."""
    clinic: str
    contact: str
    caution: str
    edition: str
    valid_from: str
    review_by: str
    code: str
    notices: tuple[str, ...]
    """What the sheet is not: approved, reviewed."""
    draft: str
    """The word across the sheet; empty once published."""


def imprint(order: Order) -> Imprint:
    """Heading and footer of the sheet."""
    protocol, words = order.protocol, order.words
    precautions = words.all_of([words.say(name) for name in protocol.precautions])
    about = [words.say("Precautions: {precautions}", precautions=precautions)]
    if protocol.hazard:
        about.append(protocol.hazard)
    notices = []
    if order.draft:
        notices.append(words.say("Draft: not approved for use"))
    if not order.reviewed:
        notices.append(words.say("Translation not yet reviewed"))
    return Imprint(
        language=words.tag,
        direction=words.direction,
        own_name=words.own_name,
        title=protocol.title,
        about=" · ".join(about if protocol.precautions else about[1:]),
        clinic=order.clinic.name,
        contact=order.clinic.contact,
        caution=words.say(CAUTION),
        edition=words.say("Edition {edition}", edition=protocol.edition),
        valid_from=_dated(words, "Valid from {date}", protocol.valid_from),
        review_by=_dated(words, "Review by {date}", protocol.review_by),
        code=words.say("Check code {code}", code=order.code),
        notices=tuple(notices),
        draft=words.say("DRAFT") if order.draft else "",
    )


def _dated(words: Words, english: str, day: datetime.date | None) -> str:
    """The day as ISO 8601, which nobody misreads, and in the language's own form."""
    if day is None:
        return ""
    return words.say(english, date=f"{day.isoformat()} ({words.date(day)})")
