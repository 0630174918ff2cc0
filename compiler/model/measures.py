"""Times, lengths, counts and dates as an author writes them, with their units."""

from __future__ import annotations

import datetime
import re

_SECONDS = {"s": 1, "min": 60, "h": 3_600, "day": 86_400, "days": 86_400}
_NUMBER = r"([0-9]{1,6}(?:\.[0-9]{1,3})?)"
_DURATION = re.compile(_NUMBER + r"\s*(s|min|h|days?)")
_RANGE = re.compile(r"([0-9]{1,4})(?:\s*(?:to|-|–)\s*([0-9]{1,4}))?\s*(s|min)")
_LENGTH = re.compile(_NUMBER + r"\s*(m|cm)")
_MILLIMETRES = re.compile(_NUMBER + r"\s*(mm|cm)")
_WEARINGS = re.compile(r"([0-9]{1,4})\s*wearings?")
_DATE = re.compile(r"(?<![0-9])([0-9]{4})-([0-9]{2})-([0-9]{2})(?![0-9])")


def seconds(text: str) -> int | None:
    """A duration in seconds, or None when it is none.

    >>> seconds("2 min"), seconds("5 days"), seconds("2"), seconds("two minutes")
    (120, 432000, None, None)
    """
    match = _DURATION.fullmatch(text.casefold())
    return round(float(match[1]) * _SECONDS[match[2]]) if match else None


def span_of_seconds(text: str) -> tuple[int, int] | None:
    """A range such as "20 to 30 s", or a single time, in seconds.

    >>> span_of_seconds("20 to 30 s"), span_of_seconds("1 min"), span_of_seconds("30 to 20 s")
    ((20, 30), (60, 60), None)
    """
    match = _RANGE.fullmatch(text.casefold())
    if match is None:
        return None
    unit = _SECONDS[match[3]]
    low, high = int(match[1]) * unit, int(match[2] or match[1]) * unit
    return (low, high) if 0 < low <= high else None


def metres(text: str) -> float | None:
    """A reading distance in metres.

    >>> metres("1.0 m"), metres("35 cm"), metres("1"), metres("0 m")
    (1.0, 0.35, None, None)
    """
    match = _LENGTH.fullmatch(text.casefold())
    if match is None:
        return None
    length = float(match[1]) / (100 if match[2] == "cm" else 1)
    return length if 0 < length <= 20 else None


def millimetres(text: str) -> float | None:
    """A length on paper in millimetres.

    >>> millimetres("63.5 mm"), millimetres("2 cm"), millimetres("0 mm"), millimetres("2")
    (63.5, 20.0, 0.0, None)
    """
    match = _MILLIMETRES.fullmatch(text.casefold())
    return float(match[1]) * (10 if match[2] == "cm" else 1) if match else None


def wearings(text: str) -> int | None:
    """How often something may be worn.

    >>> wearings("5 wearings"), wearings("5"), wearings("0 wearings")
    (5, None, None)
    """
    match = _WEARINGS.fullmatch(text.casefold())
    return int(match[1]) or None if match else None


def date(text: str) -> datetime.date | None:
    """A date in ISO 8601 form, and one that the calendar has.

    >>> date("2026-11-01"), date("2026-02-30"), date("1/11/2026")
    (datetime.date(2026, 11, 1), None, None)
    """
    match = _DATE.fullmatch(text)
    return _calendar(match) if match else None


def date_within(text: str) -> datetime.date | None:
    """The first date of the calendar anywhere in a text, or None."""
    dates = (_calendar(match) for match in _DATE.finditer(text))
    return next((found for found in dates if found), None)


def _calendar(match: re.Match[str]) -> datetime.date | None:
    try:
        return datetime.date(int(match[1]), int(match[2]), int(match[3]))
    except ValueError:
        return None
