"""What a path says that no protocol writes: "after 6", "Go on with 9", the names of areas."""

from __future__ import annotations

from dataclasses import dataclass

from compiler.model.clinic import Area, Zone
from compiler.products.path import Beat, Stretch, Way
from compiler.wording.words import Words

SPOKEN = (
    "clean area",
    "transition area",
    "contaminated area",
    "Clean your hands",
    "after {number}",
    "before {number}",
    "Go on with {number}",
    "Go on with the hand hygiene before {number}",
)
"""Fixed words that this file asks the catalogue for."""
WORST_FIRST = (Zone.CONTAMINATED, Zone.TRANSITION, Zone.CLEAN)


@dataclass(frozen=True, slots=True)
class Ground:
    """Where people stand, in words."""

    zone: Zone
    """The worst of them, where the ways of a fork end in different areas."""
    name: str
    kind: str
    """"clean area", say."""


def ground(stretch: Stretch, words: Words) -> Ground:
    """The area of a stretch, or the areas that it may be."""
    return Ground(
        zone=min((area.zone for area in stretch.areas), key=WORST_FIRST.index),
        name=words.one_of([area.name for area in stretch.areas]),
        kind=words.one_of(list(dict.fromkeys(words.say(_kind(a)) for a in stretch.areas))),
    )


def beat_lead(beat: Beat, words: Words) -> str:
    """What a band of hand hygiene asks for."""
    return beat.lead or words.say("Clean your hands")


def beat_sign(beat: Beat) -> str:
    """Its pictogram."""
    return "hygiene-on-gloves" if beat.on_gloves else "handwash" if beat.wash else "handrub"


def beat_place(beat: Beat, words: Words) -> str:
    """How people refer to it: "after 6"; empty for one that stands alone."""
    if beat.after:
        return words.say("after {number}", number=beat.after)
    return words.say("before {number}", number=beat.before) if beat.before else ""


def onward(way: Way, words: Words) -> str:
    """Where the path goes on after a fork; a hand hygiene on the way is named."""
    if not way.onward:
        return ""
    if way.hygiene:
        return words.say("Go on with the hand hygiene before {number}", number=way.onward)
    return words.say("Go on with {number}", number=way.onward)


def _kind(area: Area) -> str:
    return f"{area.zone.value} area"
