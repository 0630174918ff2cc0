"""The PPE a clinic uses: generic kinds, and what happens to each item after use."""

from __future__ import annotations

from dataclasses import dataclass
from enum import Enum

from compiler.source import Span


class Kind(Enum):
    """Generic garment kinds, never a brand. The values are what an author writes."""

    GLOVES = "gloves"
    GOWN = "gown"
    COVERALL = "coverall"
    APRON = "apron"
    MASK = "mask"
    RESPIRATOR = "respirator"
    POWERED_RESPIRATOR = "powered respirator"
    GOGGLES = "goggles"
    FACE_SHIELD = "face shield"
    HOOD = "hood"
    CAP = "cap"
    BOOT_COVERS = "boot covers"
    BOOTS = "boots"
    CLOTHING = "clothing"


class AfterUse(Enum):
    """The end of an item's round."""

    DISCARD = "discard"
    KEEP = "keep"
    SEND = "send"


@dataclass(frozen=True, slots=True)
class Item:
    """One row of `kit.yaml`."""

    name: str
    kind: Kind
    at: Span
    layer: str = ""
    """`inner` or `outer` where two of a kind are worn, else empty."""
    after_use: AfterUse = AfterUse.DISCARD
    keep_at: str = ""
    """The place it is kept at between wearings, if the kit names one."""
    disinfect_with: str = ""
    """The agent it is wiped with, if the kit names one."""
    rest: int = 0
    """Seconds it rests before it is worn again; 0 when it does not rest."""
    at_most: int = 0
    """Wearings allowed before it is thrown away; 0 when there is no limit."""


@dataclass(frozen=True, slots=True)
class Kit:
    """All items of a set, by name, in the order written."""

    items: dict[str, Item]
