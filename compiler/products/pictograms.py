"""Which pictogram stands beside a step, what each shows, and which ones turn with reading."""

from __future__ import annotations

from dataclasses import dataclass

from compiler.model.kit import Item, Kind, Kit
from compiler.model.protocol import (
    Begin,
    Check,
    Discard,
    Disinfect,
    Go,
    Hygiene,
    Keep,
    Observed,
    Phrase,
    Remove,
    Send,
    Step,
    Takes,
    Touch,
    Wear,
)


@dataclass(frozen=True, slots=True)
class Pictogram:
    """One drawing of the family."""

    meaning: str
    """Alternative text in English; the words catalogue translates it."""
    mirrored: bool = False
    """Whether it is turned over where reading runs from right to left: something in it moves
    along the line of reading, or it shows before and after side by side."""


PICTOGRAMS: dict[str, Pictogram] = {
    "gloves-on": Pictogram("Gloves being put on", mirrored=True),
    "gloves-off": Pictogram("Gloves being taken off", mirrored=True),
    "inner-gloves-on": Pictogram("Inner gloves being put on", mirrored=True),
    "inner-gloves-off": Pictogram("Inner gloves being taken off", mirrored=True),
    "outer-gloves-on": Pictogram("Outer gloves being put on", mirrored=True),
    "outer-gloves-off": Pictogram("Outer gloves being taken off", mirrored=True),
    "gown-on": Pictogram("A gown being put on", mirrored=True),
    "gown-off": Pictogram("A gown being taken off", mirrored=True),
    "coverall-on": Pictogram("A coverall being put on", mirrored=True),
    "coverall-off": Pictogram("A coverall being taken off", mirrored=True),
    "apron-on": Pictogram("An apron being put on", mirrored=True),
    "apron-off": Pictogram("An apron being taken off", mirrored=True),
    "mask-on": Pictogram("A mask being put on", mirrored=True),
    "mask-off": Pictogram("A mask being taken off", mirrored=True),
    "respirator-on": Pictogram("A respirator being put on", mirrored=True),
    "respirator-off": Pictogram("A respirator being taken off", mirrored=True),
    "powered-respirator-on": Pictogram("A powered respirator being put on", mirrored=True),
    "powered-respirator-off": Pictogram("A powered respirator being taken off", mirrored=True),
    "goggles-on": Pictogram("Goggles being put on", mirrored=True),
    "goggles-off": Pictogram("Goggles being taken off", mirrored=True),
    "face-shield-on": Pictogram("A face shield being put on", mirrored=True),
    "face-shield-off": Pictogram("A face shield being taken off", mirrored=True),
    "hood-on": Pictogram("A hood being put on", mirrored=True),
    "hood-off": Pictogram("A hood being taken off", mirrored=True),
    "cap-on": Pictogram("A cap being put on", mirrored=True),
    "cap-off": Pictogram("A cap being taken off", mirrored=True),
    "boot-covers-on": Pictogram("Boot covers being put on", mirrored=True),
    "boot-covers-off": Pictogram("Boot covers being taken off", mirrored=True),
    "boots-on": Pictogram("Boots being put on", mirrored=True),
    "boots-off": Pictogram("Boots being taken off", mirrored=True),
    "clothing-on": Pictogram("Work clothing being put on", mirrored=True),
    "clothing-off": Pictogram("Work clothing being taken off", mirrored=True),
    "handrub": Pictogram("Hands being rubbed together with handrub"),
    "handwash": Pictogram("Hands being washed under a tap"),
    "hygiene-on-gloves": Pictogram("Gloved hands being rubbed together"),
    "seal-check": Pictogram("Two hands feeling for leaks around a respirator"),
    "check": Pictogram("A magnifying glass with a tick"),
    "observer": Pictogram("A trained observer with a tick sheet"),
    "assistant": Pictogram("An assistant helping the wearer"),
    "door": Pictogram("An open door with the way through", mirrored=True),
    "work": Pictogram("A finger touching a surface"),
    "wipe": Pictogram("A hand wiping a surface"),
    "hook": Pictogram("A garment hanging on a hook"),
    "bag": Pictogram("A respirator kept in a paper bag"),
    "bin": Pictogram("A used item dropping into an open bin"),
    "send": Pictogram("A closed box being sent away", mirrored=True),
    "mirror": Pictogram("A person looking into a mirror"),
    "chair": Pictogram("A chair"),
    "fork": Pictogram("A way that divides in two"),
    "advice": Pictogram("A speech bubble with a note", mirrored=True),
    "caution": Pictogram("A speech bubble with a warning", mirrored=True),
}

PLACE_WORDS: dict[str, str] = {
    "hook": "hook",
    "hanger": "hook",
    "peg": "hook",
    "rail": "hook",
    "bag": "bag",
    "box": "bag",
    "container": "bag",
    "mirror": "mirror",
    "chair": "chair",
    "stool": "chair",
    "bench": "chair",
    "door": "door",
}
"""Words in the name of a place that have a drawing of their own."""

MOST_TELLING: tuple[type[Phrase], ...] = (
    Remove,
    Wear,
    Hygiene,
    Check,
    Disinfect,
    Keep,
    Discard,
    Send,
    Go,
    Touch,
    Observed,
)
"""Of several phrases in a step, the one that comes first here is drawn."""


def pictogram_for(step: Step, kit: Kit) -> str:
    """The file stem of the drawing that stands beside a step."""
    for kind in MOST_TELLING:
        for phrase in step.phrases:
            if isinstance(phrase, kind) and (name := _drawing(phrase, kit)):
                return name
    return "fork" if step.fork else "advice"


def mirrored(name: str) -> bool:
    """Whether a drawing is turned over where reading runs from right to left."""
    return PICTOGRAMS[name].mirrored


def meaning(name: str) -> str:
    """What a drawing shows, in English, for those who cannot see it.

    >>> meaning("handrub")
    'Hands being rubbed together with handrub'
    """
    return PICTOGRAMS[name].meaning


def _drawing(phrase: Phrase, kit: Kit) -> str:
    """The drawing for one phrase; empty when there is nothing to draw."""
    match phrase:
        case Wear(item=item):
            return _garment(kit.items.get(item), "on")
        case Remove(items=items):
            return _garment(kit.items.get(items[0]) if items else None, "off")
        case Hygiene(wash=wash, on_gloves=on_gloves):
            if on_gloves:
                return "hygiene-on-gloves"
            return "handwash" if wash else "handrub"
        case Keep(item=item, place=place):
            return _named(place) or _kept(kit.items.get(item))
        case Touch(place=place):
            return _named(place) or "work"
        case Check(item=item):
            found = kit.items.get(item)
            return "seal-check" if found and found.kind is Kind.RESPIRATOR else "check"
        case _:
            return _plain(phrase)


def _plain(phrase: Phrase) -> str:
    """The drawing of a phrase that has one whatever it names."""
    match phrase:
        case Disinfect():
            return "wipe"
        case Discard():
            return "bin"
        case Send():
            return "send"
        case Go():
            return "door"
        case Observed():
            return "observer"
        case Begin() | Takes() | _:
            return ""


def _garment(item: Item | None, way: str) -> str:
    """The garment of an item, being put on or taken off; empty for an item the kit lacks."""
    if item is None:
        return ""
    garment = item.kind.value.replace(" ", "-")
    if item.kind is Kind.GLOVES and item.layer:
        garment = f"{item.layer}-{garment}"
    return f"{garment}-{way}"


def _named(place: str) -> str:
    """The drawing that a word in the place's name asks for, or empty."""
    for word in reversed(place.casefold().split()):
        if word in PLACE_WORDS:
            return PLACE_WORDS[word]
    return ""


def _kept(item: Item | None) -> str:
    """How an item is usually kept: what covers the mouth in a bag, all else on a hook."""
    breathing = (Kind.MASK, Kind.RESPIRATOR)
    return "bag" if item and item.kind in breathing else "hook"
