"""Words that several kinds of change share: how a step, a place and a list are called."""

from __future__ import annotations

from collections.abc import Iterable, Sequence

from compiler.changes.placed import Placed, plain
from compiler.model.protocol import Phrase, Step


def lead_of(step: Step) -> str:
    """What a step is called: its bold words, else its first words."""
    words = plain(step.lead) or plain(step.detail)
    if not words:
        return step.at.text.split("\n")[0].strip()
    return words if step.lead or len(words) <= 60 else f"{words[:57].rsplit(' ', 1)[0]} …"


def called(step: Step) -> str:
    """The same in quotation marks."""
    return f"“{lead_of(step)}”"


def text_of(step: Step) -> str:
    """All words of a step, without its cautions."""
    return plain(f"{step.lead} {step.detail}")


def phrase_text(phrase: Phrase) -> str:
    """A phrase as it is written, without its marks."""
    return plain(phrase.at.text.strip("`"))


def joined(names: Iterable[str], between: str = "and") -> str:
    """Names in a row.

    >>> joined(["gown", "apron", "mask"])
    'gown, apron and mask'
    """
    names = list(names)
    if len(names) < 2:
        return "".join(names)
    return f"{', '.join(names[:-1])} {between} {names[-1]}"


def number_of(count: int, one: str) -> str:
    """A count with its noun.

    >>> number_of(1, "step"), number_of(3, "step")
    ('1 step', '3 steps')
    """
    return f"{count} {one}{'' if count == 1 else 's'}"


def neighbour(steps: Sequence[Placed], at: int) -> str:
    """Where a step stands in its list: after which other one."""
    container = steps[at].container
    before = [p for p in steps[:at] if p.container == container]
    return f"after {called(before[-1].step)}" if before else "at the beginning"
