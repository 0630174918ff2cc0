"""Numbered lists as lines of text: steps put in, moved and numbered again."""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise

from compiler.model.protocol import Part, Protocol, Step
from compiler.source import Source, Span

_MARKER = re.compile(r"( *)(\d{1,9})([.)])( {1,4})(?=\S)")
_OTHER_BLOCK = re.compile(r" *(?:#{1,6}(?: |$)|[-*+] |\d{1,9}[.)] |>|```|~~~|(?:[-*_] *){3,}$)")
_STEP_NAMED = re.compile(r"\bsteps?\s+\d", re.IGNORECASE)

Steps = tuple[Step, ...]


@dataclass(frozen=True, slots=True)
class Body:
    """One step's lines, without its number and the indentation that goes with it."""

    lines: tuple[str, ...]
    as_written: frozenset[int] = frozenset()
    """Lines that stand further left than the step's first words, and stay there."""

    @property
    def first(self) -> str:
        """The text behind the number."""
        return self.lines[0]


@dataclass(frozen=True, slots=True)
class Spot:
    """A place in a list: before the step of that index, or after the last."""

    steps: Steps
    index: int


@dataclass(frozen=True, slots=True)
class _Row:
    """One step as it stands."""

    body: Body
    number: int
    first: int
    """The line of its number, counted from 0."""
    end: int
    """The line after its last words."""
    indent: str
    sign: str
    gap: str


def part_at(protocol: Protocol, span: Span) -> Part | None:
    """The part that a place is in."""
    found = [part for part in protocol.parts if part.at.start <= span.start]
    return found[-1] if found and span.source is protocol.source else None


def spots_of(protocol: Protocol, span: Span) -> list[Spot]:
    """The step a place is in, and the steps around it; the innermost first."""
    part = part_at(protocol, span)
    found: list[Spot] = []
    steps = part.steps if part else ()
    while steps:
        index = sum(step.at.start <= span.start for step in steps) - 1
        if index < 0:
            break
        found.insert(0, Spot(steps, index))
        fork = steps[index].fork
        branches = [b for b in fork.branches if b.at.start <= span.start] if fork else []
        steps = branches[-1].steps if branches else ()
    return found


def body_of(source: Source, step: Step) -> Body | None:
    """A step's own lines, as they can stand in another list."""
    row = _row(source, step)
    return row.body if row else None


def rearranged(source: Source, steps: Steps, order: Sequence[int | Body]) -> str | None:
    """The whole text with the steps of one list in another order, and new ones among them.

    Nothing, when the list is not written plainly enough to be sure of its lines, or when the
    text speaks of steps by number.
    """
    rows = [row for step in steps if (row := _row(source, step))]
    if len(rows) != len(steps) or not rows or _STEP_NAMED.search(source.text):
        return None
    lines = source.text.split("\n")
    if any(after.first < here.end for here, after in pairwise(rows)):
        return None
    gaps = [lines[here.end : after.first] for here, after in pairwise(rows)]
    if any(line.strip() for gap in gaps for line in gap):
        return None
    usual = gaps[0] if gaps else []
    alike = len(rows) > 1 and len({row.number for row in rows}) == 1
    written: list[str] = []
    for place, what in enumerate(order):
        row = rows[what] if isinstance(what, int) else rows[0]
        body = what if isinstance(what, Body) else row.body
        number = rows[0].number + (0 if alike else place)
        written += gaps[place - 1] if 0 < place <= len(gaps) else usual * (place > 0)
        written += _lines(body, rows[0].indent, f"{number}{row.sign}{row.gap}")
    lines[rows[0].first : rows[-1].end] = written
    return "\n".join(lines)


def with_step(source: Source, spot: Spot, body: Body) -> str | None:
    """The whole text with a new step."""
    order: list[int | Body] = [*range(len(spot.steps))]
    order.insert(spot.index, body)
    return rearranged(source, spot.steps, order)


def _lines(body: Body, indent: str, marker: str) -> list[str]:
    below = indent + " " * len(marker)
    return [
        line
        if number in body.as_written or not line
        else (below if number else indent + marker) + line
        for number, line in enumerate(body.lines)
    ]


def _row(source: Source, step: Step) -> _Row | None:
    lines = source.text.split("\n")
    first = step.at.line - 1
    marker = _MARKER.match(lines[first])
    if not marker or lines[first][marker.end() : step.at.column - 1].strip("*_"):
        return None
    wide = marker.end()
    if marker.end() > step.at.column - 1:
        return None
    end = _end(lines, first, wide)
    kept = [lines[first][wide:]]
    as_written: set[int] = set()
    for line in lines[first + 1 : end]:
        if line[:wide].strip(" ") or "\t" in line[:wide]:
            as_written.add(len(kept))
            kept.append(line)
        else:
            kept.append(line[wide:])
    indent, number, sign, gap = marker.groups()
    body = Body(tuple(kept), frozenset(as_written))
    return _Row(body, int(number), first, end, indent, sign, gap)


def _end(lines: list[str], first: int, wide: int) -> int:
    """The line after the last that belongs to the item which begins at `first`."""
    end = first + 1
    for number in range(first + 1, len(lines)):
        line = lines[number]
        if not line.strip():
            continue
        below = not line[:wide].strip(" ") and len(line) > wide
        flows_on = end == number and not _OTHER_BLOCK.match(line)
        if not below and not flows_on:
            break
        end = number + 1
    return end
