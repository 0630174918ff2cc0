"""How alike two steps or two texts are, between 0 and 1; the same in either direction."""

from __future__ import annotations

import re
from collections import Counter
from collections.abc import Hashable, Iterable

from compiler.changes.placed import Placed

_WORD = re.compile(r"\w+")

ALIKE = 0.5
"""From here on two steps in the same order may be one."""
ALIKE_ELSEWHERE = 0.6
"""From here on a step that is gone may be one that came up elsewhere."""
TEXTS_ALIKE = 0.4
"""From here on a text that is gone may have been reworded into another."""


def shared(one: Iterable[Hashable], other: Iterable[Hashable]) -> float:
    """The share of two collections that they have in common (Dice's coefficient).

    L. R. Dice, Measures of the amount of ecologic association between species, Ecology 26 (3),
    1945, from memory; taken over multisets.
    """
    first, second = Counter(one), Counter(other)
    whole = first.total() + second.total()
    return 2 * (first & second).total() / whole if whole else 1.0


def words(text: str) -> list[str]:
    """The words of a text, without regard to case."""
    return _WORD.findall(text.casefold()) or list(text)


def texts_alike(one: str, other: str) -> float:
    """How many words two texts share."""
    return shared(words(one), words(other))


class Likeness:
    """Compares steps, each pair of contents once."""

    def __init__(self) -> None:
        self.known: dict[tuple[int, int], float] = {}
        self.texts: dict[int, list[str]] = {}

    def between(self, one: Placed, other: Placed) -> float:
        """1 for the same content; else what is done counts most, then the words."""
        key = id(one), id(other)
        if key not in self.known:
            self.known[key] = self._between(one, other)
        return self.known[key]

    def _between(self, one: Placed, other: Placed) -> float:
        if one.content == other.content:
            return 1.0
        text = shared(self._text(one), self._text(other))
        if not one.deeds and not other.deeds:
            return min(text, 0.99)
        if not one.deeds or not other.deeds:
            return 0.8 * text  # advice that was an action, or became one
        # the verb alone counts half: another item may have taken the place of the first
        deeds = shared(_halves(one), _halves(other))
        exactly = shared(one.content[3], other.content[3])
        return min(0.55 * deeds + 0.1 * exactly + 0.35 * text, 0.99)

    def _text(self, placed: Placed) -> list[str]:
        if id(placed) not in self.texts:
            self.texts[id(placed)] = words(f"{placed.step.lead} {placed.step.detail}")
        return self.texts[id(placed)]


def _halves(placed: Placed) -> list[Hashable]:
    return [half for verb, thing in placed.deeds for half in (verb, (verb, thing))]
