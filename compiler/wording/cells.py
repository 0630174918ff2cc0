"""How many columns of a terminal or of plain text in even type a text takes."""

from __future__ import annotations

from unicodedata import category, east_asian_width


def cells(text: str) -> int:
    """The columns of a text; wide scripts take two a sign.

    >>> cells("gown"), cells("隔离衣"), cells("क्षे")
    (4, 6, 2)
    """
    if text.isascii():
        return len(text)
    return sum(_cells_of(sign) for sign in text)


def _cells_of(sign: str) -> int:
    """By Unicode Standard Annex 11: wide signs two, marks and format signs none."""
    if category(sign) in {"Mn", "Me", "Cf"}:
        return 0
    return 2 if east_asian_width(sign) in {"W", "F"} else 1
