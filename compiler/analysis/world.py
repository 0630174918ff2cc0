"""What stays the same on every way through a protocol: items, places, who covers whom."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass
from typing import Any

from compiler.analysis.state import FRESH, Contamination, State
from compiler.model.clinic import Clinic, Place, Zone
from compiler.model.kit import Item, Kind, Kit
from compiler.model.protocol import (
    Activity,
    Check,
    Discard,
    Disinfect,
    Go,
    Keep,
    Phrase,
    Protocol,
    Remove,
    Send,
    Touch,
    Wear,
    every_step,
)

EYES = frozenset({Kind.GOGGLES, Kind.FACE_SHIELD})
BODY_COVERS = frozenset({Kind.GOWN, Kind.COVERALL, Kind.APRON})
SLEEVED = frozenset({Kind.GOWN, Kind.COVERALL})
FACE_COVERS = frozenset({Kind.MASK, Kind.RESPIRATOR})
BREATHING = frozenset({Kind.RESPIRATOR, Kind.POWERED_RESPIRATOR})
FACE = EYES | FACE_COVERS | {Kind.POWERED_RESPIRATOR}
HAIR = frozenset({Kind.HOOD, Kind.CAP})
TORSO = BODY_COVERS | {Kind.CLOTHING}
CHANGED_INTO = frozenset({Kind.BOOTS, Kind.CLOTHING})
"""Put on in the changing room, before the first hand hygiene.

Source: steps to put on PPE, World Health Organization 2016 (filovirus), from memory.
"""


@dataclass(frozen=True, slots=True)
class Cover:
    """A kind that lies over another kind."""

    over: Kind
    under: Kind
    completely: bool
    """Whether nothing of what is below can be reached from outside."""


# Common practice, no source: a garment that lies over another has to come off first.
COVERS = (
    Cover(Kind.BOOT_COVERS, Kind.BOOTS, True),
    Cover(Kind.HOOD, Kind.CAP, True),
    Cover(Kind.HOOD, Kind.MASK, False),
    Cover(Kind.HOOD, Kind.RESPIRATOR, False),
    Cover(Kind.GOWN, Kind.CLOTHING, True),
    Cover(Kind.COVERALL, Kind.CLOTHING, True),
)


ORDER_MATTERS = (
    frozenset({Kind.HOOD, Kind.MASK}),
    frozenset({Kind.HOOD, Kind.RESPIRATOR}),
    frozenset({Kind.GLOVES, Kind.GOWN}),
    frozenset({Kind.GLOVES, Kind.COVERALL}),
    frozenset({Kind.GLOVES}),
)
"""Pairs of kinds of which it matters which went on later."""


class Setting:
    """What all protocols of one clinic share: its places, and some items of its kit."""

    def __init__(self, clinic: Clinic, kit: Kit, names: Iterable[str] | None = None) -> None:
        """Indexes all places and the items named, or all of the kit."""
        self.clinic = clinic
        self.kit = kit
        wanted = kit.items if names is None else dict.fromkeys(names)
        self.items: tuple[Item, ...] = tuple(kit.items[n] for n in wanted if n in kit.items)
        self.places: tuple[Place, ...] = tuple(clinic.places.values())
        self.item_index = {item.name: i for i, item in enumerate(self.items)}
        self.place_index = {place.name: i for i, place in enumerate(self.places)}
        self.kinds = tuple(item.kind for item in self.items)
        self.gloves = frozenset(i for i, k in enumerate(self.kinds) if k is Kind.GLOVES)
        self.gloves_outermost_first = tuple(
            sorted(self.gloves, key=lambda i: self.items[i].layer == "inner")
        )
        self.above = tuple(self._lying_over(i) for i in range(len(self.items)))
        """For each item, the items that can lie over it, and how."""
        self.ordered = tuple(self._ordered_with(i) for i in range(len(self.items)))
        """For each item, the items for which it matters which of the two went on later."""
        self.of_kinds: dict[frozenset[Kind], tuple[int, ...]] = {}
        """Items of some kinds, once they are known."""
        self.start = State(
            items=(FRESH,) * len(self.items),
            places=tuple(self._at_first(place) for place in self.places),
        )

    def _at_first(self, place: Place) -> Contamination:
        area = self.clinic.areas.get(place.area)
        inside = area is not None and area.zone is Zone.CONTAMINATED
        return Contamination.CONTAMINATED if inside else Contamination.CLEAN

    def _lying_over(self, index: int) -> tuple[tuple[int, Cover], ...]:
        under = self.items[index]
        pairs = ((i, _cover(over, under)) for i, over in enumerate(self.items))
        return tuple((i, cover) for i, cover in pairs if cover)

    def _ordered_with(self, index: int) -> tuple[int, ...]:
        kind = self.kinds[index]
        return tuple(
            i
            for i, other in enumerate(self.kinds)
            if i != index and any({kind, other} <= kinds for kinds in ORDER_MATTERS)
        )


class World:
    """One protocol with its clinic and kit, indexed for the analysis."""

    def __init__(
        self, protocol: Protocol, clinic: Clinic, kit: Kit, setting: Setting | None = None
    ) -> None:
        """Indexes the items and places that the protocol uses, or takes an index of more."""
        names = dict.fromkeys(_item_names(protocol))
        if setting is None:
            setting = Setting(clinic, kit, names)
        self.protocol = protocol
        self.clinic = clinic
        self.kit = kit
        self.setting = setting
        self.items = setting.items
        self.places = setting.places
        self.item_index = setting.item_index
        self.place_index = setting.place_index
        self.kinds = setting.kinds
        self.gloves = setting.gloves
        self.gloves_outermost_first = setting.gloves_outermost_first
        self.above = setting.above
        self.ordered = setting.ordered
        self.used = (
            _indexes(names, self.item_index),
            _indexes(_place_names(protocol), self.place_index),
        )
        """The items and the places that the protocol names."""
        self.effects: dict[int, tuple[Any, ...]] = {}
        """What each phrase does, by its identity, once it is known."""
        self.named: dict[int, Any] = {}
        """What each phrase names, by its identity, once it is known."""
        self.work_begins = frozenset(_work_begins(protocol))
        """Where parts begin by which work has been done, by offset in the file."""
        self.gloves_inside = frozenset(self._gloves_inside())
        """Ways in, by offset in the file, after which gloves are the next thing touched."""

    def start(self) -> State:
        """The first round begins: everything fresh, places of contaminated areas dirty."""
        return self.setting.start

    def zone(self, area: str) -> Zone | None:
        """How clean an area is meant to be; nothing for an unknown or empty name."""
        found = self.clinic.areas.get(area)
        return found.zone if found else None

    def _gloves_inside(self) -> Iterator[int]:
        for part in self.protocol.parts:
            entered: list[int] = []
            if part.begin.activity is not Activity.DONNING:
                continue
            for phrase in (p for step in every_step(part.steps) for p in step.phrases):
                if isinstance(phrase, Go) and self.zone(phrase.area) is Zone.CONTAMINATED:
                    entered.append(phrase.at.start)
                elif isinstance(phrase, Touch):
                    entered.clear()
                elif (
                    isinstance(phrase, Wear) and self.item_index.get(phrase.item) in self.gloves
                ):
                    yield from entered

    def of_kinds(self, kinds: frozenset[Kind]) -> tuple[int, ...]:
        """Items of some kinds, in the order of the items."""
        known = self.setting.of_kinds.get(kinds)
        if known is None:
            known = tuple(i for i, kind in enumerate(self.kinds) if kind in kinds)
            self.setting.of_kinds[kinds] = known
        return known

    def later(self, state: State, one: int, other: int) -> bool:
        """Whether of two worn items `one` was put on later."""
        return other in state.items[one].over and one not in state.items[other].over

    def covering(self, state: State, index: int) -> Iterator[tuple[int, Cover]]:
        """Worn items that lie over item `index`."""
        for other, cover in self.above[index]:
            if state.worn(other) and (cover.completely or self.later(state, other, index)):
                yield other, cover

    def exposed(self, state: State, index: int) -> bool:
        """Whether the outside of a worn item can be reached."""
        return not any(cover.completely for _, cover in self.covering(state, index))

    def glove(self, state: State) -> int:
        """The outermost worn gloves, or -1 on bare hands."""
        found = -1
        for index in self.gloves_outermost_first:
            if not state.worn(index):
                continue
            inner = self.items[index].layer == "inner"
            if found < 0:
                found = index
            elif inner and self.items[found].layer != "inner":
                break
            elif self.later(state, index, found):
                found = index
        return found

    def hand_level(self, state: State) -> Contamination:
        """How clean the surface is that touches things: outermost gloves or bare hands."""
        glove = self.glove(state)
        return state.hands if glove < 0 else state.items[glove].outside

    def worn_of(self, state: State, kinds: frozenset[Kind]) -> list[int]:
        """Worn items of some kinds."""
        return [i for i in self.of_kinds(kinds) if state.worn(i)]


def _cover(over: Item, under: Item) -> Cover | None:
    if over.kind is Kind.GLOVES and under.kind is Kind.GLOVES:
        layered = over.layer != "inner" and under.layer == "inner"
        return Cover(Kind.GLOVES, Kind.GLOVES, True) if layered else None
    return next((c for c in COVERS if c.over is over.kind and c.under is under.kind), None)


def items_of(phrase: Phrase) -> tuple[str, ...]:
    """The names of items, and of places wiped, that a phrase speaks of."""
    match phrase:
        case Remove():
            return phrase.items
        case Disinfect():
            return (phrase.target,)
        case Wear() | Keep() | Check() | Discard() | Send():
            return (phrase.item,)
        case _:
            return ()


def places_of(phrase: Phrase) -> tuple[str, ...]:
    """The names of places, and of items wiped, that a phrase speaks of."""
    match phrase:
        case Wear():
            return (phrase.source,)
        case Keep() | Discard() | Send() | Touch():
            return (phrase.place,)
        case Disinfect():
            return (phrase.target,)
        case _:
            return ()


def _item_names(protocol: Protocol) -> Iterator[str]:
    for part in protocol.parts:
        for step in every_step(part.steps):
            for phrase in step.phrases:
                yield from items_of(phrase)


def _place_names(protocol: Protocol) -> Iterator[str]:
    for part in protocol.parts:
        for step in every_step(part.steps):
            for phrase in step.phrases:
                yield from places_of(phrase)


def _indexes(names: Iterable[str], index: Mapping[str, int]) -> tuple[int, ...]:
    found = (index.get(name) for name in dict.fromkeys(names))
    return tuple(i for i in found if i is not None)


def _work_begins(protocol: Protocol) -> Iterator[int]:
    """Each part of work; taking off counts when no part of work comes before it."""
    begun = False
    for part in protocol.parts:
        work = part.begin.activity is Activity.WORK
        if work or (part.begin.activity is Activity.DOFFING and not begun):
            begun = True
            yield part.begin.at.start
