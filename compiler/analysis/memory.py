"""What is remembered of phrases: what they do to sets of states, and where nothing is wrong.

Phrases that say the same are one deed, wherever they stand, in every protocol of the clinic.
A deed's effect on a set depends only on the parts it reads, and on where items may be; so does
what the checks see. Both are looked up by these before anything is worked out.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable
from dataclasses import dataclass, field, fields
from operator import attrgetter
from typing import Any, get_args

from compiler.analysis.hits import Glance
from compiler.analysis.parts import Part, Store, Value, Values
from compiler.analysis.visits import Possible
from compiler.analysis.world import Setting, World
from compiler.model.protocol import Begin, Go, Phrase, Protocol

WEARER = 0
"""The variable of bare hands and of all that is remembered of hand hygiene, as one value."""
MOST = 50_000
"""Shared parts after which all is forgotten: memory has an end."""
Parts = tuple[Part, ...]


@dataclass(slots=True, eq=False)
class Piece:
    """What an effect of a deed does in one area to sets in which the same items may be worn."""

    number: int
    """Which effect of the deed."""
    variables: tuple[int, ...]
    """All that it reads or changes."""
    values: dict[Values, Values]
    """What became of values."""
    known: dict[Parts, tuple[Parts, bool]] = field(default_factory=dict)
    """The parts that take the place of those read, and whether they have the same marks."""


@dataclass(slots=True, eq=False)
class Look:
    """What checks look at before a deed, in sets in which items may be at the same places."""

    reads: tuple[int, ...]
    """All variables that any of them looks at."""
    glances: list[Glance]
    fine: set[Parts] = field(default_factory=set)
    """Parts read in which no check found anything."""


@dataclass(slots=True, eq=False)
class Deed:
    """All phrases that say the same."""

    bearing: int = -1
    """Marks on which it depends what is read or changed; -1 until they are known."""
    arriving: str | None = None
    """The area where the wearer is afterwards; empty for the same as before."""
    seen: int = -1
    """Marks on which it depends what is looked at."""
    looks: dict[tuple[str, int], Look] = field(default_factory=dict)
    """By area and marks."""
    turns: dict[tuple[str, int], list[Piece]] = field(default_factory=dict)
    """By area and marks, the effects that do anything."""
    glances: dict[tuple[object, ...], Glance] = field(default_factory=dict)
    """By area and what they look at."""
    pieces: dict[tuple[object, ...], Piece] = field(default_factory=dict)
    """By effect, area and variables."""


Deeds = dict[tuple[object, ...], Deed]
"""By what the phrase says."""


class Memory:
    """What is remembered for protocols of one clinic and kit that the same checks look at."""

    def __init__(self, setting: Setting) -> None:
        """Starts empty."""
        self.setting = setting
        self.first_item = WEARER + 1
        self.first_place = self.first_item + len(setting.items)
        self.clear()

    def clear(self) -> None:
        """Forgets everything."""
        self.store = Store(self._marks)
        self.rounds: dict[Part, list[Part]] = {}
        """What the end of a round makes of a part."""
        self._deeds: dict[tuple[object, ...], Deeds] = {}

    def settle(self) -> None:
        """Forgets when there is too much; to be called between protocols."""
        if len(self.store) > MOST:
            self.clear()

    def deeds(self, protocol: Protocol) -> Deeds:
        """All deeds of protocols that guard against the same."""
        return self._deeds.setdefault((protocol.precautions, protocol.spores), {})

    @staticmethod
    def deed(deeds: Deeds, world: World, phrase: Phrase | None, *, last: bool = False) -> Deed:
        """What is remembered of a phrase; of the end of a part where there is none."""
        key: tuple[object, ...]
        if phrase is None:
            key = (None, last)
        elif isinstance(phrase, Begin | Go):
            start = phrase.at.start
            arriving = start in world.work_begins, start in world.gloves_inside
            key = (type(phrase), _CONTENT[type(phrase)](phrase), arriving)
        else:
            key = (type(phrase), _CONTENT[type(phrase)](phrase))
        known = deeds.get(key)
        if known is None:
            known = deeds[key] = Deed()
        return known

    def _marks(self, variable: int, values: Iterable[Value]) -> int:
        """A bit for each item that may be worn, in the hand, or kept."""
        if not self.first_item <= variable < self.first_place:
            return 0
        places = {value.where for value in values}
        return Possible.bits(len(self.setting.items), variable - self.first_item, places)


def _content(kind: type) -> Callable[[Any], object]:
    names = [each.name for each in fields(kind) if each.name != "at"]
    return attrgetter(*names) if names else lambda _: ()


_CONTENT = {kind: _content(kind) for kind in get_args(Phrase)}
