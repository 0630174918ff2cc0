"""The state after one step, in sentences."""

from __future__ import annotations

from collections.abc import Iterator

from compiler.analysis.state import Contamination, Owed, State, Where
from compiler.analysis.world import World
from compiler.following.table import BODY
from compiler.model.protocol import Keep, every_step

LEVEL_WORDS = {
    Contamination.CLEAN: "clean",
    Contamination.TOUCHED: "touched (may be contaminated)",
    Contamination.CONTAMINATED: "contaminated",
}
SHORT = {level: words.partition(" ")[0] for level, words in LEVEL_WORDS.items()}


def sentences(world: World, before: State, state: State) -> Iterator[str]:
    """What stands where and how clean it is; what changed in this step comes first."""
    changes = list(_changes(world, before, state))
    said = "; ".join(changes)
    yield f"Changed by this step: {said}." if said else "This step changes nothing."
    if state.area:
        yield f"The wearer stands in the {state.area}."
    glove = world.glove(state)
    hand = f"the outside of the {world.items[glove].name}" if glove >= 0 else "the bare hands"
    yield f"Things are handled with {hand}: {SHORT[world.hand_level(state)]}."
    for level in reversed(Contamination):
        if there := ", ".join(_at_level(world, state, level)):
            yield f"{LEVEL_WORDS[level].capitalize()}: {there}."
    yield from _hygiene(state)


def _named(world: World, state: State) -> Iterator[tuple[str, str, Contamination | None]]:
    """Every surface, what to say of where it is, and its level when it is there."""
    glove = world.glove(state)
    under = f"under the {world.items[glove].name}" if glove >= 0 else ""
    yield "bare hands", under, state.hands
    for name, level in zip(BODY, state.body, strict=True):
        yield name, "", level
    for index, (item, now) in enumerate(zip(world.items, state.items, strict=True)):
        match now.where:
            case Where.WORN:
                hidden = "" if world.exposed(state, index) else ", covered"
                yield item.name, f"worn{hidden}", now.outside
            case Where.HAND:
                yield item.name, "in the hand", now.outside
            case Where.KEPT:
                yield item.name, f"kept {keeping_place(world, now.place)}".strip(), now.outside
            case Where.DISCARDED:
                yield item.name, "thrown away", None
            case Where.SENT:
                yield item.name, "sent", None
            case Where.READY:
                yield item.name, "ready", None
    for place, level in zip(world.places, state.places, strict=True):
        yield place.name, "", level


def keeping_place(world: World, place: int) -> str:
    """On or in a place, as the protocol says it."""
    if place < 0:
        return ""
    name = world.places[place].name
    ending = f" in {name}".casefold()
    inside = any(
        isinstance(phrase, Keep)
        and " ".join(phrase.at.text.casefold().split()).endswith(ending)
        for part in world.protocol.parts
        for step in every_step(part.steps)
        for phrase in step.phrases
    )
    return f"{'in' if inside else 'on'} {name}"


def _changes(world: World, before: State, state: State) -> Iterator[str]:
    pairs = zip(_named(world, before), _named(world, state), strict=True)
    for (name, where, level), (_, now, new) in pairs:
        moved = now if now != where and name != "bare hands" else ""
        clean = f"now {SHORT[new]}" if new is not None and new != (level or 0) else ""
        if said := ", ".join(word for word in (moved, clean) if word):
            yield f"{name} {said}"


def _at_level(world: World, state: State, level: Contamination) -> Iterator[str]:
    """Surfaces of one level; clean places and a clean body go without saying."""
    quiet = {*BODY, *(place.name for place in world.places)}
    for name, where, its in _named(world, state):
        if its is level and not (level is Contamination.CLEAN and name in quiet):
            yield f"{name} ({where})" if where else name


def _hygiene(state: State) -> Iterator[str]:
    if state.owed is Owed.GLOVES:
        yield "Gloves have come off since hands were last cleaned."
    elif state.owed is Owed.ITEM:
        yield "An item has come off since hands were last cleaned."
    if state.handled:
        yield "Something that may be dirty was handled since hands were last cleaned."
    elif state.owed is Owed.NOTHING and state.cleaned:
        yield "Nothing that may be dirty was handled since hands were last cleaned."
