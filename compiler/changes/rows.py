"""Rows of the two YAML files that came, went or say another value."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass
from typing import Protocol, TypeVar

from compiler.changes.change import Change
from compiler.source import Span
from compiler.syntax.spelling import alike

UNITS = ((86_400, "day"), (3_600, "h"), (60, "min"), (1, "s"))


class Named(Protocol):
    """A row with a name and a place."""

    @property
    def name(self) -> str:
        """What it is called."""
        ...

    @property
    def at(self) -> Span:
        """Where it is written."""
        ...


R = TypeVar("R", bound=Named)


@dataclass(frozen=True, slots=True)
class Value:
    """One value of a row, in both versions."""

    kind: str
    """What a change of it is called."""
    key: str
    """As the author's guide calls it."""
    was: str
    """Empty when it is not given."""
    is_now: str
    look_first: bool = False
    """Whether the change may take protection away."""


def duration(seconds: int) -> str:
    """Seconds in the largest unit that fits; empty for none.

    >>> duration(120), duration(432000), duration(90), duration(0)
    ('2 min', '5 days', '90 s', '')
    """
    for size, unit in UNITS:
        if seconds and seconds % size == 0:
            count = seconds // size
            return f"{count} {unit}{'s' if unit == 'day' and count > 1 else ''}"
    return ""


def changed_rows(
    what: str,
    olds: Mapping[str, R],
    news: Mapping[str, R],
    values: Callable[[R, R], Iterator[Value]],
    told: Callable[[R], str],
) -> Iterator[Change]:
    """Rows added and dropped, and the values of the others.

    Args:
        what: The kind of row: item, place, area, agent.
        olds: The rows of the old version by name.
        news: The rows of the new version.
        values: Every value of a row in both versions, changed or not.
        told: A row in words, for one that is only in one version.
    """
    before = {alike(name): row for name, row in olds.items()}
    after = {alike(name): row for name, row in news.items()}
    for name in dict.fromkeys((*before, *after)):
        old, new = before.get(name), after.get(name)
        if old and new:
            yield from _values(f"{what} “{new.name}”", old, new, values)
        elif old:
            sentence = f"The {what} “{old.name}” is gone: {told(old)}."
            yield Change(f"{what} dropped", sentence, old.name, old=old.at, was=told(old))
        elif new:
            sentence = f"The {what} “{new.name}” is new: {told(new)}."
            yield Change(f"{what} added", sentence, new.name, new=new.at, is_now=told(new))


def _values(
    what: str, old: R, new: R, values: Callable[[R, R], Iterator[Value]]
) -> Iterator[Change]:
    for value in values(old, new):
        if value.was != value.is_now:
            yield changed_value(value, what, new.name, old.at, new.at)


def changed_value(value: Value, what: str, subject: str, old: Span, new: Span) -> Change:
    """One value that is another now."""
    now, was = value.is_now or "not given", value.was or "not given"
    return Change(
        value.kind,
        f"The {what}: {value.key} is now {now}; before: {was}.",
        subject=subject,
        old=old,
        new=new,
        was=value.was,
        is_now=value.is_now,
        look_first=value.look_first,
    )
