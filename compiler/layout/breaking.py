"""Where a line of text may end: enough of the Unicode rules to estimate how many lines it takes."""

from __future__ import annotations

import unicodedata
from collections.abc import Iterator

NO_START = frozenset(
    "、。，．：；？！）〕】》」』〉’”…—·ーぁぃぅぇぉっゃゅょァィゥェォッャュョ々"
)
"""May not begin a line (Unicode Standard Annex 14, classes CL, CP, EX, IS, NS, IN)."""
NO_END = frozenset("（〔【《「『〈‘“")
"""May not end a line (class OP)."""


def pieces(text: str, language: str) -> Iterator[tuple[str, str]]:
    """The stretches that stay together, each with the white space that follows it."""
    for word in text.split():
        start = 0
        for i in range(1, len(word)):
            if _may_break(word[i - 1], word[i]):
                yield word[start:i], ""
                start = i
        yield word[start:], " "


def _may_break(before: str, after: str) -> bool:
    if after in NO_START or before in NO_END:
        return False
    return any(map(_alone, (before, after)))


def _alone(character: str) -> bool:
    """Whether a line may break on either side of it: Han, kana, Hangul, full-width signs."""
    return unicodedata.east_asian_width(character) in {"W", "F"}
