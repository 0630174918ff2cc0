"""Makes a failing protocol set small, for people: takes things out as long as it still fails."""

from __future__ import annotations

import copy
from collections.abc import Callable, Iterator
from dataclasses import replace

from compiler.model.clinic import Policy
from compiler.model.protocol import Remove
from tests.reference.drafts import Act, Draft, protocol_text

PLAIN = {
    "spores": False,
    "observer": True,
    "assistant": True,
    "on_gloves": True,
    "precautions": ["standard"],
    "policy": Policy.WHEN_CONTAMINATED,
}
PLAIN_ITEM = {"rest": 0, "at_most": 0, "disinfect_with": "", "keep_at": ""}


def smallest(draft: Draft, fails: Callable[[Draft], bool]) -> Draft:
    """A draft that still fails, and no longer does when any one thing more is taken out."""
    while True:
        smaller = next((each for each in smaller_drafts(draft) if fails(each)), None)
        if smaller is None:
            return draft
        draft = smaller


def smaller_drafts(draft: Draft) -> Iterator[Draft]:
    """Everything with one thing less; the largest things first."""
    changes = (_parts, _steps, _forks, _answers, _phrases, _surroundings)
    for smaller in changes:
        for each in smaller(draft):
            if each.parts and all(part.acts for part in each.parts):
                yield each


def _parts(draft: Draft) -> Iterator[Draft]:
    for number in range(len(draft.parts)):
        changed = copy.deepcopy(draft)
        del changed.parts[number]
        yield changed


def _steps(draft: Draft) -> Iterator[Draft]:
    for size in (8, 4, 2, 1):
        for at, acts in enumerate(draft.lists()):
            for number in range(0, len(acts), size):
                changed, same = _copied(draft, at)
                del same[number : number + size]
                yield changed


def _forks(draft: Draft) -> Iterator[Draft]:
    """One answer's steps instead of the fork."""
    for at, acts in enumerate(draft.lists()):
        for number, act in enumerate(acts):
            for branch in range(len(act.branches)):
                changed, same = _copied(draft, at)
                taken = same[number].branches[branch][1]
                before = [Act(act.phrases)] if act.phrases else []
                same[number : number + 1] = before + taken
                yield changed


def _answers(draft: Draft) -> Iterator[Draft]:
    """Three answers become two."""
    for act in draft.acts():
        for answer, _ in act.branches if len(act.branches) > 2 else []:
            changed = copy.deepcopy(draft)
            for other in changed.acts():
                if other.question == act.question:
                    other.branches = [each for each in other.branches if each[0] != answer]
            yield changed


def _phrases(draft: Draft) -> Iterator[Draft]:
    for at, acts in enumerate(draft.lists()):
        for number, act in enumerate(acts):
            for which, phrase in enumerate(act.phrases):
                if len(act.phrases) > 1 or act.question:
                    changed, same = _copied(draft, at)
                    del same[number].phrases[which]
                    yield changed
                for item in phrase.items if isinstance(phrase, Remove) else ():
                    if len(phrase.items) > 1:
                        changed, same = _copied(draft, at)
                        left = tuple(name for name in phrase.items if name != item)
                        same[number].phrases[which] = replace(phrase, items=left)
                        yield changed


def _surroundings(draft: Draft) -> Iterator[Draft]:
    for fact, plain in PLAIN.items():
        if getattr(draft, fact) != plain:
            yield replace(copy.deepcopy(draft), **{fact: plain})
    text = protocol_text(draft)
    for number, item in enumerate(draft.items):
        if item.name not in text and len(draft.items) > 1:
            changed = copy.deepcopy(draft)
            del changed.items[number]
            yield changed
        for fact, plain in PLAIN_ITEM.items():
            if getattr(item, fact) != plain:
                changed = copy.deepcopy(draft)
                changed.items[number] = replace(item, **{fact: plain})
                yield changed
    homes = {item.keep_at for item in draft.items}
    for number, place in enumerate(draft.places):
        if place.name not in text and place.name not in homes and len(draft.places) > 1:
            changed = copy.deepcopy(draft)
            del changed.places[number]
            yield changed


def _copied(draft: Draft, at: int) -> tuple[Draft, list[Act]]:
    """A copy to change, and one of its lists of steps by number."""
    changed = copy.deepcopy(draft)
    return changed, list(changed.lists())[at]
