"""The kinds of sheets that can be made of a protocol: a table. Makers are in `workshop.py`."""

from __future__ import annotations

from dataclasses import dataclass
from enum import Enum


class Each(Enum):
    """How many sheets of a kind a set gives."""

    LANGUAGE = "one for each protocol and language"
    PROTOCOL = "one for each protocol, with all its languages"
    SET = "one for each language"


@dataclass(frozen=True, slots=True)
class SheetKind:
    """One kind of sheet."""

    name: str
    """As clinics ask for it, and as file names say it."""
    summary: str
    endings: tuple[str, ...] = ("pdf",)
    """Of the files that it is, the first being the one that codes and reports tell of."""
    each: Each = Each.LANGUAGE
    usual: bool = True
    """Whether a clinic that asks for nothing gets it."""
    foreign: bool = False
    """Whether it is made of translations only, and not of the source language."""


SHEET_KINDS = {
    kind.name: kind
    for kind in (
        SheetKind("poster", "one page for the wall, in large type"),
        SheetKind(
            "card", "leads only for the pocket, to be cut and folded", ("pdf", "print.pdf")
        ),
    )
}
"""Every kind of sheet by name, in the order in which they are made."""
USUAL = tuple(name for name, kind in SHEET_KINDS.items() if kind.usual)
"""What a clinic gets that does not choose."""
