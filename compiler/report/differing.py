"""Two texts beside one another, with the words marked that differ."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from difflib import SequenceMatcher

from compiler.wording.cells import cells


@dataclass(frozen=True, slots=True)
class Word:
    """One word of a text."""

    text: str
    differs: bool = False
    """Whether the other text does not have it here."""


def both_marked(was: str, now: str) -> tuple[list[Word], list[Word]]:
    """The words of both; nothing is marked where there is only one, or nothing in common.

    >>> [word.text for word in both_marked("Rub for 20 s.", "Rub for 30 s.")[1] if word.differs]
    ['30']
    """
    before, after = was.split(), now.split()
    matcher = SequenceMatcher(None, before, after, autojunk=False)
    blocks = matcher.get_matching_blocks()
    if not any(block.size for block in blocks) or before == after:
        return [Word(text) for text in before], [Word(text) for text in after]
    kept = {at for block in blocks for at in range(block.a, block.a + block.size)}
    kept_now = {at for block in blocks for at in range(block.b, block.b + block.size)}
    return (
        [Word(text, at not in kept) for at, text in enumerate(before)],
        [Word(text, at not in kept_now) for at, text in enumerate(after)],
    )


def wrapped(words: list[Word], room: int) -> Iterator[list[Word]]:
    """Lines of words that take no more cells than there is room; long words are cut up."""
    line: list[Word] = []
    taken = 0
    for word in _cut_up(words, room):
        wide = cells(word.text)
        if line and taken + 1 + wide > room:
            yield line
            line, taken = [], 0
        taken += wide + bool(line)
        line.append(word)
    if line:
        yield line


def _cut_up(words: list[Word], room: int) -> Iterator[Word]:
    for word in words:
        piece = ""
        for sign in word.text:
            if cells(piece + sign) > room:
                yield Word(piece, word.differs)
                piece = ""
            piece += sign
        yield Word(piece, word.differs)
