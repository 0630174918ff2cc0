"""What is where and how clean it is, at one moment of one way through a protocol."""

from __future__ import annotations

from enum import IntEnum
from typing import NamedTuple


class Contamination(IntEnum):
    """How clean a surface is; a higher value is worse."""

    CLEAN = 0
    TOUCHED = 1
    """May be contaminated: good technique was used."""
    CONTAMINATED = 2

    # values are looked up far more often than anything else; enum hashes the name in Python
    __hash__ = int.__hash__


class Where(IntEnum):
    """Where an item is."""

    READY = 0
    """A fresh one lies ready."""
    WORN = 1
    HAND = 2
    KEPT = 3
    DISCARDED = 4
    SENT = 5

    __hash__ = int.__hash__


class Owed(IntEnum):
    """What has come off since hands were last cleaned."""

    NOTHING = 0
    ITEM = 1
    GLOVES = 2

    __hash__ = int.__hash__


NONE: frozenset[int] = frozenset()


class ItemState(NamedTuple):
    """One item of the kit."""

    where: Where = Where.READY
    outside: Contamination = Contamination.CLEAN
    inside: Contamination = Contamination.CLEAN
    place: int = -1
    """The place it is kept at, as an index, or -1."""
    checked: bool = False
    """Seal, fit or tally checked since it was last put on."""
    tallied: bool = False
    """Checked at any time in this round."""
    over: frozenset[int] = NONE
    """Items that were worn when it was put on, as far as the order matters to a rule."""


FRESH = ItemState()


class Body(NamedTuple):
    """The wearer under the PPE. No rule reads it; it is for showing."""

    face: Contamination = Contamination.CLEAN
    hair: Contamination = Contamination.CLEAN
    clothing: Contamination = Contamination.CLEAN
    feet: Contamination = Contamination.CLEAN


class State(NamedTuple):
    """One moment. Equal states have equal futures."""

    items: tuple[ItemState, ...]
    """By the order of `World.items`."""
    places: tuple[Contamination, ...]
    """By the order of `World.places`."""
    area: str = ""
    hands: Contamination = Contamination.CLEAN
    """Bare hands."""
    cleaned: bool = False
    """Hands have been cleaned, or the first item put on without that, in this round."""
    owed: Owed = Owed.NOTHING
    handled: bool = False
    """Something that may be dirty was handled since hands were last cleaned."""
    entered: bool = False
    """A contaminated area has been entered in this round."""
    gloves_due: bool = False
    """The last way in of this part is one that gloves are to follow."""
    body: Body = Body()

    def worn(self, index: int) -> bool:
        """Whether an item is on the body."""
        return self.items[index].where is Where.WORN
