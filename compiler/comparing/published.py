"""The published lists, from `sequences.yaml`: whose they are, how sure, and their order."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from functools import cache
from importlib.resources import files
from itertools import product
from typing import Any

from compiler.comparing.course import Course, Deed, Verb
from compiler.source import Source
from compiler.syntax import yaml
from compiler.syntax.tree import Mapping, Node, Scalar, Sequence

SEEN = {
    "read": "The order was read on the page named.",
    "restated": "The order was read on another page that restates the document.",
    "memory": "The order is from memory of the document, and has to be confirmed against it.",
}
"""How sure an order is, by the mark in the data."""

VERBS = {
    "put on": Verb.ON,
    "take off": Verb.OFF,
    "check": Verb.CHECK,
    "observed": Verb.OBSERVED,
    "clean hands": Verb.HYGIENE,
    "wash hands": Verb.HYGIENE,
    "clean gloves": Verb.HYGIENE,
    "wash gloves": Verb.HYGIENE,
}


@dataclass(frozen=True, slots=True)
class Form:
    """One list with every choice of garment made."""

    choice: tuple[str, ...]
    """The garments chosen where the list leaves a choice."""
    precautions: tuple[str, ...]
    """What this form of the list is for."""
    course: Course


@dataclass(frozen=True, slots=True)
class Published:
    """One published list."""

    key: str
    short: str
    """What sentences call it."""
    title: str
    body: str
    year: str
    document: str
    address: str
    seen: str
    """A key of SEEN."""
    unsure: str
    """Which part is less sure than that, or empty."""
    notes: str
    hygiene: str
    """When it cleans hands while taking off, in the words of a clinic's policy."""
    left_out: tuple[tuple[str, str], ...]
    """What the list leaves out, each with why it was added."""
    forms: tuple[Form, ...]

    @property
    def sure(self) -> str:
        """One line on how sure the order is."""
        return " ".join(words for words in (SEEN[self.seen], self.unsure) if words)


@cache
def published() -> dict[str, Published]:
    """All lists by key, in the order of the file."""
    text = files("compiler").joinpath("comparing/sequences.yaml").read_text(encoding="utf-8")
    node, told = yaml.read(Source("sequences.yaml", text))
    assert node is not None, told
    whole = _plain(node)
    return {row["key"]: _published(row, whole["reasons"]) for row in whole["sequences"]}


def _plain(node: Node) -> Any:  # noqa: ANN401, as deep as the data
    """Texts, lists and maps without their places."""
    match node:
        case Mapping(entries=entries):
            return {entry.key: _plain(entry.value) for entry in entries}
        case Sequence(items=items):
            return [_plain(item) for item in items]
        case Scalar(text=text):
            return " ".join(text.split())
        case _:
            raise AssertionError(node)


def _published(row: dict[str, Any], reasons: dict[str, str]) -> Published:
    return Published(
        key=row["key"],
        short=row["short"],
        title=row["title"],
        body=row["body"],
        year=row["year"],
        document=row["document"],
        address=row["address"],
        seen=row["seen"],
        unsure=row.get("unsure", ""),
        notes=row.get("notes", ""),
        hygiene=row["hygiene"],
        left_out=tuple(_left_out(row, reasons)),
        forms=tuple(_forms(row)),
    )


def _left_out(row: dict[str, Any], reasons: dict[str, str]) -> Iterator[tuple[str, str]]:
    """Once for each reason, with what was added for it."""
    added: dict[str, list[str]] = {}
    for part in ("putting on", "taking off"):
        for step in row[part]:
            if isinstance(step, dict) and "added" in step:
                added.setdefault(step["added"], []).append(step["do"])
    if "place added" in row:
        added.setdefault(row["place added"], []).append("where things come off")
    for reason, steps in added.items():
        yield ", ".join(dict.fromkeys(steps)), reasons[reason]


def _forms(row: dict[str, Any]) -> Iterator[Form]:
    choices: dict[str, list[str]] = row.get("variants", {})
    for chosen in product(*choices.values()):
        choice = dict(zip(choices, chosen, strict=True))
        donning = tuple(_deeds(row["putting on"], choice, "clean area"))
        begins = "" if "place added" in row else row["taking off begins"]
        doffing = tuple(_deeds(row["taking off"], choice, begins))
        precautions = row["precautions"]
        if isinstance(precautions, dict):
            precautions = precautions[choice["face cover"]]
        yield Form(chosen, tuple(precautions), Course(_if_shown(donning), _if_shown(doffing)))


def _if_shown(deeds: tuple[Deed, ...]) -> tuple[Deed, ...] | None:
    """The half; nothing when all of it was added."""
    return None if all(deed.added for deed in deeds) else deeds


def _deeds(steps: list[Any], choice: dict[str, str], here: str) -> Iterator[Deed]:
    """The deeds of a half; `here` is empty while the list does not say where people stand."""
    for step in steps:
        row = step if isinstance(step, dict) else {"do": step}
        if row.get("only", choice.get("face cover")) != choice.get("face cover"):
            continue
        words, added = row["do"], "added" in row
        if words.startswith("go to "):
            here = "" if added else words.removeprefix("go to ")
            continue
        verb = next((v for v in VERBS if words == v or words.startswith(f"{v} ")), None)
        if verb is None:
            continue
        for name, garment in choice.items():
            words = words.replace(name, garment)
        rest = words.removeprefix(verb).strip()
        inside = here == "room" if here else None
        yield Deed(VERBS[verb], tuple(rest.split(" and ")) if rest else (), inside, added=added)
