"""Texts that mix directions of writing so that people, or programs, read them in two orders.

Classes of signs are those of the Unicode bidirectional algorithm (Unicode Standard Annex 9).
"""

from __future__ import annotations

import re
import unicodedata
from dataclasses import dataclass

RANGE = re.compile(r"\d\s?[-–—]\s?\d")
OPENERS, CLOSERS = "\u2066\u2067\u2068\u202a\u202b\u202d\u202e", "\u2069\u202c"


@dataclass(frozen=True, slots=True)
class Unsure:
    """Why a text can be read in two orders."""

    what: str
    """Goes on after "The translation of …"."""
    remedy: str


def two_orders(text: str) -> Unsure | None:
    """What can be read in two orders, and what to do; nothing if there is no such thing.

    Letters from left to right in a text from right to left are isolated by the sheets.

    >>> two_orders("من 20 إلى 30") is None, two_orders("20–30 ثانية") is None
    (True, False)
    """
    if text.isascii():
        return None
    if not _balanced(text):
        return Unsure(
            "opens or closes a mark of direction without its partner",
            "take out the invisible marks U+202A to U+202E and U+2066 to U+2069",
        )
    classes = [unicodedata.bidirectional(sign) for sign in text]
    leftward = sum(kind in ("R", "AL") for kind in classes)
    if not leftward:
        return None
    if leftward > classes.count("L"):
        if RANGE.search(text):
            return Unsure(
                "has numbers with a dash between them, which some read from the other end",
                "write the word for “to” between the two numbers",
            )
        return None
    if _outside_marks(text, classes):
        return Unsure(
            "has letters that run from right to left",
            "put U+2067 before them and U+2069 after them",
        )
    return None


def _balanced(text: str) -> bool:
    """Whether every mark that opens a direction is closed, in order."""
    open_marks: list[str] = []
    for sign in text:
        if sign in OPENERS:
            open_marks.append("\u2069" if sign in OPENERS[:3] else "\u202c")
        elif sign in CLOSERS and (not open_marks or open_marks.pop() != sign):
            return False
    return not open_marks


def _outside_marks(text: str, classes: list[str]) -> bool:
    """Whether a right-to-left letter stands between no marks that isolate it."""
    depth = 0
    for sign, kind in zip(text, classes, strict=True):
        depth += (sign in OPENERS) - (sign in CLOSERS)
        if kind in ("R", "AL") and not depth:
            return True
    return False
