"""Every path of a round, one by one, from every state in which a round can end.

Written from the table in `compiler/README.md` and nothing else, so that it can be compared with
that page line by line. It shares only the model types with the product: no merging of states, no
dropping of facts, no parent pointers. `strikes.py` beside it holds the rules.
"""

from __future__ import annotations

import copy
import itertools
from collections.abc import Iterator
from dataclasses import dataclass

from compiler.model.clinic import Clinic, Zone
from compiler.model.kit import Kit
from compiler.model.protocol import Protocol, Step, every_step
from compiler.source import Span
from tests.reference.effects import Text, do, end_of_part, end_of_round, read_text
from tests.reference.scene import PartEnds, Strike
from tests.reference.strikes import reusable_never_kept, strikes_at


@dataclass(frozen=True)
class Way:
    """One way through a whole round."""

    answers: dict[str, str]
    """The answer to each question that comes up on it."""
    events: list[object]
    """Phrases and ends of parts, in order."""
    steps: list[Span]
    """The places of the step under way and of those inside it."""


class TooManyWaysError(Exception):
    """The protocol is too large to be listed path by path."""


def check_by_enumeration(
    protocol: Protocol,
    clinic: Clinic,
    kit: Kit,
    answers: tuple[tuple[str, str], ...] = (),
    most: int = 20_000,
) -> dict[Strike, int]:
    """Each strike with the first round in which it is met; only ways with these `answers`."""
    text = read_text(protocol, clinic, kit)
    ways = [way for way in every_way(protocol) if agrees(way, answers)]
    found = {strike: 1 for strike in reusable_never_kept(protocol, kit)}
    ends = [fresh(clinic, kit)]
    seen = [summary(ends[0])]
    number, walks = 1, 0
    while ends:
        next_ends = []
        for begin, way in itertools.product(ends, ways):
            walks += 1
            if walks > most:
                raise TooManyWaysError
            state = copy.deepcopy(begin)
            for strike in walk(way, state, text, protocol, clinic, kit):
                found.setdefault(strike, number)
            end_of_round(state, kit)
            if summary(state) not in seen:
                seen.append(summary(state))
                next_ends.append(state)
        ends, number = next_ends, number + 1
    return found


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


def agrees(way: Way, answers: tuple[tuple[str, str], ...]) -> bool:
    """Whether a way gives these answers wherever their questions come up."""
    return all(way.answers.get(question, answer) == answer for question, answer in answers)


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


def summary(state: dict) -> dict:
    """What tells one end of a round from another: everything but where things happened."""
    return {
        "places": state["places"],
        "items": {
            name: {fact: item[fact] for fact in ("where", "kept at", "outside", "inside")}
            for name, item in state["items"].items()
        },
    }
