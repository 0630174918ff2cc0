"""A protocol as a step list: what its four forms print, in words, with nothing of their shape.

PDF, plain text, Markdown and the web page are made from the same values, so that none of them
says more, less or something else than the others.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from compiler.findings import Finding, Mark
from compiler.model.protocol import Activity, Observed, Part
from compiler.model.read_parts import EMPTY_PART
from compiler.products.path import Beat, Row, Split, Stop, Stretch, path_of
from compiler.products.path_words import beat_lead, beat_place, beat_sign, ground, onward
from compiler.products.pictograms import pictogram_for
from compiler.products.sheet import Imprint, Order, imprint

SPOKEN = ("Caution: {text}",)
"""Fixed words that this file asks the catalogue for."""


@dataclass(frozen=True, slots=True)
class ListedStep:
    """A numbered step."""

    value: int
    number: str
    """The same in the language's own digits."""
    sign: str
    """The name of its pictogram."""
    lead: str
    detail: str
    cautions: tuple[str, ...]
    """The words alone; each form marks them in its own way."""
    observed: bool = False
    """Whether the trained observer confirms it before the next step."""


@dataclass(frozen=True, slots=True)
class ListedBeat:
    """Hand hygiene, which has no number."""

    sign: str
    lead: str
    detail: str
    cautions: tuple[str, ...]
    place: str
    """"after 6": how people refer to it."""
    seconds: tuple[int, int]
    """The least and the full time of the clinic's own rub or wash."""


@dataclass(frozen=True, slots=True)
class ListedWay:
    """One answer, and what is done then."""

    key: str
    """The answer's name in the phrase, the same in every language."""
    lead: str
    detail: str
    stretches: tuple[ListedStretch, ...]


@dataclass(frozen=True, slots=True)
class ListedFork:
    """A question and its answers."""

    question: ListedStep
    key: str
    """The question's name in the phrase: where it is asked again, it has the same."""
    ways: tuple[ListedWay, ...]
    onward: str
    """Where the path goes on after any of them; empty where the part ends."""


ListedStop = ListedStep | ListedBeat | ListedFork


@dataclass(frozen=True, slots=True)
class ListedStretch:
    """The stops between two doors."""

    zone: str
    area: str
    kind: str
    """"clean area", say."""
    door: bool
    """Whether people come to it through a door of this list."""
    named: bool
    """Whether the area must be said; an answer that stays where it is says nothing."""
    stops: tuple[ListedStop, ...]


@dataclass(frozen=True, slots=True)
class ListedPart:
    """Putting on, work or taking off."""

    title: str
    activity: str
    introduction: tuple[str, ...]
    stretches: tuple[ListedStretch, ...]


@dataclass(frozen=True, slots=True)
class StepList:
    """One protocol in one language."""

    sheet: Imprint
    parts: tuple[ListedPart, ...]

    @property
    def facts(self) -> tuple[str, ...]:
        """Which edition it is; without dates that the protocol does not give."""
        said = self.sheet
        return tuple(filter(None, (said.edition, said.valid_from, said.review_by, said.code)))


def step_list(order: Order) -> StepList:
    """The list of the parts that were asked for, in the protocol's order."""
    lister = _Lister(order)
    return StepList(imprint(order), tuple(lister.part(part) for part in _wanted(order)))


def nothing_listed(order: Order, what: str) -> Finding:
    """That the protocol has no part of the kind that was asked for."""
    return Finding(
        EMPTY_PART,
        f"{order.protocol.title} has no part for {order.parts}, so there is no {what} of it.",
        Mark(order.protocol.at, "this protocol"),
        remedy="print the parts that it has: leave out --parts",
    )


def listed_stops(stretches: tuple[ListedStretch, ...]) -> Iterator[ListedStop]:
    """All stops, those inside answers included, in reading order."""
    for stretch in stretches:
        for stop in stretch.stops:
            yield stop
            if isinstance(stop, ListedFork):
                for way in stop.ways:
                    yield from listed_stops(way.stretches)


def _wanted(order: Order) -> Iterator[Part]:
    for part in order.protocol.parts:
        doffing = part.begin.activity is Activity.DOFFING
        if order.parts == "both" or doffing == (order.parts == "doffing"):
            yield part


@dataclass(frozen=True, slots=True)
class _Lister:
    order: Order

    def part(self, part: Part) -> ListedPart:
        path = path_of(part, self.order.clinic)
        return ListedPart(
            part.title,
            part.begin.activity.value.replace(" ", "-"),
            part.introduction,
            self.stretches(path.stretches, inside=False),
        )

    def stretches(
        self, stretches: tuple[Stretch, ...], inside: bool
    ) -> tuple[ListedStretch, ...]:
        named = not inside or len(stretches) > 1
        return tuple(
            self.stretch(stretch, named, door=i > 0)
            for i, stretch in enumerate(stretches)
            if stretch.stops or i > 0
        )

    def stretch(self, stretch: Stretch, named: bool, door: bool) -> ListedStretch:
        here = ground(stretch, self.order.words)
        stops = tuple(map(self.stop, stretch.stops))
        return ListedStretch(here.zone.value, here.name, here.kind, door, named, stops)

    def stop(self, stop: Stop) -> ListedStop:
        match stop:
            case Row():
                return self.row(stop)
            case Beat():
                return self.beat(stop)
            case Split():
                return self.fork(stop)

    def row(self, row: Row) -> ListedStep:
        return ListedStep(
            row.number,
            self.order.words.number(row.number),
            pictogram_for(row.step, self.order.kit),
            row.lead,
            row.detail,
            row.cautions,
            any(isinstance(phrase, Observed) for phrase in row.step.phrases),
        )

    def beat(self, beat: Beat) -> ListedBeat:
        clinic, words = self.order.clinic, self.order.words
        return ListedBeat(
            beat_sign(beat),
            beat_lead(beat, words),
            beat.detail,
            beat.cautions,
            beat_place(beat, words),
            clinic.wash_seconds if beat.wash else clinic.rub_seconds,
        )

    def fork(self, split: Split) -> ListedFork:
        asked = split.question.step.fork
        ways = tuple(
            ListedWay(
                way.answer,
                way.lead or way.answer,
                way.detail,
                self.stretches(way.stretches, inside=True),
            )
            for way in split.ways
        )
        join = onward(split.ways[0], self.order.words) if split.ways else ""
        return ListedFork(self.row(split.question), asked.question if asked else "", ways, join)
