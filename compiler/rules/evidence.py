"""The earlier places that make a finding believable, and the words for them."""

from __future__ import annotations

from collections.abc import Callable

from compiler.analysis.state import Contamination
from compiler.analysis.visits import Answer, Trail, Visit
from compiler.analysis.world import items_of
from compiler.findings import Finding, Mark, Rule
from compiler.model.protocol import Discard, Hygiene, Keep, Phrase, Remove, Send, Wear
from compiler.source import Span

LEVEL_WORDS = {
    Contamination.CLEAN: "clean",
    Contamination.TOUCHED: "possibly contaminated",
    Contamination.CONTAMINATED: "contaminated",
}


def found(
    visit: Visit,
    rule: Rule,
    message: str,
    *path: Mark | None,
    label: str = "",
    remedy: str = "",
    at: Mark | None = None,
) -> Finding:
    """A finding at the phrase of a visit, with the way that led there."""
    return Finding(
        rule=rule,
        message=message,
        at=at or Mark(_here(visit), label),
        path=tuple(sorted((m for m in path if m), key=lambda m: m.span.order)),
        remedy=remedy,
    )


def _here(visit: Visit) -> Span:
    if visit.phrase is not None:
        return visit.phrase.at
    return visit.step.at if visit.step else visit.part.at


def last(visit: Visit, wanted: Callable[[Trail], bool], label: str) -> Mark | None:
    """The latest earlier event of this round that fits, as a mark."""
    for node in visit.trail.this_round():
        if wanted(node):
            return mark(node, label)
    return None


def mark(node: Trail, label: str) -> Mark | None:
    """The place of an event."""
    if isinstance(node.event, Answer):
        return Mark(node.event.branch.at, label)
    at = getattr(node.event, "at", None)
    return Mark(at, label) if at else None


def put_on(visit: Visit, item: str) -> Mark | None:
    """Where an item was last put on."""
    return last(
        visit, lambda n: isinstance(n.event, Wear) and n.event.item == item, "put on here"
    )


def taken_off(visit: Visit, item: str) -> Mark | None:
    """Where an item was last taken off."""
    return last(
        visit, lambda n: isinstance(n.event, Remove) and item in n.event.items, "taken off here"
    )


def ended(visit: Visit, item: str) -> Mark | None:
    """Where an item was last discarded, kept or sent."""
    return last(
        visit,
        lambda n: isinstance(n.event, Discard | Keep | Send) and n.event.item == item,
        "its last use ended here",
    )


def last_removal(visit: Visit) -> tuple[str, Mark | None]:
    """What came off last, and where."""
    for node in visit.trail.this_round():
        if isinstance(node.event, Remove):
            return both(node.event.items), mark(node, "comes off here")
    return "last item", None


def hands_dirtied(visit: Visit, level: Contamination) -> Mark | None:
    """Where the hand, gloved or bare, reached a level."""
    world = visit.world
    reached: Trail | None = None
    for node in visit.trail.this_round():
        if world.hand_level(node.state) < level:
            break
        reached = node
    if reached is None or isinstance(reached.event, Hygiene):
        return None
    return mark(reached, f"hands are {LEVEL_WORDS[level]} from here")


def the(visit: Visit, indices: list[int]) -> str:
    """Items by index, as words."""
    return both(tuple(visit.world.items[i].name for i in indices))


def hand_words(visit: Visit) -> str:
    """The surface that touches things, named: bare hands, or gloves."""
    glove = visit.world.glove(visit.before)
    return "hands" if glove < 0 else visit.world.items[glove].name


def clean_first(visit: Visit, before: str = "this") -> str:
    """What to do about dirty hands here, in a way that the clinic's policy allows."""
    world = visit.world
    if world.glove(visit.before) >= 0 and not world.clinic.hygiene_on_gloves:
        return f"take the gloves off and clean your hands before {before}"
    return f"add a hand hygiene step before {before}"


def both(names: tuple[str, ...]) -> str:
    """Names as words: "gown and gloves"."""
    if len(names) < 2:
        return "".join(names)
    return f"{', '.join(names[:-1])} and {names[-1]}"


def be(name: str, singular: str = "is", plural: str = "are") -> str:
    """The verb that goes with an item's name: gloves are, the gown is."""
    return plural if name.endswith("s") or " and " in name else singular


def names(phrase: Phrase | None) -> str:
    """The items a phrase speaks of, as words."""
    return both(items_of(phrase)) if phrase else ""
