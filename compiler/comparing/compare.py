"""One way through a protocol against one form of a list: every difference, part by part."""

from __future__ import annotations

from collections.abc import Callable, Iterator

from compiler.comparing.cleaning import hygiene_differences
from compiler.comparing.course import Course, Deed, Deeds, Verb
from compiler.comparing.difference import Difference
from compiler.comparing.garments import EYES, GLOVES, listed, matched, with_article
from compiler.comparing.matching import PUTTING_ON, TAKING_OFF, Event, Half, halves
from compiler.comparing.order import order_differences

ITEMS = "what is worn"
"""The part under which items are told that only one of the two has."""


def differences(ours: Course, theirs: Course, short: str) -> Iterator[Difference]:
    """Every difference; none where a list does not say, or says it only as completed here."""
    yield from _items(ours, theirs, short)
    for half in halves(ours, theirs):
        yield from order_differences(half, short)
        if half.part == TAKING_OFF:
            yield from _fresh(half, short)
        yield from hygiene_differences(half, short)
        yield from _places(half, short)
        if half.part == PUTTING_ON:
            yield from _seal(half, short)
        yield from _observer(half, short)


def unlike(ours: Course, theirs: Course) -> int:
    """How many garments have no like in the other: says which form of a list fits best."""
    pairs = matched(ours.garments, theirs.garments)
    missing = len(ours.garments) + len(theirs.garments) - 2 * len(pairs)
    return 2 * missing + sum(one != other for one, other in pairs.items())


def _items(ours: Course, theirs: Course, short: str) -> Iterator[Difference]:
    mine, other = ours.garments, theirs.garments
    pairs = matched(mine, other)
    only_ours = [word for word in mine if word not in pairs]
    # what a list only offers, or what was added to complete it, is not missed
    certain = {w for d in _all(theirs) if not d.added for w in d.garments}
    only_theirs = [w for w in other if w not in pairs.values() and w in certain]
    for name, family, verb in (("eye protection", EYES, "item"), ("gloves", GLOVES, "pair")):
        here = [word for word in mine if word in family]
        there = [word for word in other if word in family]
        if here and there and len(here) != len(there):
            pick = only_ours if len(here) > len(there) else only_theirs
            if not set(pick) & set(family):
                continue
            pick[:] = [word for word in pick if word not in family]
            words = f"Wears {_number(here, verb, name)}; {short} wears {_number(there, verb)}."
            yield Difference(ITEMS, "items", words, _first_on(ours, here))
    for word, other_word in pairs.items():
        if word != other_word and word not in (*EYES, *GLOVES):
            sentence = (
                f"Wears {with_article(word)} where {short} has {with_article(other_word)}."
            )
            yield Difference(ITEMS, "items", sentence, _first_on(ours, [word]))
    for word in only_ours:
        sentence = f"Wears {with_article(word)}; {short} names none."
        yield Difference(ITEMS, "items", sentence, _first_on(ours, [word]))
    for word in only_theirs:
        yield Difference(ITEMS, "items", f"Does not wear {with_article(word)}; {short} does.")


def _number(words: list[str], noun: str, of: str = "") -> str:
    if len(words) == 1:
        return f"one {noun} of {of}" if of else f"one {noun}"
    count = "two" if len(words) == 2 else str(len(words))
    named = f"{count} {noun}s of {of}" if of else f"{count} {noun}s"
    return f"{named}, {listed(words)}"


def _all(course: Course) -> Deeds:
    return (*(course.donning or ()), *(course.doffing or ()))


def _first_on(course: Course, words: list[str]) -> tuple[Deed, ...]:
    deeds = (deed for deed in _all(course) if set(deed.garments) & set(words))
    first = next(deeds, None)
    return (first,) if first else ()


def _fresh(half: Half, short: str) -> Iterator[Difference]:
    """A garment, mostly gloves, that is put on again while taking off, and for what."""
    fresh = {e for e in (*half.our_events, *half.their_events) if e.number > 1 and e.off}
    for event in sorted(fresh):
        ours, theirs = half.meanwhile(event), half.listed_meanwhile(event)
        mine, other = event in half.our_events, event in half.their_events
        if other and half.theirs[half.their_events[event]].added:
            continue
        what = _to_take_off(half.our_events, ours, half.names.ours)
        listed_what = _to_take_off(half.their_events, theirs, half.names.theirs)
        if mine and other and not half.same_purpose(event):
            sentence = f"Puts {half.names.ours(event)} on{what}; {short} does so{listed_what}."
        elif mine and not other:
            sentence = f"Puts {half.names.ours(event)} on{what}; {short} does not."
        elif other and not mine:
            sentence = f"Does not put {half.names.theirs(event)} on{listed_what}; {short} does."
        else:
            continue
        before = [e for e in half.our_events if e.garment == event.garment]
        goes_on = [e for e in before if not e.off and e.number == event.number]
        deeds = tuple(half.our_deed(each) for each in (goes_on or before)[-1:])
        yield Difference(half.part, "fresh pair", sentence, deeds)


def _to_take_off(
    events: dict[Event, int], wanted: set[Event], name: Callable[[Event], str]
) -> str:
    off = [f"the {name(event)}" for event in events if event in wanted]
    return f" to take off {listed(off)}" if off else ""


def _places(half: Half, short: str) -> Iterator[Difference]:
    """Inside the contaminated area in one, outside it in the other; in the list's order."""
    does, how = half.doing
    common = set(half.common)
    for inside in (True, False):
        events = [
            event
            for event, at in half.their_events.items()
            if event in common
            and event.number == 1
            and half.our_deed(event).inside is inside
            and half.theirs[at].inside is (not inside)
        ]
        if events:
            names = listed(f"the {half.names.ours(event)}" for event in events)
            them = "it" if len(events) == 1 and not names.endswith("s") else "them"
            here, there = ("inside", "outside") if inside else ("outside", "inside")
            yield Difference(
                half.part,
                "place",
                f"{does} {names} {how} {here} the contaminated area; {short} {does.lower()} "
                f"{them} {how} {there} it.",
                tuple(dict.fromkeys(half.our_deed(event) for event in events)),
            )


def _seal(half: Half, short: str) -> Iterator[Difference]:
    """Only the list's own seal check counts, and only where both wear a respirator."""
    worn = Event(False, "respirator", 1)
    if worn not in half.our_events or half.names.pairs.get("respirator") != "respirator":
        return
    ours = [d for d in half.ours if d.verb is Verb.CHECK and "respirator" in d.garments]
    theirs = [d for d in half.theirs if d.verb is Verb.CHECK and not d.added]
    if theirs and not ours:
        sentence = f"Has no seal check of the respirator; {short} has one."
        yield Difference(half.part, "seal check", sentence, (half.our_deed(worn),))


def _observer(half: Half, short: str) -> Iterator[Difference]:
    ours = [deed for deed in half.ours if deed.verb is Verb.OBSERVED]
    theirs = [d for d in half.theirs if d.verb is Verb.OBSERVED and not d.added]
    if bool(ours) == bool(theirs):
        return
    has, lacks = "A trained observer confirms", "No trained observer confirms"
    if ours:
        sentence = f"{has} while {half.part}; {short} names none."
    else:
        sentence = f"{lacks} while {half.part}; {short} has one do so."
    yield Difference(half.part, "observer", sentence, tuple(ours[:1]))
