"""Phrases with their names looked up: syntax to the values that the checker understands."""

from __future__ import annotations

from collections.abc import Callable

from compiler.findings import Finding
from compiler.model.clinic import Clinic
from compiler.model.kit import Kit
from compiler.model.names import (
    UNKNOWN_AGENT,
    UNKNOWN_AREA,
    UNKNOWN_ITEM,
    UNKNOWN_PLACE,
    Names,
)
from compiler.model.protocol import (
    Activity,
    Begin,
    Check,
    Discard,
    Disinfect,
    Go,
    Grip,
    Hygiene,
    Keep,
    Observed,
    Phrase,
    Remove,
    Send,
    Takes,
    Touch,
    Wear,
)
from compiler.syntax.tree import Name, PhraseTree

ACTIVITIES = {
    "donning in": Activity.DONNING,
    "doffing in": Activity.DOFFING,
    "at work in": Activity.WORK,
}
"""The verbs that make a heading a part."""


class Lookup:
    """Everything that a phrase of one protocol set may name."""

    def __init__(self, clinic: Clinic | None, kit: Kit | None) -> None:
        self.clinic = clinic
        self.areas = Names(UNKNOWN_AREA, "area", clinic.areas if clinic else None)
        self.places = Names(UNKNOWN_PLACE, "place", clinic.places if clinic else None)
        self.agents = Names(UNKNOWN_AGENT, "agent", clinic.agents if clinic else None)
        self.items = Names(UNKNOWN_ITEM, "item", kit.items if kit else None)
        targets = [*kit.items, *clinic.places] if kit and clinic else None
        self.targets = Names(UNKNOWN_ITEM, "item or place", targets)
        self.findings: list[Finding] = []

    def phrase(self, tree: PhraseTree) -> Phrase | None:
        """The phrase, or None when a name in it means nothing; not for `decide` and `if`."""
        return _READERS[tree.verb](self, tree)

    def item(self, word: Name) -> str | None:
        """The item that is named."""
        return self.items.find(word, self.findings, (self.places,))

    def place(self, word: Name | None) -> str | None:
        """The place that is named; empty when none is."""
        return self.places.find(word, self.findings, (self.areas, self.items)) if word else ""

    def area(self, word: Name) -> str | None:
        """The area that is named."""
        return self.areas.find(word, self.findings, (self.places,))


def _begin(look: Lookup, tree: PhraseTree) -> Phrase | None:
    area = look.area(tree.names[0])
    return Begin(ACTIVITIES[tree.verb], area, tree.at) if area is not None else None


def _go(look: Lookup, tree: PhraseTree) -> Phrase | None:
    area = look.area(tree.names[0])
    return Go(area, tree.at) if area is not None else None


def _hygiene(look: Lookup, tree: PhraseTree) -> Phrase | None:
    return Hygiene(tree.verb == "handwash", tree.on_gloves, tree.at)


def _wear(look: Lookup, tree: PhraseTree) -> Phrase | None:
    item, place = look.item(tree.names[0]), look.place(tree.place)
    return None if item is None else Wear(item, place or "", tree.assistant, tree.at)


def _remove(look: Lookup, tree: PhraseTree) -> Phrase | None:
    items = tuple(filter(None, [look.item(word) for word in tree.names]))
    if not items:
        return None
    return Remove(tuple(dict.fromkeys(items)), Grip(tree.grip), tree.assistant, tree.at)


def _discard(look: Lookup, tree: PhraseTree) -> Phrase | None:
    item, place = look.item(tree.names[0]), look.place(tree.place)
    return None if item is None else Discard(item, place or "", tree.at)


def _keep(look: Lookup, tree: PhraseTree) -> Phrase | None:
    item, place = look.item(tree.names[0]), look.place(tree.place)
    return None if item is None or place is None else Keep(item, place, tree.at)


def _send(look: Lookup, tree: PhraseTree) -> Phrase | None:
    item, place = look.item(tree.names[0]), look.place(tree.place)
    return None if item is None else Send(item, place or "", tree.at)


def _disinfect(look: Lookup, tree: PhraseTree) -> Phrase | None:
    target = look.targets.find(tree.names[0], look.findings, (look.areas, look.agents))
    agent = ""
    if tree.agent:
        agent = look.agents.find(tree.agent, look.findings, (look.items, look.places)) or ""
    return None if target is None else Disinfect(target, agent, tree.at)


def _check(look: Lookup, tree: PhraseTree) -> Phrase | None:
    item = look.item(tree.names[0])
    return None if item is None else Check(item, tree.at)


def _observed(look: Lookup, tree: PhraseTree) -> Phrase | None:
    return Observed(tree.at)


def _touch(look: Lookup, tree: PhraseTree) -> Phrase | None:
    place = look.place(tree.names[0])
    return None if place is None else Touch(place, tree.at)


def _takes(look: Lookup, tree: PhraseTree) -> Phrase | None:
    return Takes(tree.seconds, tree.at)


_READERS: dict[str, Callable[[Lookup, PhraseTree], Phrase | None]] = {
    "donning in": _begin,
    "doffing in": _begin,
    "at work in": _begin,
    "go to": _go,
    "handrub": _hygiene,
    "handwash": _hygiene,
    "wear": _wear,
    "remove": _remove,
    "discard": _discard,
    "keep": _keep,
    "send": _send,
    "disinfect": _disinfect,
    "check": _check,
    "observed": _observed,
    "touch": _touch,
    "takes": _takes,
}
