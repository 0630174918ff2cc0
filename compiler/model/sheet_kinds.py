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
    kept: bool = False
    """Whether it is made only of protocols that keep something."""
    foreign: bool = False
    """Whether it is made of translations only, each beside the source text."""


SHEET_KINDS = {
    kind.name: kind
    for kind in (
        SheetKind("poster", "one page for the wall, in large type"),
        SheetKind(
            "card", "leads only for the pocket, to be cut and folded", ("pdf", "print.pdf")
        ),
        SheetKind("steps", "the step list, on paper and as plain text", ("pdf", "txt", "md")),
        SheetKind(
            "page",
            "a web page that also walks through the steps",
            ("html",),
            each=Each.PROTOCOL,
        ),
        SheetKind("observer", "the trained observer's tick sheet"),
        SheetKind("tags", "labels for kept items, to count wearings and rest", kept=True),
        SheetKind(
            "review",
            "texts and translations side by side, for the person who reviews",
            usual=False,
            foreign=True,
        ),
        SheetKind(
            "words",
            "names and fixed words side by side with their translations, for review",
            each=Each.SET,
            usual=False,
            foreign=True,
        ),
        SheetKind(
            "pictograms",
            "every drawing in its sizes, to be shown to readers",
            each=Each.SET,
            usual=False,
        ),
    )
}
"""Every kind of sheet by name, in the order in which they are made."""
USUAL = tuple(name for name, kind in SHEET_KINDS.items() if kind.usual)
"""What a clinic gets that does not choose."""
