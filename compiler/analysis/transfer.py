"""What each kind of phrase does to the state. Judges nothing: faults are found by the rules.

A phrase that makes no sense where it stands (taking off what is not worn) does the least
surprising thing, so that one fault is not reported again by everything that follows.
"""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

from compiler.analysis.state import (
    FRESH,
    NONE,
    Body,
    Contamination,
    ItemState,
    Owed,
    State,
    Where,
)
from compiler.analysis.world import (
    CHANGED_INTO,
    FACE,
    FACE_COVERS,
    HAIR,
    TORSO,
    World,
)
from compiler.model.clinic import Zone
from compiler.model.kit import Kind
from compiler.model.protocol import (
    Begin,
    Check,
    Discard,
    Disinfect,
    Go,
    Grip,
    Hygiene,
    Keep,
    Remove,
    Send,
    Touch,
    Wear,
)


def next_round(world: World, state: State) -> State:
    """What the end of one round leaves for the next: kept items and places, no more."""
    items = tuple(next_item(world, i, item) for i, item in enumerate(state.items))
    return State(items=items, places=state.places)


def next_item(world: World, index: int, item: ItemState) -> ItemState:
    """What the end of one round leaves of an item."""
    if item.where is not Where.KEPT:
        return FRESH
    rests = world.items[index].rest > 0
    outside = min(item.outside, Contamination.TOUCHED) if rests else item.outside
    return item._replace(outside=outside, checked=False, tallied=False)


def _with(state: State, index: int, item: ItemState) -> State:
    return state._replace(items=(*state.items[:index], item, *state.items[index + 1 :]))


def _place(state: State, index: int, level: Contamination) -> State:
    places = (
        *state.places[:index],
        max(state.places[index], level),
        *state.places[index + 1 :],
    )
    return state._replace(places=places)


def dirty_hand(world: World, state: State, level: Contamination) -> State:
    """The hand, gloved or bare, touches something of that level."""
    glove = world.glove(state)
    if glove < 0:
        return state._replace(hands=max(state.hands, level))
    item = state.items[glove]
    return _with(state, glove, item._replace(outside=max(item.outside, level)))


def _arrives(world: World, state: State, phrase: Begin | Go) -> bool:
    """Whether the wearer comes into an area, or begins work in the one they are in."""
    known = phrase.area in world.clinic.areas
    return known and (phrase.area != state.area or phrase.at.start in world.work_begins)


def soiled(phrase: Begin | Go, index: int, world: World, state: State) -> State:
    """What a contaminated area does to the outside of one item."""
    if not (state.worn(index) and _arrives(world, state, phrase)):
        return state
    if not world.exposed(state, index):
        return state
    soiled = state.items[index]._replace(outside=Contamination.CONTAMINATED)
    return _with(state, index, soiled)


def _arrive(world: World, state: State, phrase: Begin | Go) -> State:
    if isinstance(phrase, Begin):
        state = state._replace(gloves_due=False)
    if not _arrives(world, state, phrase):
        return state
    state = state._replace(area=phrase.area)
    if world.zone(phrase.area) is not Zone.CONTAMINATED:
        return state
    follow = phrase.at.start in world.gloves_inside
    if world.glove(state) < 0 and not follow:
        state = state._replace(hands=Contamination.CONTAMINATED, handled=True)
    return state._replace(entered=True, gloves_due=follow)


def _clean_hands(world: World, state: State, phrase: Hygiene) -> State:
    # Handrub against spores cleans nothing; the rule says so, and here the hands count as
    # clean so that the one fault is not told again at every later step.
    state = state._replace(cleaned=True, owed=Owed.NOTHING, handled=False)
    glove = world.glove(state)
    if glove < 0:
        return state._replace(hands=Contamination.CLEAN)
    return _with(state, glove, state.items[glove]._replace(outside=Contamination.CLEAN))


def _touch_body(world: World, state: State, index: int, level: Contamination) -> State:
    """What touches the face, hair or clothing while an item goes on or comes off."""
    kind, body = world.kinds[index], state.body
    if kind in FACE:
        body = body._replace(face=max(body.face, level))
    elif kind in HAIR:
        body = body._replace(hair=max(body.hair, level))
    elif kind in TORSO:
        body = body._replace(clothing=max(body.clothing, level))
    elif kind is not Kind.GLOVES:
        body = body._replace(feet=max(body.feet, level))
    return state._replace(body=Body(*body))


def _wear(world: World, state: State, phrase: Wear) -> State:
    index = world.item_index[phrase.item]
    item = state.items[index]
    if item.where is Where.WORN:
        return state
    if item.where in {Where.DISCARDED, Where.SENT, Where.READY}:
        item = FRESH._replace(tallied=item.tallied)
    if not phrase.assistant:
        hand = world.hand_level(state)
        state = dirty_hand(world, state, item.outside)
        item = item._replace(outside=max(item.outside, hand), inside=max(item.inside, hand))
    state = _touch_body(world, state, index, item.inside)
    over = frozenset(i for i in world.ordered[index] if state.worn(i))
    for other in over:
        # what was put on over an earlier wearing of this item lies below it now
        below = state.items[other]
        state = _with(state, other, below._replace(over=below.over - {index}))
    item = item._replace(where=Where.WORN, place=-1, checked=False, over=over)
    state = _with(state, index, item)
    cleaned = state.cleaned or world.kinds[index] not in CHANGED_INTO
    state = state._replace(cleaned=cleaned)
    if world.zone(state.area) is Zone.CONTAMINATED and world.exposed(state, index):
        # Fresh gloves taken inside while undressing reach the face: no more than possibly
        # contaminated until they touch something, or until work begins.
        # Source: Handbook of COVID-19 prevention and treatment, Zhejiang University 2020.
        worn = state.items[index]
        outside = max(worn.outside, Contamination.TOUCHED)
        state = _with(state, index, worn._replace(outside=outside))
    return state


def _remove(world: World, state: State, phrase: Remove) -> State:
    for name in phrase.items:
        index = world.item_index[name]
        if not state.worn(index):
            continue
        state = _take_off(world, state, index, phrase)
    return state


def _take_off(world: World, state: State, index: int, phrase: Remove) -> State:
    outside_grip, gloves = phrase.grip is Grip.OUTSIDE, index in world.gloves
    state = _release(state, index)
    item = state.items[index]
    caught = item.outside if outside_grip else min(item.outside, Contamination.TOUCHED)
    if gloves:
        caught = max(caught, Contamination.TOUCHED)
    if not phrase.assistant or gloves:
        hand = world.hand_level(state)
        state = _touch_body(world, state, index, hand)
        state = dirty_hand(world, state, caught)
        if outside_grip:
            item = item._replace(outside=max(item.outside, hand))
    state = _with(state, index, item)
    return state._replace(
        owed=max(state.owed, Owed.GLOVES if gloves else Owed.ITEM), handled=True
    )


def _release(state: State, index: int) -> State:
    """An item that is put somewhere is no longer worn, even if nobody took it off."""
    return _with(state, index, state.items[index]._replace(where=Where.HAND, over=NONE))


def _let_go(world: World, state: State, phrase: Discard | Send) -> State:
    where = Where.SENT if isinstance(phrase, Send) else Where.DISCARDED
    index = world.item_index[phrase.item]
    state = _release(state, index)
    item = state.items[index]
    state = dirty_hand(world, state, min(item.outside, Contamination.TOUCHED))
    gone = FRESH._replace(where=where, tallied=item.tallied)
    return _with(state, index, gone)._replace(handled=True)


def _keep(world: World, state: State, phrase: Keep) -> State:
    index = world.item_index[phrase.item]
    place = world.place_index.get(phrase.place, -1)
    state = _release(state, index)
    item = state.items[index]
    hand = world.hand_level(state)
    state = dirty_hand(world, state, min(item.outside, Contamination.TOUCHED))
    if place >= 0:
        met = item.outside
        item = item._replace(outside=max(item.outside, state.places[place]))
        if not world.items[index].rest:
            # what rests in its own bag is kept apart; the bag is thrown away with it
            state = _place(state, place, met)
        if hand is Contamination.CONTAMINATED:
            state = _place(state, place, hand)
    kept = item._replace(where=Where.KEPT, place=place)
    return _with(state, index, kept)._replace(handled=True)


def _disinfect(world: World, state: State, phrase: Disinfect) -> State:
    if phrase.target in world.item_index:
        index = world.item_index[phrase.target]
        item = state.items[index]
        if index != world.glove(state):
            state = dirty_hand(world, state, min(item.outside, Contamination.TOUCHED))
        state = _with(state, index, state.items[index]._replace(outside=Contamination.CLEAN))
        return state._replace(handled=state.handled or item.outside > Contamination.CLEAN)
    if phrase.target in world.place_index:
        place = world.place_index[phrase.target]
        level = state.places[place]
        state = dirty_hand(world, state, min(level, Contamination.TOUCHED))
        places = (*state.places[:place], Contamination.CLEAN, *state.places[place + 1 :])
        dirty = level > Contamination.CLEAN
        return state._replace(places=places, handled=state.handled or dirty)
    return state


def _check(world: World, state: State, phrase: Check) -> State:
    index = world.item_index[phrase.item]
    item = state.items[index]
    if item.where is Where.WORN and world.kinds[index] in FACE_COVERS:
        # a seal check lays both hands on the front
        hand = world.hand_level(state)
        state = dirty_hand(world, state, item.outside)
        item = item._replace(outside=max(item.outside, hand))
    return _with(state, index, item._replace(checked=True, tallied=True))


def _touch(world: World, state: State, phrase: Touch) -> State:
    place = world.place_index.get(phrase.place, -1)
    if place < 0:
        return state
    hand, level = world.hand_level(state), state.places[place]
    state = dirty_hand(world, state, level)
    state = _place(state, place, hand)
    return state._replace(handled=state.handled or max(hand, level) > Contamination.CLEAN)


TRANSFERS: dict[type, Callable[[World, State, Any], State]] = {
    Begin: _arrive,
    Go: _arrive,
    Hygiene: _clean_hands,
    Wear: _wear,
    Remove: _remove,
    Discard: _let_go,
    Send: _let_go,
    Keep: _keep,
    Disinfect: _disinfect,
    Check: _check,
    Touch: _touch,
}
"""What each kind of phrase does; kinds that are not here change nothing."""
