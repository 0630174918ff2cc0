"""Where a line of text may end: enough of the Unicode rules to tell how many lines it takes."""

from __future__ import annotations

import re
import unicodedata
from collections.abc import Callable, Iterator
from functools import lru_cache

SPACES = re.compile(r"[ \t\n\r\f]+")
"""White space that CSS folds into one space; a no-break space is none."""
NO_START = frozenset(
    "、。，．：；？！）〕】》」』〉’”…‥·・ー～々〻ぁぃぅぇぉっゃゅょゎァィゥェォッャュョヮ"
)
NO_START |= frozenset(")]},.:;?!%‰°℃℉％′″-‐–/")
"""May not begin a line, nor be parted from a wide letter before (Unicode Standard Annex 14,
classes CL, CP, EX, IN, IS, NS, PO, QU, SY, BA and HY)."""
NO_END = frozenset("（〔【《「『〈‘“([{￥$№")
"""May not end a line (classes OP, PR, QU)."""
QUOTES = frozenset("‘’“”")
"""May be parted from nothing (class QU, rule LB19)."""
AFTER = frozenset("-‐–/")
"""A line may end after these if a letter follows (classes HY, BA, SY)."""
AFTER_ALL = frozenset("–…‥")
"""A line may end after these if a letter or a digit follows (classes BA, IN)."""


Ends = Callable[[str], frozenset[int]]
"""Tells at which letters of a word without spaces a line may end before."""


def pieces(text: str, language: str, ends: Ends | None = None) -> Iterator[tuple[str, str]]:
    """The stretches that stay together, each with the white space that follows it.

    Thai has no spaces between words; the engine finds them by a word list, which `ends` asks.
    Without it we break between any two letters that belong to different syllable blocks, which
    comes close.
    """
    del language  # a letter tells its script
    words = SPACES.split(text.strip(" \t\n\r\f"))
    for number, word in enumerate(words, start=1):
        known = ends(word) if ends and any(map(_thai, word)) else None
        start = 0
        for i in range(1, len(word)):
            if _may_end(word, i, known):
                yield word[start:i], ""
                start = i
        if word:
            yield word[start:], " " if number < len(words) else ""


def _may_end(word: str, i: int, known: frozenset[int] | None) -> bool:
    """Whether a line may end before a letter of a word."""
    if known is not None and _thai(word[i - 1]) and _thai(word[i]):
        return i in known
    return _may_break(word[i - 1], word[i]) or (i > 1 and _after_dash(word[i - 1 : i + 1]))


def _after_dash(pair: str) -> bool:
    dash, after = pair[0], pair[1]
    if dash == "—" or after == "—":
        return True
    return (dash in AFTER and after.isalpha()) or (dash in AFTER_ALL and after.isalnum())


@lru_cache(maxsize=4096)
def _may_break(before: str, after: str) -> bool:
    if after in NO_START or before in NO_END or QUOTES & {before, after}:
        return False
    if unicodedata.category(after).startswith("M") or after in JOINERS or before in JOINERS:
        return False
    if _wide(before) or _wide(after):
        return True
    return (
        _thai(before) and _thai(after) and before not in THAI_BEFORE and after not in THAI_AFTER
    )


JOINERS = frozenset("\u00a0\u200d\u2060\u202f\ufeff")
"""Hold what stands on both sides together."""
THAI_BEFORE = frozenset("เแโใไ")
"""Vowels written before their consonant."""
THAI_AFTER = frozenset("ะาำๅๆฯ")
"""Vowels and signs written after it."""


def _wide(letter: str) -> bool:
    """Han, kana, Hangul and full-width signs: a line may break on either side."""
    return unicodedata.east_asian_width(letter) in {"W", "F"}


def _thai(letter: str) -> bool:
    return "\u0e00" <= letter <= "\u0e7f"
