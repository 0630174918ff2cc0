"""Garments by generic kind: one vocabulary for kits and lists, and what stands in for what."""

from __future__ import annotations

from collections.abc import Collection, Iterable

from compiler.model.kit import Item, Kind

EYES = ("eye protection", "face shield")
FACE_COVERS = ("mask", "respirator")
SLEEVED = ("gown", "coverall")
GLOVES = ("outer gloves", "gloves", "inner gloves")
FEET = ("boot covers", "boots")

# A powered respirator, a hood and a cap stand in for nothing: they have orders of their own.
FAMILIES = (EYES, FACE_COVERS, (*SLEEVED, "apron"), GLOVES, FEET)

CLASSES = (EYES, FACE_COVERS, SLEEVED, FEET)
"""What counts as one garment when lists are asked about an order."""


def word_of(item: Item) -> str:
    """What lists call an item of the kit; empty for clothing, which they leave out."""
    if item.kind is Kind.CLOTHING:
        return ""
    if item.kind is Kind.GOGGLES:
        return EYES[0]
    return f"{item.layer} {item.kind.value}".strip()


def matched(ours: Collection[str], theirs: Collection[str]) -> dict[str, str]:
    """Our garments that a list has too, each with the list's: the same, or one in its place.

    >>> matched(["coverall", "gloves"], ["inner gloves", "gown", "outer gloves"])
    {'coverall': 'gown', 'gloves': 'outer gloves'}
    """
    pairs = {word: word for word in ours if word in theirs}
    for family in FAMILIES:
        left = [word for word in family if word in ours and word not in pairs]
        free = [word for word in family if word in theirs and word not in pairs.values()]
        pairs |= dict(zip(left, free, strict=False))
    return pairs


def class_of(word: str) -> tuple[str, ...]:
    """The garments that count as this one when lists are asked about an order."""
    return next((members for members in CLASSES if word in members), (word,))


def class_name(word: str) -> str:
    """What the garments that count as this one are called together."""
    members = class_of(word)
    return EYES[0] if members == EYES else " or ".join(members)


def with_article(word: str) -> str:
    """The word as a sentence needs it: `an apron`, `a gown`, `gloves`."""
    if word.endswith(("gloves", "boots", "covers", "protection")):
        return word
    return f"an {word}" if word.startswith("a") else f"a {word}"


def listed(words: Iterable[str]) -> str:
    """Words joined for reading.

    >>> listed(["a cap", "a hood", "boots"])
    'a cap, a hood and boots'
    """
    *most, last = list(words) or [""]
    return f"{', '.join(most)} and {last}" if most else last
