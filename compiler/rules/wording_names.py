"""What things are called: one name for each item, and the kind of a product, not its brand."""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator

from compiler.findings import Finding, Level, Mark, Rule
from compiler.model.clinic import Clinic
from compiler.model.kit import Item, Kit
from compiler.model.protocol import (
    Check,
    Discard,
    Disinfect,
    Keep,
    Protocol,
    Remove,
    Send,
    Step,
    Wear,
    every_step,
)
from compiler.rules.passages import Passage, place_of
from compiler.rules.wording_terms import NAMES_OF_KINDS, TAKEN_FOR, TRADE_SIGNS

TWO_NAMES = Rule(
    "item-with-two-names",
    Level.SHOULD,
    "The text calls an item by another name than the kit does (English).",
    ("plain-language-2011",),
)
TRADE_NAME = Rule(
    "trade-name",
    Level.MAY,
    "A text or a name carries a sign of a trade mark.",
)


def two_names(protocol: Protocol, texts: list[Passage], kit: Kit) -> Iterator[Finding]:
    """Words for a kind of garment that no item of the protocol is called by."""
    used = _used(protocol, kit)
    names = [item.name.casefold() for item in used]
    whole = protocol.source.text.casefold()
    for term, kind in NAMES_OF_KINDS.items():
        if term not in whole or any(term in name for name in names):
            continue
        same = [item for item in used if item.kind is kind]
        confused = [item for item in used if item.kind in TAKEN_FOR.get(kind, ())]
        pattern = re.compile(rf"\b{term}s?\b", re.IGNORECASE)
        places: list[tuple[Item, Mark]] = []
        for passage in texts:
            found = pattern.search(passage.text)
            meant = same or [item for item in confused if item.name in _handled(passage.step)]
            if found and meant:
                places.append((meant[0], Mark(place_of(passage, found[0]), "another name")))
        if places:
            item, first = places[0]
            yield Finding(
                TWO_NAMES,
                f'The text says "{first.span.text}" for what the kit calls "{item.name}".',
                first,
                tuple(mark for _, mark in places[1:5]),
                remedy=f'write "{item.name}" everywhere, or give the item its other name in '
                "kit.yaml and in the phrases",
            )


def _used(protocol: Protocol, kit: Kit) -> list[Item]:
    """Items that the protocol's phrases handle, in kit order."""
    handled = {
        name
        for part in protocol.parts
        for step in every_step(part.steps)
        for name in _handled(step)
    }
    return [item for name, item in kit.items.items() if name in handled]


def _handled(step: Step | None) -> set[str]:
    found: set[str] = set()
    for phrase in step.phrases if step else ():
        match phrase:
            case Remove(items=names):
                found.update(names)
            case Wear(item=name) | Discard(item=name) | Keep(item=name) | Send(item=name):
                found.add(name)
            case Check(item=name) | Disinfect(target=name):
                found.add(name)
            case _:
                pass
    return found


def trade_names(
    protocol: Protocol, texts: Iterable[Passage], clinic: Clinic, kit: Kit
) -> Iterator[Finding]:
    """Signs of a trade mark in texts, and in the names of items and disinfectants."""
    named = [(item.name, item.at) for item in kit.items.values()]
    named += [(agent.name, agent.at) for agent in clinic.agents.values()]
    named += [(protocol.title, protocol.at), (protocol.hazard, protocol.at)]
    if any(sign in protocol.source.text for sign in TRADE_SIGNS):
        for passage in texts:
            named += [
                (word, place_of(passage, word))
                for word in passage.text.split()
                if any(sign in word for sign in TRADE_SIGNS)
            ]
    for words, at in named:
        if any(sign in words for sign in TRADE_SIGNS):
            yield Finding(
                TRADE_NAME,
                f'"{words.strip(".,;:")}" is marked as a trade name.',
                Mark(at, "here"),
                remedy="name the kind of product; the sheet stays right when another is bought",
            )
