"""When two names are the same name, and what a misspelt one was probably meant to be."""

from __future__ import annotations

import unicodedata
from collections.abc import Iterable
from difflib import SequenceMatcher, get_close_matches
from functools import lru_cache

RESERVED = ("in", "on", "from", "by", "with", "and", "to")
"""Words that join the parts of a phrase, and so cannot be part of a name."""


def folded(text: str) -> str:
    r"""The text with all white space folded to single spaces.

    >>> folded("  inner \n gloves ")
    'inner gloves'
    """
    return " ".join(text.split())


@lru_cache(maxsize=1_024)
def alike(name: str) -> str:
    """What two spellings of one name have in common: case and spacing do not matter.

    >>> alike("Inner  gloves") == alike("inner GLOVES")
    True
    """
    key = " ".join(name.split()).casefold()
    return key if key.isascii() else unicodedata.normalize("NFC", key)


def nearest(name: str, known: Iterable[str], most: int = 3) -> list[str]:
    """Known names that a misspelt one may have been meant to be, the closest first.

    >>> nearest("glovs", ["gloves", "gown"])
    ['gloves']
    """
    spellings: dict[str, str] = {}
    for each in known:
        spellings.setdefault(alike(each), each)
    # A hostile name of many thousand characters would make the comparison slow.
    return [spellings[key] for key in get_close_matches(alike(name)[:80], spellings, most)]


def meant(name: str, known: Iterable[str]) -> str:
    """The one known name that a misspelt one can have been meant to be; empty if unsure.

    Word by word, each has to be nearly the same: a bin is no tub, though both stand in a bay.

    >>> meant("wast bin", ["waste bin", "gown"])
    'waste bin'
    >>> meant("after-use", ["after use", "rest"])
    'after use'
    >>> meant("bay tub", ["bay bin"])
    ''
    """
    close = nearest(name, known)
    if len(close) != 1:
        return ""
    written, likely = _words(name), _words(close[0])
    if "".join(written) == "".join(likely):
        return close[0]
    slips = (
        SequenceMatcher(None, one, other).ratio() < SLIP
        for one, other in zip(written, likely, strict=False)
    )
    return "" if len(written) != len(likely) or any(slips) else close[0]


def _words(name: str) -> list[str]:
    return alike(name).replace("-", " ").split()


SLIP = 0.7
"""How much alike two words are at the least, of 1, that can be one word misspelt."""


def advice(name: str, known: Iterable[str], noun: str) -> str:
    """A remedy for an unknown name: close matches, or else everything that is known.

    >>> advice("glovs", ["gloves", "gown"], "item")
    'did you mean "gloves"?'
    >>> advice("zzz", ["gloves", "gown"], "item")
    'use a known item: "gloves", "gown"'
    """
    names = list(known)
    if close := nearest(name, names):
        return f"did you mean {choice(close)}?"
    if not names:
        return f"no {noun} is declared; declare it first"
    if len(names) > 12:
        return f"use a known {noun}; there are {len(names)}"
    return f"use a known {noun}: " + ", ".join(map(quoted, names))


def choice(names: list[str]) -> str:
    """Names joined for reading: "a", "b" or "c"."""
    quotes = [quoted(name) for name in names]
    return quotes[0] if len(quotes) == 1 else ", ".join(quotes[:-1]) + " or " + quotes[-1]


def quoted(text: str, most: int = 60) -> str:
    """The text between quotation marks, on one line, cut short when it is very long."""
    line = folded(text)
    line = "".join(sign if sign.isprintable() else "\N{REPLACEMENT CHARACTER}" for sign in line)
    return f'"{line}"' if len(line) <= most else f'"{line[: most - 1]}…"'
