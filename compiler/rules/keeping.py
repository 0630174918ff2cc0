"""Whether the paper is kept up: who owns it, which edition it is, when it is reviewed.

These rules look at the head alone, as of a day that is given to them; one looks at whether the
text that was signed off is the text that is there.
"""

from __future__ import annotations

import datetime
from collections.abc import Iterator

from compiler.findings import Finding, Level, Mark, Rule
from compiler.model.protocol import Protocol
from compiler.source import Source, Span

# None can be waived: each goes away by writing down what is asked for.
REVIEW_OVERDUE = Rule(
    "review-overdue",
    Level.SHOULD,
    "The protocol is past its review date.",
    waivable=False,
)
VALID_LATER = Rule(
    "valid-only-later",
    Level.MAY,
    "The protocol is valid only from a later day.",
    waivable=False,
)
OWNER_MISSING = Rule(
    "owner-missing",
    Level.SHOULD,
    "The head does not say who answers for the text.",
    waivable=False,
)
EDITION_MISSING = Rule(
    "edition-missing",
    Level.SHOULD,
    "The head does not say which edition this is.",
    waivable=False,
)
VALID_FROM_MISSING = Rule(
    "valid-from-missing",
    Level.SHOULD,
    "The head does not say from when the protocol is valid.",
    waivable=False,
)
REVIEW_DATE_MISSING = Rule(
    "review-date-missing",
    Level.SHOULD,
    "The head does not say when the protocol is due for review.",
    waivable=False,
)
REVIEW_TOO_FAR = Rule(
    "review-too-far",
    Level.MAY,
    "The review date is more than three years after the protocol becomes valid.",
    waivable=False,
)
SIGNED_OTHERWISE = Rule(
    "sign-off-for-other-text",
    Level.MAY,
    "There are sign-offs, and none of them is for the text as it is now.",
    waivable=False,
)

RULES = (
    REVIEW_OVERDUE,
    VALID_LATER,
    OWNER_MISSING,
    EDITION_MISSING,
    VALID_FROM_MISSING,
    REVIEW_DATE_MISSING,
    REVIEW_TOO_FAR,
    SIGNED_OTHERWISE,
)
YEARS = 3
"""The longest time to a review that raises no question."""


def checked(protocol: Protocol, on: datetime.date) -> Iterator[Finding]:
    """All findings about how the paper is kept, as of a day."""
    yield from _missing(protocol)
    valid, review = protocol.valid_from, protocol.review_by
    if valid and valid > on:
        yield Finding(
            VALID_LATER,
            f"The protocol is valid from {valid}, {_days((valid - on).days)} after {on}.",
            Mark(_line(protocol, "valid from"), "not yet"),
            remedy="do not hang it up before that day; until then the old edition holds",
        )
    if review and review < on:
        yield Finding(
            REVIEW_OVERDUE,
            f"The review was due by {review}, {_days((on - review).days)} before {on}.",
            Mark(_line(protocol, "review by"), "overdue"),
            remedy="review the text, then give it a new edition and a new date",
        )
    if review and review > _years_after(valid or on, YEARS):
        since = "it becomes valid" if valid else f"{on}"
        yield Finding(
            REVIEW_TOO_FAR,
            f"The review is due by {review}, more than {YEARS} years after {since}.",
            Mark(_line(protocol, "review by"), "far off"),
            remedy="set an earlier date; a review may find that nothing has to change",
        )


def signed_otherwise(source: Source) -> Finding:
    """The finding that nobody has signed the text as it is now, at the newest sign-off.

    Args:
        source: The file of sign-offs.
    """
    lines = source.text.rstrip().split("\n")
    start = source.line_starts[len(lines) - 1]
    return Finding(
        SIGNED_OTHERWISE,
        "No sign-off is for the text as it is now: something was changed since.",
        Mark(source.span(start, start + len(lines[-1])), "the newest sign-off"),
        remedy="have the text reviewed and signed again before it is published",
    )


def _missing(protocol: Protocol) -> Iterator[Finding]:
    """What a sheet's foot would leave out; a date that could not be read is told elsewhere."""
    valid = protocol.valid_from or _line(protocol, "valid from") != protocol.at
    dated = protocol.review_by or _line(protocol, "review by") != protocol.at
    for there, rule, what, remedy in (
        (protocol.owner, OWNER_MISSING, "no owner", "owner: ROLE, not a person's name"),
        (protocol.edition, EDITION_MISSING, "no edition", "edition: 1, and count up"),
        (valid, VALID_FROM_MISSING, "no first day", "valid from: YEAR-MONTH-DAY"),
        (dated, REVIEW_DATE_MISSING, "no review date", "review by: YEAR-MONTH-DAY"),
    ):
        if not there:
            yield Finding(
                rule,
                f"The head names {what}.",
                Mark(protocol.at, "the head"),
                remedy=f"add to the head: {remedy}",
            )


def _line(protocol: Protocol, key: str) -> Span:
    """The line of the head that holds a key, or the title when it is written in another way."""
    source = protocol.source
    end = protocol.parts[0].at.start if protocol.parts else len(source.text)
    start = source.text.find(f"\n{key}:", 0, end) + 1
    if not start:
        return protocol.at
    stop = source.text.find("\n", start)
    return source.span(start, stop if stop >= 0 else len(source.text))


def _years_after(day: datetime.date, years: int) -> datetime.date:
    """The same day in a later year; 29 February becomes 1 March."""
    if day.year + years > datetime.MAXYEAR:
        return datetime.date.max
    try:
        return day.replace(year=day.year + years)
    except ValueError:
        return datetime.date(day.year + years, 3, 1)


def _days(count: int) -> str:
    return "1 day" if count == 1 else f"{count} days"
