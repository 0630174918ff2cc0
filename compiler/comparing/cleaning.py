"""Hand hygiene between two garments that one of the two has and the other has not."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from itertools import pairwise

from compiler.comparing.course import Deed, Deeds, Verb
from compiler.comparing.difference import Difference
from compiler.comparing.matching import PUTTING_ON, Event, Half, by_deed


@dataclass(frozen=True, slots=True)
class Gap:
    """What lies between one event that both have and the next."""

    cleaned: bool | None
    """Nothing where a list does not say."""
    after: tuple[Event, ...]
    """Empty at the beginning."""
    before: tuple[Event, ...]
    """Empty at the end."""
    deed: Deed | None
    """The hand hygiene, or what comes just before where it would be."""


def hygiene_differences(half: Half, short: str) -> Iterator[Difference]:
    """Gaps in which hands are cleaned in one and, after the same garment, not in the other."""
    common = set(half.common)
    if not common:
        return
    ours = _gaps(half.ours, {e: i for e, i in half.our_events.items() if e in common})
    theirs = _gaps(half.theirs, {e: i for e, i in half.their_events.items() if e in common})
    pairs = [(ours[0], theirs[0]), *_between(half, ours, theirs), (ours[-1], theirs[-1])]
    for mine, other in pairs:
        if other.cleaned is not None and mine.cleaned is not other.cleaned:
            deeds = (mine.deed,) if mine.deed else ()
            yield Difference(half.part, "hand hygiene", _told(half, mine, other, short), deeds)


def _between(half: Half, ours: list[Gap], theirs: list[Gap]) -> Iterator[tuple[Gap, Gap]]:
    """Gaps after the same event. Of one movement only the event that ends it elsewhere."""
    followed = {event: gap for gap in theirs[1:-1] for event in gap.after}
    for mine in ours[1:-1]:
        told: set[Event] = set()
        for event in mine.after:
            other = followed.get(event)
            if other is None or event in told:
                continue
            later = any(half.order(each, event)[1] > 0 for each in mine.after if each != event)
            ended = any(half.order(each, event)[0] > 0 for each in other.after if each != event)
            if not later and not ended:
                told |= set(other.after)
                yield mine, other


def _gaps(deeds: Deeds, events: dict[Event, int]) -> list[Gap]:
    """From the beginning to the end; never fewer than two."""
    gaps: list[Gap] = []
    stops = [(-1, ()), *by_deed(events), (len(deeds), ())]
    for (start, after), (end, before) in pairwise(stops):
        between = deeds[start + 1 : end]
        hygiene = [deed for deed in between if deed.verb is Verb.HYGIENE]
        cleaned: bool | None = bool(hygiene)
        if not any(not deed.added for deed in hygiene):
            known = all(not d.added or d.verb in {Verb.CHECK, Verb.OBSERVED} for d in between)
            cleaned = False if known else None
        beside = deeds[start if start >= 0 else end]
        gaps.append(Gap(cleaned, after, before, hygiene[0] if hygiene else beside))
    return gaps


def _told(half: Half, mine: Gap, other: Gap, short: str) -> str:
    ours, theirs = _where(half, mine, mine=True), _where(half, other, mine=False)
    if mine.cleaned:
        there = "there" if _alike(mine, other) else theirs
        return f"Cleans hands {ours}; {short} names no hand hygiene {there}."
    if _alike(mine, other):
        return f"Does not clean hands {ours}; {short} does."
    return f"Does not clean hands {ours}; {short} cleans hands {theirs}."


def _alike(mine: Gap, other: Gap) -> bool:
    """Whether both are the same gap; the beginning and the end always are."""
    if not mine.after or not mine.before:
        return True
    return set(mine.after) == set(other.after) and set(mine.before) == set(other.before)


def _where(half: Half, gap: Gap, *, mine: bool) -> str:
    after, before = (_names(half, events, mine=mine) for events in (gap.after, gap.before))
    if not gap.after:
        return "before the first item" + ("" if half.part == PUTTING_ON else " comes off")
    if not gap.before:
        when = "before going in" if half.part == PUTTING_ON else "at the end"
        return f"{when}, after {after}"
    return f"between {after} and {before}"


def _names(half: Half, events: tuple[Event, ...], *, mine: bool) -> str:
    name = half.names.ours if mine else half.names.theirs
    return " with ".join(f"the {name(event)}" for event in events)
