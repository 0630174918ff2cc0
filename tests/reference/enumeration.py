"""Every way through a round, one by one, from every state in which a round can end.

Written from `compiler/README.md` and nothing else, so that it can be compared with that page line
by line: `effects.py` is its first table, `strikes.py` its second. Only the model types are shared
with the product. No merging of states, no dropping of facts, nothing clever.
"""

from __future__ import annotations

import itertools
from collections.abc import Callable, Iterator
from dataclasses import dataclass

from compiler.model.clinic import Clinic, Zone
from compiler.model.kit import Kit
from compiler.model.protocol import Protocol, Step, every_step
from compiler.source import Span
from tests.reference.effects import do, end_of_part, end_of_round
from tests.reference.scene import PartEnds, Strike
from tests.reference.strikes import reusable_never_kept, strikes_at
from tests.reference.text import Text, read_text


@dataclass(frozen=True)
class Way:
    """One way through a whole round."""

    answers: dict[str, str]
    """The answer to each question that comes up on it."""
    events: list[object]
    """Phrases and ends of parts, in order."""
    steps: list[Span]
    """The places of the step under way and of those inside it."""


@dataclass(frozen=True)
class Walk:
    """A way that was walked, from one of the states in which the round before may end."""

    round: int
    way: Way
    strikes: set[Strike]


class TooManyWaysError(Exception):
    """The protocol is too large to be listed way by way."""


def check_by_enumeration(
    protocol: Protocol, clinic: Clinic, kit: Kit, most: int = 3_000
) -> dict[Strike, int]:
    """Every strike, with the first round in which it is met."""
    found = dict.fromkeys(reusable_never_kept(protocol, kit), 1)
    for walk in every_walk(protocol, clinic, kit, most):
        for strike in walk.strikes:
            found.setdefault(strike, walk.round)
    return found


def every_walk(
    protocol: Protocol,
    clinic: Clinic,
    kit: Kit,
    most: int = 3_000,
    allowed: Callable[[int, Way], bool] = lambda number, way: True,
) -> Iterator[Walk]:
    """Every way from every state, round after round until no new state ends one.

    Only those ways that are allowed in a round of that number.
    """
    text = read_text(protocol, clinic, kit)
    ways = every_way(protocol)
    begins = [fresh(clinic, kit)]
    seen = [summary(begins[0])]
    walked = 0
    for number in itertools.count(1):
        ends = []
        for begin, way in itertools.product(begins, ways):
            if not allowed(number, way):
                continue
            walked += 1
            if walked > most:
                raise TooManyWaysError
            state = copied(begin)
            yield Walk(number, way, set(walk(way, state, text, protocol, clinic, kit)))
            end_of_round(state, kit)
            if summary(state) not in seen:
                seen.append(summary(state))
                ends.append(state)
        begins = ends
        if not begins:
            return


def walk(
    way: Way, state: dict, text: Text, protocol: Protocol, clinic: Clinic, kit: Kit
) -> Iterator[Strike]:
    """Carries the state along one way; the rules look before each event."""
    for event in way.events:
        yield from strikes_at(event, state, text, protocol, clinic, kit)
        if isinstance(event, PartEnds):
            end_of_part(state)
        else:
            do(event, state, text, clinic, kit)


def every_way(protocol: Protocol) -> list[Way]:
    """All combinations of answers to all questions; those that make the same way, once."""
    steps = [step for part in protocol.parts for step in every_step(part.steps)]
    choices: dict[str, list[str]] = {}
    for step in steps:
        if step.fork:
            known = choices.setdefault(step.fork.question, [])
            known += [b.answer for b in step.fork.branches if b.answer not in known]
    ways: list[Way] = []
    for combination in itertools.product(*choices.values()):
        way = way_with(protocol, dict(zip(choices, combination, strict=True)))
        if way is not None and way not in ways:
            ways.append(way)
    return ways


def way_with(protocol: Protocol, answers: dict[str, str]) -> Way | None:
    """The way that these answers lead, or None when a fork has no such answer."""
    way = Way({}, [], [])
    for number, part in enumerate(protocol.parts, 1):
        way.events.append(part.begin)
        for step in part.steps:
            way.steps.clear()
            if not follow((step,), answers, way):
                return None
        last = part is protocol.parts[-1]
        way.events.append(PartEnds(last, number, tuple(way.steps)))
    return way


def follow(steps: tuple[Step, ...], answers: dict[str, str], way: Way) -> bool:
    """Adds the events of steps to a way; whether every fork had the answer."""
    for step in steps:
        way.steps.append(step.at)
        way.events.extend(step.phrases)
        if step.fork:
            answer = answers[step.fork.question]
            way.answers[step.fork.question] = answer
            taken = [b for b in step.fork.branches if b.answer == answer]
            if not taken or not follow(taken[0].steps, answers, way):
                return False
    return True


def fresh(clinic: Clinic, kit: Kit) -> dict:
    """Before the first round."""
    state: dict = {
        "items": {name: {"where": "ready", "kept at": ""} for name in kit.items},
        "places": {
            place.name: 2 if clinic.areas[place.area].zone is Zone.CONTAMINATED else 0
            for place in clinic.places.values()
        },
    }
    end_of_round(state, kit)
    return state


def copied(state: dict) -> dict:
    """The same state, to be changed."""
    copy = {
        fact: value.copy() if hasattr(value, "copy") else value for fact, value in state.items()
    }
    copy["items"] = {name: item.copy() for name, item in state["items"].items()}
    return copy


def summary(state: dict) -> dict:
    """What tells one end of a round from another: everything but where things happened."""
    return {
        "places": state["places"],
        "items": {
            name: {fact: item[fact] for fact in ("where", "kept at", "outside", "inside")}
            for name, item in state["items"].items()
        },
    }
