"""Every step of a protocol: where it stands and what it holds, whatever the layout."""

from __future__ import annotations

from collections.abc import Hashable, Iterator
from dataclasses import dataclass, fields
from enum import Enum
from functools import cache
from operator import attrgetter
from typing import Any, cast

from compiler.model.protocol import (
    Begin,
    Check,
    Discard,
    Disinfect,
    Fork,
    Go,
    Hygiene,
    Keep,
    Observed,
    Part,
    Phrase,
    Protocol,
    Remove,
    Send,
    Step,
    Takes,
    Touch,
    Wear,
)
from compiler.syntax.spelling import alike

Bare = tuple[Any, ...]
"""A value without its places in the text: equal when nothing but the layout differs."""
Around = tuple[tuple[int, int], ...]
"""The forks around a step, outermost first: the place of the fork in the list of all steps, and
which of its answers."""


@dataclass(frozen=True, slots=True, eq=False)
class Placed:
    """One step where it stands."""

    step: Step
    part: int
    """Which part, counted from 0."""
    around: Around
    home: tuple[str, ...]
    """The part and the answers around it by name: the same in both versions if nobody moved or
    renamed anything."""
    words: str
    """The same for people: "Taking off, coverall state: intact"."""
    content: Bare
    """All that the step itself says and does, without what is below its answers."""
    deeds: tuple[tuple[str, str], ...]
    """What is done, and to what; without grips, places and agents."""

    @property
    def container(self) -> tuple[int, Around]:
        """The list it stands in."""
        return self.part, self.around

    @property
    def only_hygiene(self) -> bool:
        """Whether it is a beat of hand hygiene and nothing else."""
        return bool(self.deeds) and all(verb == "hygiene" for verb, _ in self.deeds)


def placed_steps(protocol: Protocol) -> list[Placed]:
    """All steps in reading order."""
    found: list[Placed] = []
    for number, part in enumerate(protocol.parts):
        home = (part.begin.activity.value,)
        _place(part.steps, number, (), home, part.title, found)
    return found


def _place(
    steps: tuple[Step, ...],
    part: int,
    around: Around,
    home: tuple[str, ...],
    words: str,
    found: list[Placed],
) -> None:
    for step in steps:
        here = len(found)
        deeds = tuple(_deeds(step))
        found.append(Placed(step, part, around, home, words, _content(step), deeds))
        if step.fork is None:
            continue
        for number, branch in enumerate(step.fork.branches):
            _place(
                branch.steps,
                part,
                (*around, (here, number)),
                (*home, alike(step.fork.question), alike(branch.answer)),
                f"{words}, {step.fork.question}: {branch.answer}",
                found,
            )


def _content(step: Step) -> Bare:
    return (
        plain(step.lead),
        plain(step.detail),
        tuple(map(plain, step.cautions)),
        tuple(map(bare, step.phrases)),
        _question(step.fork) if step.fork else None,
    )


def _question(fork: Fork) -> Bare:
    return (
        alike(fork.question),
        tuple((alike(b.answer), plain(b.lead), plain(b.detail)) for b in fork.branches),
    )


def plain(text: str) -> str:
    """A text with its white space folded."""
    return " ".join(text.split())


@cache
def _values(kind: Hashable) -> attrgetter[Any]:
    names = [field.name for field in fields(cast(Any, kind)) if field.name != "at"]
    return attrgetter(*names) if names else attrgetter("__class__")


def bare(value: Any) -> Bare:  # noqa: ANN401 -- any frozen value of the model
    """The fields of a value without its place in the text."""
    kind = type(value)
    return kind, _values(cast(Hashable, kind))(value)


def bare_protocol(protocol: Protocol) -> Bare:
    """A whole protocol: equal when nothing but the layout differs."""
    return (
        *map(plain, (protocol.title, protocol.hazard, protocol.edition, protocol.owner)),
        tuple(sorted(protocol.precautions)),
        protocol.valid_from,
        protocol.review_by,
        tuple(sorted((w.slug, plain(w.reason)) for w in protocol.waivers)),
        tuple(_bare_part(part) for part in protocol.parts),
    )


def _bare_part(part: Part) -> Bare:
    texts = plain(part.title), tuple(map(plain, part.introduction))
    return *texts, bare(part.begin), tuple(map(_bare_step, part.steps))


def _bare_step(step: Step) -> Bare:
    branches = step.fork.branches if step.fork else ()
    return _content(step), tuple(tuple(map(_bare_step, b.steps)) for b in branches)


VERBS: dict[type, str] = {
    Begin: "part",
    Go: "walk",
    Hygiene: "hygiene",
    Wear: "put on",
    Remove: "take off",
    Discard: "end",
    Keep: "end",
    Send: "end",
    Disinfect: "disinfect",
    Check: "check",
    Observed: "observed",
    Touch: "touch",
    Takes: "time",
}
"""What a phrase is about; keeping, sending and throwing away are three ends of one round."""


def things(phrase: Phrase) -> tuple[str, ...]:
    """What the phrase names first: items, a place, an area; nothing for hygiene."""
    match phrase:
        case Remove():
            return phrase.items
        case Wear() | Discard() | Keep() | Send() | Check():
            return (phrase.item,)
        case Disinfect():
            return (phrase.target,)
        case Go() | Begin():
            return (phrase.area,)
        case Touch():
            return (phrase.place,)
        case Hygiene() | Observed() | Takes():
            return ()


def _deeds(step: Step) -> Iterator[tuple[str, str]]:
    for phrase in step.phrases:
        verb = VERBS[type(phrase)]
        if verb != "time":
            named = things(phrase)
            yield from ((verb, thing) for thing in named or ("",))
    if step.fork:
        yield "decide", alike(step.fork.question)


def doing(step: Step) -> tuple[Phrase, ...]:
    """The phrases that do something: all but planning times."""
    return tuple(phrase for phrase in step.phrases if not isinstance(phrase, Takes))


def valued(value: Any) -> str:  # noqa: ANN401 -- a field of the model
    """A value of the model as an author writes it."""
    return str(value.value) if isinstance(value, Enum) else str(value)


def text_of_protocol(protocol: Protocol) -> str:
    """All words of a protocol in reading order."""
    placed = placed_steps(protocol)
    return " ".join((protocol.title, *(f"{p.step.lead} {p.step.detail}" for p in placed)))
