"""Does what a remedy says: each of its ways, done alone, must make the finding go."""

from __future__ import annotations

import re
from dataclasses import replace

from compiler.findings import Finding
from compiler.model.clinic import ReadingDistance
from compiler.model.protocol import Part, Step, every_step
from compiler.products.path import Row, Split, every_stop, path_of
from compiler.products.poster import poster
from compiler.products.sheet import Order

PAPER = re.compile(r"\bon (A\d|Letter|Tabloid|ANSI [CD]) \([\d.]+ × [\d.]+ mm\)")
READING = re.compile(r"\{leads: ([\d.]+) m, details: ([\d.]+) m\}")
STEPS = re.compile(r"“([^”]*)” ([\d, ]+)")
START = re.compile(r"as far as step (\d+) of “([^”]*)”")


def uncured(order: Order, finding: Finding) -> list[str]:
    """The ways of a remedy that do not help."""
    ways = re.split(r", or (?=print|do|make)", finding.remedy)
    return [way for way in ways if any(poster(o).findings for o in done(order, way))]


def done(order: Order, way: str) -> list[Order]:
    """The orders that somebody gives who does what one way of a remedy says."""
    if found := PAPER.search(way):
        order = replace(order, paper=found[1])
    if order.orientation:
        order = replace(order, orientation=_turned(order.orientation, way))
    if found := READING.search(way):
        reading = ReadingDistance(float(found[1]), float(found[2]), order.clinic.reading.card)
        order = replace(order, clinic=replace(order.clinic, reading=reading))
    if "do without" in way:
        order = _without(order, STEPS.findall(way.partition("in all:")[2]))
    if found := START.search(way):
        order = _first(order, found[2], int(found[1]))
    if "sheet each" in way:
        return [replace(order, parts=part) for part in ("donning", "doffing")]
    return [order]


def _turned(asked: str, way: str) -> str:
    if "upright" in way:
        return "portrait"
    if "on its side" in way:
        return "landscape"
    # told together with the largest paper, whose measures say how it lies
    return "" if "and" in way else asked


def _without(order: Order, named: list[tuple[str, str]]) -> Order:
    parts = []
    for part in order.protocol.parts:
        numbers = {int(n) for title, ns in named if title == part.title for n in ns.split(",")}
        gone = {row.step.at for row in _rows(order, part) if row.number in numbers}
        parts.append(replace(part, steps=tuple(_bare(step, gone) for step in part.steps)))
    return replace(order, protocol=replace(order.protocol, parts=tuple(parts)))


def _rows(order: Order, part: Part) -> list[Row]:
    stops = every_stop(path_of(part, order.clinic).stretches)
    rows = (stop.question if isinstance(stop, Split) else stop for stop in stops)
    return [row for row in rows if isinstance(row, Row)]


def _bare(step: Step, gone: set) -> Step:
    fork = step.fork
    if fork:
        branches = (
            replace(b, steps=tuple(_bare(inner, gone) for inner in b.steps))
            for b in fork.branches
        )
        fork = replace(fork, branches=tuple(branches))
    return replace(step, fork=fork, detail="" if step.at in gone else step.detail)


def _first(order: Order, title: str, number: int) -> Order:
    """The protocol as far as a step, by the number that is printed."""
    parts = []
    for part in order.protocol.parts:
        if part.title != title:
            parts.append(part)
            continue
        kept = {row.step.at for row in _rows(order, part) if row.number <= number}
        last = max(
            i for i, s in enumerate(part.steps) if kept & {e.at for e in every_step((s,))}
        )
        parts.append(replace(part, steps=part.steps[: last + 1]))
        break
    return replace(order, protocol=replace(order.protocol, parts=tuple(parts)))
