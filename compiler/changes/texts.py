"""Words that changed: whether a number or a prohibition changed with them."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from compiler.changes.likeness import TEXTS_ALIKE, texts_alike
from compiler.wording.negation import NEGATION
from compiler.wording.numbers import numbers


@dataclass(frozen=True, slots=True)
class Rewording:
    """What became of a text."""

    kind: str
    """`prohibition added`, `prohibition dropped` or `number changed`; empty for other words."""
    words: str
    """What to say of it, after "was reworded"."""

    @property
    def look_first(self) -> bool:
        """Whether something is no longer forbidden."""
        return self.kind == "prohibition dropped"


def rewording(was: str, now: str, language: str) -> Rewording:
    """Compares two texts in the language that they are written in.

    >>> rewording("Do not touch it.", "Touch it.", "en").kind
    'prohibition dropped'
    >>> rewording("Rub for 20 seconds.", "Rub for 10 seconds.", "en").words
    'and a number changed: 20 became 10'
    """
    forbidden, forbids = _prohibitions(was, language), _prohibitions(now, language)
    changed = _numbers(was, now)
    if forbids < forbidden:
        return Rewording("prohibition dropped", f"and a “not” is gone{_too(changed)}")
    if forbids > forbidden:
        return Rewording("prohibition added", f"and a “not” came in{_too(changed)}")
    if changed:
        return Rewording("number changed", f"and a number changed: {changed}")
    return Rewording("", "")


def _too(changed: str) -> str:
    return f", and a number changed: {changed}" if changed else ""


def _prohibitions(text: str, language: str) -> int:
    pattern = NEGATION.get(language.partition("-")[0].casefold())
    return len(pattern.findall(text)) if pattern else 0


def _numbers(was: str, now: str) -> str:
    before, after = numbers(was), numbers(now)
    gone = ", ".join(sorted((before - after).elements(), key=was.find))
    came = ", ".join(sorted((after - before).elements(), key=now.find))
    if gone and came:
        return f"{gone} became {came}"
    if gone or came:
        return f"{gone} is gone" if gone else f"{came} came in"
    return ""


def paired_texts(
    olds: Sequence[str], news: Sequence[str]
) -> tuple[list[tuple[str, str]], list[str], list[str]]:
    """Texts that were reworded, that are gone and that came in; equal ones are left out."""
    gone = [text for text in olds if text not in news]
    came = [text for text in news if text not in olds]
    likes = sorted(
        (-texts_alike(was, now), sorted((was, now)), was, now) for was in gone for now in came
    )
    reworded: list[tuple[str, str]] = []
    for unlike, _, was, now in likes:
        if -unlike >= TEXTS_ALIKE and was in gone and now in came:
            reworded.append((was, now))
            gone.remove(was)
            came.remove(now)
    return reworded, gone, came
