"""One half of a way beside the same half of a list: which event is which."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator
from dataclasses import dataclass, field
from itertools import groupby

from compiler.comparing.course import Course, Deed, Deeds, Verb
from compiler.comparing.garments import EYES, matched

PUTTING_ON, TAKING_OFF = "putting on", "taking off"


@dataclass(frozen=True, slots=True, order=True)
class Event:
    """A garment goes on or comes off, for the first time or a later one."""

    off: bool
    garment: str
    """The list's word for it, also where the protocol has another in its place; the protocol's
    own where the list has none."""
    number: int
    """1 the first time; 2 for the first fresh one; and so on."""


@dataclass(frozen=True, slots=True)
class Names:
    """What the two call their garments."""

    pairs: dict[str, str]
    """The protocol's garments that the list has too, each with the list's."""
    one_eye_item: bool
    """Each has only one thing over the eyes, so that it need not be said which."""

    def garment(self, event: Event) -> str:
        """What the protocol wears, by generic kind."""
        back = (ours for ours, theirs in self.pairs.items() if theirs == event.garment)
        return next(back, event.garment)

    def ours(self, event: Event) -> str:
        """What the protocol wears, as words after `the`."""
        return self._said(event, self.garment(event))

    def theirs(self, event: Event) -> str:
        """What the list wears, as words after `the`."""
        return self._said(event, event.garment)

    def _said(self, event: Event, garment: str) -> str:
        word = EYES[0] if self.one_eye_item and garment in EYES else garment
        if event.number > 1:
            return f"{'second ' * (event.number > 2)}fresh {word}"
        return word


def names_of(ours: Course, theirs: Course) -> Names:
    """The garments of a way and of a list, matched."""
    return Names(
        matched(ours.garments, theirs.garments),
        sum(w in EYES for w in ours.garments) == 1 == sum(w in EYES for w in theirs.garments),
    )


@dataclass(frozen=True, slots=True)
class Half:
    """One part of both, side by side."""

    part: str
    names: Names
    ours: Deeds
    theirs: Deeds
    our_events: dict[Event, int] = field(default_factory=dict)
    """Where in the deeds each event is."""
    their_events: dict[Event, int] = field(default_factory=dict)

    @property
    def doing(self) -> tuple[str, str]:
        """The words for what is done to a garment here: `Takes` and `off`."""
        return ("Takes", "off") if self.part == TAKING_OFF else ("Puts", "on")

    @property
    def common(self) -> list[Event]:
        """Events that both have and that the list itself names, in the protocol's order.

        A fresh garment only where it is put on for the same purpose.
        """
        return [
            event
            for event in self.our_events
            if event in self.their_events
            and not self.theirs[self.their_events[event]].added
            and (event.number == 1 or self.same_purpose(event))
        ]

    def same_purpose(self, fresh: Event) -> bool:
        """Whether the same comes off in a fresh garment, as far as both have it."""
        shared = self.our_events.keys() & self.their_events.keys()
        return self.meanwhile(fresh) & shared == self.listed_meanwhile(fresh) & shared

    def meanwhile(self, fresh: Event) -> set[Event]:
        """What comes off in the protocol while a fresh garment is on: why it was put on."""
        return _meanwhile(self.our_events, fresh)

    def listed_meanwhile(self, fresh: Event) -> set[Event]:
        """The same in the list."""
        return _meanwhile(self.their_events, fresh)

    def order(self, one: Event, other: Event) -> tuple[int, int]:
        """Below zero where `one` is first, zero where both are one movement: ours, theirs."""
        ours = self.our_events[one] - self.our_events[other]
        theirs = self.their_events[one] - self.their_events[other]
        return (ours > 0) - (ours < 0), (theirs > 0) - (theirs < 0)

    def our_deed(self, event: Event) -> Deed:
        """Where the protocol says it."""
        return self.ours[self.our_events[event]]


def _meanwhile(events: dict[Event, int], fresh: Event) -> set[Event]:
    begun = events.get(Event(False, fresh.garment, fresh.number), -1)
    ended = events.get(Event(True, fresh.garment, fresh.number), -1)
    return {
        event
        for event, at in events.items()
        if event.off and begun < at <= ended and event.garment != fresh.garment
    }


def halves(ours: Course, theirs: Course) -> Iterator[Half]:
    """The parts that both have."""
    names = names_of(ours, theirs)
    for part, deeds, listed in (
        (PUTTING_ON, ours.donning, theirs.donning),
        (TAKING_OFF, ours.doffing, theirs.doffing),
    ):
        if deeds is not None and listed is not None:
            yield Half(
                part,
                names,
                deeds,
                listed,
                dict(_events(deeds, part, names.pairs)),
                dict(_events(listed, part, {})),
            )


def _events(deeds: Deeds, part: str, words: dict[str, str]) -> Iterator[tuple[Event, int]]:
    # What goes on while taking off is a fresh one, which comes off later.
    met: Counter[tuple[bool, str]] = Counter()
    for at, deed in enumerate(deeds):
        off = deed.verb is Verb.OFF
        if deed.verb not in {Verb.ON, Verb.OFF} or (off and part == PUTTING_ON):
            continue
        for garment in (words.get(word, word) for word in deed.garments):
            met[off, garment] += 1
            yield Event(off, garment, met[off, garment] + (part == TAKING_OFF and not off)), at


def by_deed(events: dict[Event, int]) -> list[tuple[int, tuple[Event, ...]]]:
    """Events in order, those of one movement together, each with where it is."""
    return [
        (at, tuple(event for event, _ in group))
        for at, group in groupby(events.items(), key=lambda pair: pair[1])
    ]
