"""What the published lists, all of them, say about the order of two garments."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cache

from compiler.comparing.course import Deeds, Verb
from compiler.comparing.difference import Pair
from compiler.comparing.garments import class_name, class_of
from compiler.comparing.matching import PUTTING_ON
from compiler.comparing.published import published


@dataclass(frozen=True, slots=True)
class Evidence:
    """Lists by what they do; keys, in the order of the data.

    Only steps count that a list itself names, and each list once, whatever choices it leaves.
    """

    one: str
    """The first garment, or what counts as it: `gown or coverall`."""
    other: str
    one_first: tuple[str, ...]
    other_first: tuple[str, ...]
    together: tuple[str, ...]
    """Both in one movement."""
    changed: tuple[str, ...]
    """A fresh one is put on between, so that each comes off before the other."""

    @property
    def keys(self) -> tuple[str, ...]:
        """Every list that names both."""
        return (*self.one_first, *self.other_first, *self.together, *self.changed)

    @property
    def differ(self) -> bool:
        """Whether published lists disagree."""
        groups = (self.one_first, self.other_first, self.together, self.changed)
        return sum(map(bool, groups)) > 1


def evidence(pair: Pair) -> Evidence:
    """The lists that name both garments as worn here; if none does, as in the list compared."""
    found = _evidence(pair.part, *pair.ours)
    return found if found.keys else _evidence(pair.part, *pair.theirs)


@cache
def _evidence(part: str, one: str, other: str) -> Evidence:
    found: dict[str, list[str]] = {"one": [], "other": [], "together": [], "changed": []}
    for key, listed in published().items():
        for form in listed.forms:
            deeds = form.course.donning if part == PUTTING_ON else form.course.doffing
            said = _order(deeds or (), Verb.ON if part == PUTTING_ON else Verb.OFF, one, other)
            if said:
                found[said].append(key)
                break
    names = class_name(one), class_name(other)
    if set(class_of(one)) == set(class_of(other)):
        names = one, other
    return Evidence(*names, *(tuple(found[name]) for name in found))


def _order(deeds: Deeds, verb: Verb, one: str, other: str) -> str:
    first, second = _times(deeds, verb, one, other), _times(deeds, verb, other, one)
    if not first or not second:
        return ""
    if first[0] == second[0]:
        return "together"
    if (first[0] < second[0]) != (first[-1] < second[-1]):
        return "changed"
    return "one" if first[0] < second[0] else "other"


def _times(deeds: Deeds, verb: Verb, word: str, apart_from: str) -> list[int]:
    """Where a garment, or one of its class, goes on or comes off; nothing if that was added."""
    worn = [d for d in deeds if d.verb is verb]
    alike = [w for w in class_of(word) if w != apart_from]
    names = [word] if any(word in d.garments for d in worn) else alike
    times = [at for at, deed in enumerate(worn) if set(deed.garments) & set(names)]
    return [] if any(worn[at].added for at in times) else times
