"""Whether places and helpers that a step needs are there, where the step is."""

from __future__ import annotations

from collections.abc import Iterator

from compiler.analysis.visits import Check as Look
from compiler.analysis.visits import Visit
from compiler.findings import Finding, Level, Rule
from compiler.model.clinic import Purpose
from compiler.model.protocol import (
    Discard,
    Disinfect,
    Keep,
    Observed,
    Remove,
    Send,
    Touch,
    Wear,
)
from compiler.rules.evidence import found
from compiler.rules.sights import named

OUT_OF_AREA = Rule(
    "place-in-other-area",
    Level.MUST,
    "A place is used that is not where the wearer stands.",
    waivable=False,
)
WRONG_PURPOSE = Rule(
    "wrong-place", Level.MUST, "An item is put where such items do not belong.", waivable=False
)
NOBODY_THERE = Rule(
    "helper-not-staffed",
    Level.MUST,
    "A step needs an observer or assistant that the clinic says it does not have.",
    waivable=False,
)

RULES = (OUT_OF_AREA, WRONG_PURPOSE, NOBODY_THERE)


def place_in_other_area(visit: Visit) -> Iterator[Finding]:
    """A hook, bin or door handle that is somewhere else."""
    name = _place_name(visit)
    place = visit.world.clinic.places.get(name)
    if place and visit.before.area and place.area != visit.before.area:
        yield found(
            visit,
            OUT_OF_AREA,
            f"The {name} is in the {place.area}, but the wearer stands in the "
            f"{visit.before.area}.",
            label=f"the {name} is used here",
            remedy=f'add "go to {place.area}" before this, or name a place in the '
            f"{visit.before.area}",
        )


def _place_name(visit: Visit) -> str:
    match visit.phrase:
        case Wear():
            return visit.phrase.source
        case Keep() | Discard() | Send() | Touch():
            return visit.phrase.place
        case Disinfect():
            return visit.phrase.target
        case _:
            return ""


def wrong_place(visit: Visit) -> Iterator[Finding]:
    """Kept in the waste bin, discarded on the hook, fetched from the sink."""
    needed = {
        Keep: Purpose.KEEPING,
        Wear: Purpose.KEEPING,
        Discard: Purpose.WASTE,
        Send: Purpose.SENDING,
    }
    place = visit.world.clinic.places.get(_place_name(visit))
    purpose = needed[type(visit.phrase)]
    if place and place.purpose is not purpose:
        yield found(
            visit,
            WRONG_PURPOSE,
            f"The {place.name} is for {place.purpose.value}, and here it is used for "
            f"{purpose.value}.",
            label=f"used for {purpose.value} here",
            remedy=f'name a place that clinic.yaml has as "for: {purpose.value}"',
        )


def helper_not_staffed(visit: Visit) -> Iterator[Finding]:
    """An observer or assistant that nobody provides."""
    clinic, phrase = visit.world.clinic, visit.phrase
    needs = ""
    if isinstance(phrase, Observed) and not clinic.observer:
        needs = "trained observer"
    elif isinstance(phrase, Wear | Remove) and phrase.assistant and not clinic.assistant:
        needs = "assistant"
    if needs:
        yield found(
            visit,
            NOBODY_THERE,
            f"This step needs the {needs}, and clinic.yaml says there is none.",
            label="needed here",
            remedy=f"say so under staffing once there is one, or do without the {needs}",
        )


CHECKS = (
    Look((Wear, Keep, Discard, Send, Touch, Disinfect), place_in_other_area, named),
    Look((Wear, Keep, Discard, Send), wrong_place, named),
    Look((Observed, Wear, Remove), helper_not_staffed, named),
)
