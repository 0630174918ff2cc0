"""A part's steps as the path people follow: numbers, beats of hand hygiene, forks, areas.

Every product that prints steps takes its numbers from here, so that "step 7" is the same step
on the wall, on the tick sheet and in the pocket. Numbers run on through forks in reading order
and each is used once in a part. Hand hygiene takes no number of its own: people say "hands,
after 6". A way out of a fork ends by naming the number at which the path goes on.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace
from itertools import count

from compiler.model.clinic import Area, Clinic
from compiler.model.protocol import Branch, Go, Hygiene, Observed, Part, Step, Takes


@dataclass(frozen=True, slots=True)
class Row:
    """A numbered step."""

    number: int
    lead: str
    detail: str
    cautions: tuple[str, ...]
    step: Step


@dataclass(frozen=True, slots=True)
class Beat:
    """Hand hygiene: a band across the path."""

    wash: bool
    """Soap and water, not handrub."""
    on_gloves: bool
    lead: str
    """Empty when the step also does something else, and the beat only repeats the phrase."""
    detail: str
    cautions: tuple[str, ...]
    step: Step
    after: int = 0
    """The number it follows; 0 when it opens its list or follows a fork."""
    before: int = 0
    """The number it precedes; only told when `after` is 0, and 0 at the very end."""


@dataclass(frozen=True, slots=True)
class Way:
    """One answer of a fork, with the steps it leads to."""

    answer: str
    lead: str
    detail: str
    stretches: tuple[Stretch, ...]
    branch: Branch
    onward: int = 0
    """The number at which the path goes on; 0 when the part ends here."""
    hygiene: bool = False
    """Whether a hand hygiene comes first when it goes on."""


@dataclass(frozen=True, slots=True)
class Split:
    """A question and the ways out of it, side by side."""

    question: Row
    ways: tuple[Way, ...]


Stop = Row | Beat | Split


@dataclass(frozen=True, slots=True)
class Stretch:
    """The stops between two doors."""

    areas: tuple[Area, ...]
    """Where people stand; more than one when the ways of a fork end in different areas."""
    stops: tuple[Stop, ...]


@dataclass(frozen=True, slots=True)
class Path:
    """One part, from its heading to its last stop."""

    part: Part
    stretches: tuple[Stretch, ...]


def path_of(part: Part, clinic: Clinic) -> Path:
    """The part as a path, its steps numbered from 1."""
    here = (clinic.areas[part.begin.area],)
    stretches, _ = _Walk(clinic, count(1)).along(part.steps, here)
    return Path(part, _settled(stretches, opening=0, onward=0))


def every_stop(stretches: tuple[Stretch, ...]) -> Iterator[Stop]:
    """All stops, those inside forks included, in reading order."""
    for stretch in stretches:
        for stop in stretch.stops:
            yield stop
            if isinstance(stop, Split):
                for way in stop.ways:
                    yield from every_stop(way.stretches)


@dataclass(frozen=True, slots=True)
class _Walk:
    """One walk through a part, counting as it goes."""

    clinic: Clinic
    numbers: Iterator[int]

    def along(
        self, steps: tuple[Step, ...], areas: tuple[Area, ...]
    ) -> tuple[tuple[Stretch, ...], tuple[Area, ...]]:
        """The stretches of one list of steps, and the areas at its end."""
        done: list[Stretch] = []
        stops: list[Stop] = []

        def cross(into: tuple[Area, ...]) -> None:
            nonlocal areas
            if into == areas:
                return
            if stops:
                done.append(Stretch(areas, tuple(stops)))
                stops.clear()
            areas = into

        for step in steps:
            arriving, leaving = _doors(step)
            if arriving:
                cross((self.clinic.areas[arriving],))
            for stop, ends in self.stops_of(step, areas):
                stops.append(stop)
                cross(ends)
            if leaving:
                cross((self.clinic.areas[leaving],))
        if stops or not done or areas != done[-1].areas:
            done.append(Stretch(areas, tuple(stops)))
        return tuple(done), areas

    def stops_of(
        self, step: Step, areas: tuple[Area, ...]
    ) -> Iterator[tuple[Stop, tuple[Area, ...]]]:
        """One step as a beat, a row or a fork, with beats around it; and where it ends."""
        acts = [p for p in step.phrases if not isinstance(p, Takes | Observed)]
        hygiene = [p for p in acts if isinstance(p, Hygiene)]
        if hygiene and len(hygiene) == len(acts) and step.fork is None:
            yield _beat(hygiene[0], step.lead, step.detail, step.cautions, step), areas
            hygiene = hygiene[1:]
        else:
            if hygiene and acts[0] is hygiene[0] and len(acts) > 1:
                yield _beat(hygiene.pop(0), "", "", (), step), areas
            row = Row(next(self.numbers), step.lead, step.detail, step.cautions, step)
            yield self.split(row, areas) if step.fork else (row, areas)
        for again in hygiene:
            yield _beat(again, "", "", (), step), areas

    def split(self, row: Row, areas: tuple[Area, ...]) -> tuple[Split, tuple[Area, ...]]:
        """The ways of a fork; numbers run on from one way into the next."""
        ways: list[Way] = []
        ends: dict[Area, None] = {}
        for branch in row.step.fork.branches if row.step.fork else ():
            stretches, end = self.along(branch.steps, areas)
            ways.append(Way(branch.answer, branch.lead, branch.detail, stretches, branch))
            ends.update(dict.fromkeys(end))
        return Split(row, tuple(ways)), tuple(ends) or areas


def _doors(step: Step) -> tuple[str, str]:
    """The area entered before the step's own work, and the one entered after it."""
    acts = [p for p in step.phrases if not isinstance(p, Takes | Observed)]
    goes = [p for p in acts if isinstance(p, Go)]
    if not goes:
        return "", ""
    if len(goes) == 1 and acts[0] is goes[0] and len(acts) > 1:
        return goes[0].area, ""
    return "", goes[-1].area


def _beat(
    hygiene: Hygiene, lead: str, detail: str, cautions: tuple[str, ...], step: Step
) -> Beat:
    return Beat(hygiene.wash, hygiene.on_gloves, lead, detail, cautions, step)


def _number(stop: Stop) -> int:
    """The number people call it by; 0 for a beat."""
    match stop:
        case Row():
            return stop.number
        case Split():
            return stop.question.number
        case Beat():
            return 0


def _settled(
    stretches: tuple[Stretch, ...], opening: int, onward: int, hygiene: bool = False
) -> tuple[Stretch, ...]:
    """The same list once all numbers are known: beats say where they stand, ways lead on.

    `opening` is the question that the list answers, `onward` the number after its end, and
    `hygiene` whether a hand hygiene comes before that number.
    """
    flat = [stop for stretch in stretches for stop in stretch.stops]
    beats = [*(isinstance(stop, Beat) for stop in flat[1:]), hygiene]
    following = [onward] * len(flat)
    for i in range(len(flat) - 2, -1, -1):
        following[i] = _number(flat[i + 1]) or following[i + 1]
    settled: list[Stop] = []
    before = opening
    for stop, after, beat in zip(flat, following, beats, strict=False):
        if isinstance(stop, Beat):
            # After a fork only the next number is sure: people come from different ways.
            stop = replace(stop, after=before, before=0 if before else after)
        elif isinstance(stop, Split):
            number = stop.question.number
            ways = (
                replace(
                    way,
                    stretches=_settled(way.stretches, number, after, beat),
                    onward=after,
                    hygiene=beat,
                )
                for way in stop.ways
            )
            stop = Split(stop.question, tuple(ways))
        before = 0 if isinstance(stop, Split) else _number(stop) or before
        settled.append(stop)
    rest = iter(settled)
    return tuple(
        Stretch(stretch.areas, tuple(next(rest) for _ in stretch.stops))
        for stretch in stretches
    )
