"""Whether every item goes on, comes off and ends somewhere, once, as hands can do it."""

from __future__ import annotations

from collections.abc import Iterator
from types import NoneType

from compiler.analysis.state import Where
from compiler.analysis.visits import Check as Look
from compiler.analysis.visits import Visit
from compiler.analysis.world import FACE_COVERS
from compiler.findings import Finding, Level, Rule
from compiler.model.kit import AfterUse, Kind
from compiler.model.protocol import (
    Check,
    Discard,
    Disinfect,
    Hygiene,
    Keep,
    Remove,
    Send,
    Wear,
)
from compiler.rules.evidence import be, ended, found, put_on, taken_off, the
from compiler.rules.sights import each, lying_over, named

WORN_TWICE = Rule(
    "worn-twice", Level.MUST, "An item is put on while it is already worn.", waivable=False
)
NOT_WORN = Rule(
    "taken-off-unworn",
    Level.MUST,
    "An item is taken off that is not worn at that moment.",
    waivable=False,
)
NOT_AT_HAND = Rule(
    "handled-out-of-reach",
    Level.MUST,
    "An item is checked, wiped, kept, discarded or sent while it is not at hand.",
    waivable=False,
)
STILL_WORN = Rule(
    "still-worn-at-end",
    Level.MUST,
    "An item is still worn after the last part.",
    waivable=False,
)
FROM_UNDER = Rule(
    "taken-from-under",
    Level.MUST,
    "An item comes off while another lies over it.",
    waivable=False,
)
LEFT_IN_HAND = Rule(
    "left-in-hand",
    Level.MUST,
    "An item that came off is neither discarded, kept nor sent.",
    waivable=False,
)
RULES = (
    WORN_TWICE,
    NOT_WORN,
    NOT_AT_HAND,
    STILL_WORN,
    FROM_UNDER,
    LEFT_IN_HAND,
)


def worn_twice(visit: Visit) -> Iterator[Finding]:
    """Put on while worn."""
    assert isinstance(visit.phrase, Wear)
    name = visit.phrase.item
    if visit.before.items[visit.world.item_index[name]].where is Where.WORN:
        yield found(
            visit,
            WORN_TWICE,
            f"The {name} {be(name)} put on a second time while still worn.",
            put_on(visit, name),
            label="put on again here",
            remedy=f"take the {name} off first, or drop one of the two steps",
        )


def taken_off_unworn(visit: Visit) -> Iterator[Finding]:
    """Taken off while not worn."""
    assert isinstance(visit.phrase, Remove)
    for name in visit.phrase.items:
        if visit.before.items[visit.world.item_index[name]].where is not Where.WORN:
            earlier = taken_off(visit, name)
            again = "has already come off" if earlier else "was never put on"
            if be(name) == "are":
                again = again.replace("has", "have").replace("was", "were")
            yield found(
                visit,
                NOT_WORN,
                f"The {name} {be(name)} taken off, but {again} on this way.",
                earlier,
                label="taken off here",
                remedy=f"drop this, or put the {name} on earlier on this way",
            )


def handled_out_of_reach(visit: Visit) -> Iterator[Finding]:
    """Checked, wiped, kept, discarded or sent while not worn or in the hand."""
    phrase = visit.phrase
    assert isinstance(phrase, Check | Disinfect | Keep | Discard | Send)
    name = phrase.target if isinstance(phrase, Disinfect) else phrase.item
    index = visit.world.item_index.get(name)
    if index is None:
        return
    if visit.before.items[index].where in _reachable(visit, index):
        return
    verb = {
        Check: "checked",
        Disinfect: "wiped",
        Keep: "kept",
        Discard: "discarded",
        Send: "sent",
    }
    why = "is not on the face" if _seal(visit, index) else "is not at hand"
    if be(name) == "are":
        why = why.replace("is", "are", 1)
    yield found(
        visit,
        NOT_AT_HAND,
        f"The {name} {be(name)} {verb[type(phrase)]} here, but {why} at that moment.",
        ended(visit, name) or taken_off(visit, name),
        label=f"{verb[type(phrase)]} here",
        remedy=f"put the {name} on before this step"
        if _seal(visit, index)
        else f"put the {name} on, or take it off, before this step",
    )


def _seal(visit: Visit, index: int) -> bool:
    return isinstance(visit.phrase, Check) and visit.world.kinds[index] in FACE_COVERS


def _reachable(visit: Visit, index: int) -> set[Where]:
    if _seal(visit, index):
        return {Where.WORN}
    if isinstance(visit.phrase, Check):
        return {Where.READY, Where.WORN, Where.HAND, Where.KEPT}
    reachable = {Where.HAND}
    if isinstance(visit.phrase, Disinfect):
        reachable |= {Where.WORN, Where.KEPT}
    elif not isinstance(visit.phrase, Keep):
        # what hangs there from before can be thrown away without being worn again
        reachable.add(Where.KEPT)
        if visit.world.items[index].after_use is AfterUse.KEEP:
            reachable.add(Where.READY)
    return reachable


def still_worn_at_end(visit: Visit) -> Iterator[Finding]:
    """Worn after the last part; clothing may stay on."""
    if not visit.last_part:
        return
    for index, kind in enumerate(visit.world.kinds):
        if kind is Kind.CLOTHING or not visit.before.worn(index):
            continue
        name = visit.world.items[index].name
        yield found(
            visit,
            STILL_WORN,
            f"The {name} {be(name)} still worn at the end.",
            label="the last step ends here",
            at=put_on(visit, name),
            remedy=f'add a step with "remove {name}" on this way',
        )


def taken_from_under(visit: Visit) -> Iterator[Finding]:
    """Taken off while something that lies over it stays on."""
    phrase = visit.phrase
    assert isinstance(phrase, Remove)
    joined = {visit.world.item_index[name] for name in phrase.items}
    for index in joined:
        if not visit.before.worn(index):
            continue
        over = [i for i, _ in visit.world.covering(visit.before, index) if i not in joined]
        if over:
            name, above = visit.world.items[index].name, the(visit, over)
            yield found(
                visit,
                FROM_UNDER,
                f"The {name} {be(name, 'comes', 'come')} off while the {above} "
                f"{be(above)} still worn over {be(name, 'it', 'them')}.",
                put_on(visit, visit.world.items[over[0]].name),
                label="comes off here",
                remedy=f"take the {above} off first",
            )


def left_in_hand(visit: Visit) -> Iterator[Finding]:
    """In the hand when hands are cleaned, when something is put on, or when a part ends."""
    for index, item in enumerate(visit.before.items):
        if item.where is not Where.HAND:
            continue
        name = visit.world.items[index].name
        removal = taken_off(visit, name)
        if isinstance(visit.phrase, Wear) and visit.phrase.item == name:
            continue
        row = visit.world.items[index]
        where = f" at {row.keep_at}" if row.after_use is AfterUse.KEEP and row.keep_at else ""
        yield found(
            visit,
            LEFT_IN_HAND,
            f"The {name} {be(name, 'comes', 'come')} off and nothing says where "
            f"{be(name, 'it goes', 'they go')}.",
            at=removal,
            label="still in the hand here",
            remedy="say where it goes in the same step, such as "
            f'"{row.after_use.value} {name}{where}"',
        )


CHECKS = (
    Look((Wear,), worn_twice, named),
    Look((Remove,), taken_off_unworn, named),
    Look((Check, Disinfect, Keep, Discard, Send), handled_out_of_reach, named),
    Look((NoneType,), still_worn_at_end, each(Where.WORN)),
    Look((Remove,), taken_from_under, lying_over),
    Look((Wear, Hygiene, NoneType), left_in_hand, each(Where.HAND)),
)
