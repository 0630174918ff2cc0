"""Sound protocols for a random outfit: the ground from which nearly sound ones are made.

The orders are common practice, no source: they only have to satisfy the checker often enough
that the rules which look at late steps see states worth looking at.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from typing import TypeVar

from compiler.model.clinic import Area, Place, Policy, Purpose, Zone
from compiler.model.kit import AfterUse, Item, Kind
from compiler.model.protocol import (
    Activity,
    Check,
    Discard,
    Disinfect,
    Go,
    Grip,
    Keep,
    Phrase,
    Send,
    Touch,
)
from tests.reference.drafts import (
    NOWHERE,
    Act,
    Draft,
    DraftPart,
    agent,
    hygiene,
    remove,
    wear,
)

Value = TypeVar("Value")
Choose = Callable[[int, int], int]
"""Chooses a number from the first to the last of two; everything random is built on it."""

HOMES = ("hook", "box", "peg", "bag", "rack")
PLACES = [
    *((home, "bay", Purpose.KEEPING) for home in HOMES),
    ("bin", "bay", Purpose.WASTE),
    ("tub", "bay", Purpose.SENDING),
    ("sink", "bay", Purpose.USE),
    ("desk", "change room", Purpose.USE),
    ("locker", "change room", Purpose.KEEPING),
    ("bed rail", "isolation room", Purpose.USE),
    ("room hook", "isolation room", Purpose.KEEPING),
    ("room bin", "isolation room", Purpose.WASTE),
]
AREAS = [
    Area("change room", Zone.CLEAN, NOWHERE),
    Area("bay", Zone.TRANSITION, NOWHERE),
    Area("isolation room", Zone.CONTAMINATED, NOWHERE),
    Area("side room", Zone.CONTAMINATED, NOWHERE),
]
PRECAUTIONS = ("standard", "contact", "droplet", "airborne")
AGENTS = [agent("weak wipe", False), agent("strong wipe", True)]
ANSWERS = {
    "eye protection": ("goggles", "face shield"),
    "state": ("damaged", "intact"),
    "supply": ("crisis", "contingency", "conventional"),
    "visit": ("short", "long"),
    "help": ("near", "far"),
    "weather": ("wet", "dry"),
}
"""Every question that is asked, with its answers."""

# The order in which things are put on and the order in which they come off.
ON = (
    "scrubs", "boots", "inner gloves", "gown", "coverall", "apron", "mask", "respirator",
    "blower", "cap", "goggles", "face shield", "hood", "boot covers", "outer gloves", "gloves",
)  # fmt: skip
OFF = (
    "apron", "outer gloves", "gloves", "boot covers", "boots", "hood", "goggles", "face shield",
    "gown", "coverall", "cap", "mask", "respirator", "blower", "inner gloves",
)  # fmt: skip
KINDS = {
    "scrubs": Kind.CLOTHING,
    "inner gloves": Kind.GLOVES,
    "outer gloves": Kind.GLOVES,
    "blower": Kind.POWERED_RESPIRATOR,
}
GRIPS = {Kind.GLOVES: Grip.CUFFS, Kind.APRON: Grip.TIES, Kind.RESPIRATOR: Grip.STRAPS}


def usually(choose: Choose, times: int = 4) -> bool:
    """True `times` out of `times` + 1."""
    return choose(0, times) < times


def one_of(choose: Choose, *choices: Value) -> Value:
    """One of a few."""
    return choices[choose(0, len(choices) - 1)]


def some_of(choose: Choose, choices: Sequence[Value], most: int) -> list[Value]:
    """At least one and at most so many of them, in any order, each once."""
    left = list(choices)
    return [left.pop(choose(0, len(left) - 1)) for _ in range(choose(1, most))]


def surroundings(choose: Choose, names: list[str]) -> Draft:
    """A clinic and a kit that holds these items."""
    places = [
        Place(name, area, purpose, NOWHERE, one_of(choose, 1, 1, 2) if "k" in name else 1)
        for name, area, purpose in PLACES
    ]
    homes = list(HOMES)
    items = [_item(choose, name, homes) for name in names]
    return Draft(
        areas=AREAS,
        places=places,
        agents=AGENTS,
        items=items,
        policy=one_of(choose, *Policy),
        on_gloves=usually(choose, 2),
        observer=usually(choose),
        assistant=usually(choose),
        precautions=some_of(choose, PRECAUTIONS, 3),
        spores=not usually(choose, 2),
    )


def _item(choose: Choose, name: str, homes: list[str]) -> Item:
    after_use = one_of(choose, *(3 * [AfterUse.DISCARD]), *(2 * [AfterUse.KEEP]), AfterUse.SEND)
    home = homes.pop(0) if after_use is AfterUse.KEEP and homes and usually(choose) else ""
    kind = KINDS.get(name) or Kind(name)
    used_again = after_use is not AfterUse.DISCARD
    return Item(
        name=name,
        kind=kind,
        at=NOWHERE,
        layer=name.removesuffix(" gloves") if " gloves" in name else "",
        after_use=after_use,
        keep_at=home,
        disinfect_with=one_of(choose, "", "weak wipe", "strong wipe"),
        rest=5 * 86_400 if used_again and one_of(choose, False, False, True) else 0,
        at_most=5 if used_again and one_of(choose, False, False, True) else 0,
    )


def sound(choose: Choose) -> Draft:
    """A protocol that is sound, or nearly, for a random outfit."""
    worn = [
        *one_of(choose, ["gloves"], ["inner gloves", "outer gloves"], []),
        *one_of(
            choose, ["gown"], ["apron"], ["coverall"], ["gown", "apron"], ["coverall", "apron"]
        ),
        *one_of(choose, ["respirator"], ["mask"], ["blower"], []),
        *one_of(choose, [], ["goggles"], ["face shield"], ["goggles", "face shield"]),
        *one_of(choose, [], [], ["hood"], ["cap"], ["cap", "hood"]),
        *one_of(choose, [], [], [], ["boot covers"], ["boots", "boot covers"], ["scrubs"]),
    ]
    draft = surroundings(choose, sorted(worn, key=ON.index))
    dresser = Dresser(choose, draft, {"goggles", "face shield"} <= set(worn))
    draft.parts.append(DraftPart(Activity.DONNING, "bay", dresser.donning()))
    if usually(choose, 1):
        draft.parts.append(DraftPart(Activity.WORK, "isolation room", dresser.work()))
    draft.parts.append(DraftPart(Activity.DOFFING, "bay", dresser.doffing()))
    return draft


class Dresser:
    """Writes the parts for one outfit."""

    def __init__(self, choose: Choose, draft: Draft, choice: bool) -> None:
        self.choose = choose
        self.draft = draft
        self.choice = choice
        """Whether goggles or a face shield is a question, not both at once."""
        self.items = {item.name: item for item in draft.items}
        named = {item.keep_at for item in draft.items}
        # When every home is taken, things share the hook, which is one more way to go wrong.
        spare = [home for home in HOMES if home not in named] + ["hook"] * len(draft.items)
        self.homes = {
            item.name: item.keep_at or (spare.pop(0) if usually(choose) else "hook")
            for item in draft.items
            if item.after_use is AfterUse.KEEP
        }
        self.gloves: list[str] = []

    def clean(self) -> list[Act]:
        """Hand hygiene as the clinic allows it here."""
        if self.gloves and not self.draft.on_gloves:
            return []
        return [Act([hygiene(self.draft.spores, bool(self.gloves))])]

    def order(self, usual: tuple[str, ...]) -> list[str]:
        """The outfit's items in the usual order, or with one of them out of it."""
        names = [name for name in usual if name in self.items]
        if names and not usually(self.choose, 2):
            moved = names.pop(self.choose(0, len(names) - 1))
            names.insert(self.choose(0, len(names)), moved)
        return names

    def donning(self) -> list[Act]:
        """Putting on."""
        acts = self.clean()
        for name in self.order(ON):
            if self.choice and name in ANSWERS["eye protection"]:
                acts += self.chosen(name, self.put_on)
            else:
                acts += self.put_on(name)
        return [*acts, Act([Go("isolation room", NOWHERE)])]

    def put_on(self, name: str) -> list[Act]:
        """One item, with its check; hands again after one that only rested."""
        item = self.items[name]
        phrases: list[Phrase] = [wear(name, self.homes.get(name, ""))]
        checked = item.kind in (Kind.MASK, Kind.RESPIRATOR) or item.at_most
        if checked and usually(self.choose, 5):
            phrases.append(Check(name, NOWHERE))
        if item.kind is Kind.GLOVES:
            self.gloves.append(name)
            return [Act(phrases)]
        return [Act(phrases), *(self.clean() if item.rest else [])]

    def work(self) -> list[Act]:
        """Between the parts."""
        acts = [Act([Touch("bed rail", NOWHERE)])] if usually(self.choose, 1) else []
        return [*acts, *(self.clean() if self.gloves else [])]

    def doffing(self) -> list[Act]:
        """Taking off: wipe, then one after another with hands cleaned between."""
        kept = [i for i in self.draft.items if i.after_use is AfterUse.KEEP and not i.rest]
        wiper = "strong wipe" if self.draft.spores else ""
        acts: list[Act] = []
        for item in kept:
            wiping = [Act([Disinfect(item.name, item.disinfect_with or wiper, NOWHERE)])]
            eyes = self.choice and item.name in ANSWERS["eye protection"]
            acts += self.chosen(item.name, lambda _, wiping=wiping: wiping) if eyes else wiping
        acts += self.clean() if kept else []
        for name in self.order(OFF):
            if self.choice and name in ANSWERS["eye protection"]:
                acts += self.chosen(name, self.take_off)
            else:
                acts += self.take_off(name)
        return [*acts, Act([Go("change room", NOWHERE)])]

    def take_off(self, name: str) -> list[Act]:
        """One item, where it goes, and hands again."""
        item = self.items[name]
        off = remove(name, grip=GRIPS.get(item.kind, Grip.USUAL))
        if name in self.gloves:
            self.gloves.remove(name)
        if item.after_use is AfterUse.KEEP and not usually(self.choose, 2):
            ends = [("damaged", [Act([self.end(item, AfterUse.DISCARD)])])]
            ends.append(("intact", [Act([self.end(item, AfterUse.KEEP)])]))
            return [Act([off], "state", ends), *self.clean()]
        return [Act([off, self.end(item, item.after_use)]), *self.clean()]

    def end(self, item: Item, after_use: AfterUse) -> Phrase:
        """Where an item goes."""
        named = usually(self.choose)
        match after_use:
            case AfterUse.DISCARD:
                return Discard(item.name, "bin" if named else "", NOWHERE)
            case AfterUse.KEEP:
                return Keep(item.name, self.homes[item.name], NOWHERE)
            case AfterUse.SEND:
                return Send(item.name, "tub" if named else "", NOWHERE)

    def chosen(self, name: str, write: Callable[[str], list[Act]]) -> list[Act]:
        """A fork in which only this answer has steps."""
        other = next(each for each in ANSWERS["eye protection"] if each != name)
        return [Act([], "eye protection", [(name, write(name)), (other, [])])]
