"""When each rule strikes: the table "When a rule strikes" of `compiler/README.md`.

The rows are in `rows_of_handling.py` and `rows_of_barriers.py`, in the table's order, each a
function of the rule's name. Every row looks at one phrase and the state before it.
"""

from __future__ import annotations

from collections.abc import Iterator

from compiler.model.clinic import Clinic
from compiler.model.kit import AfterUse, Kit
from compiler.model.protocol import Keep, Protocol, Remove, every_step
from tests.reference import rows_of_barriers, rows_of_handling
from tests.reference.scene import ROWS, PartEnds, Scene, Strike
from tests.reference.text import Text

__all__ = ["rows_of_barriers", "rows_of_handling"]


def strikes_at(
    phrase: object, state: dict, text: Text, protocol: Protocol, clinic: Clinic, kit: Kit
) -> Iterator[Strike]:
    """What strikes at a phrase, before it is done."""
    scene = Scene(state, text, protocol, clinic, kit)
    for slug, strikes in ROWS.get(type(phrase), []):
        found = strikes(phrase, scene)
        if isinstance(found, list):
            # These rules point back at a moment of an item.
            for name, moment in found:
                yield slug, state["items"][name][moment].order, name
        elif found and isinstance(phrase, PartEnds):
            for place in phrase.places:
                yield slug, place.order, f"end of part {phrase.number}"
        elif found:
            yield slug, phrase.at.order, ""


def reusable_never_kept(protocol: Protocol, kit: Kit) -> Iterator[Strike]:
    """The kit keeps it, some step removes it, no step keeps it. Looks at the whole text."""
    phrases = [
        phrase
        for part in protocol.parts
        for step in every_step(part.steps)
        for phrase in step.phrases
    ]
    kept = {phrase.item for phrase in phrases if isinstance(phrase, Keep)}
    for name, item in kit.items.items():
        if item.after_use is AfterUse.KEEP and name not in kept:
            removed = (p for p in phrases if isinstance(p, Remove) and name in p.items)
            for first in list(removed)[:1]:
                yield "reusable-never-kept", first.at.order, ""
