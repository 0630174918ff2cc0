"""Reads the packaged lists on its own: published orders, one for each choice of garment."""

from __future__ import annotations

import functools
import itertools
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path
from typing import Any

import yaml

SEQUENCES = Path(__file__).parents[2] / "compiler" / "comparing" / "sequences.yaml"
VERBS = (
    "clean hands",
    "wash hands",
    "clean gloves",
    "wash gloves",
    "put on",
    "take off",
    "check",
    "wipe",
    "observed",
    "go to",
    "advise",
)


@dataclass(frozen=True, slots=True)
class Act:
    """One step of a published list."""

    verb: str
    """One of VERBS."""
    things: tuple[str, ...] = ()
    """Items, the area walked to, or the words of advice."""
    added: str = ""
    """Why it is here although the list leaves it out; empty when the list has it."""

    @property
    def hygiene(self) -> bool:
        """Whether hands or gloves are cleaned."""
        return self.verb.startswith(("clean ", "wash "))

    @property
    def bare_hygiene(self) -> bool:
        """Whether bare hands are cleaned."""
        return self.verb in {"clean hands", "wash hands"}

    def is_off(self, item: str) -> bool:
        """Whether the item comes off here, alone or with others."""
        return self.verb == "take off" and item in self.things


@dataclass(frozen=True, slots=True)
class Sequence:
    """One published order, with every choice of garment made."""

    key: str
    """The key of the list, then the choices: `nipcm-appendix-6-apron-mask`."""
    source: str
    """The key of the list alone."""
    title: str
    body: str
    year: str
    seen: str
    """How sure the order is: read, restated or memory."""
    precautions: tuple[str, ...]
    policy: str
    """The hand-hygiene policy that the list follows, as `clinic.yaml` names it."""
    hygiene_on_gloves: str
    after_use: tuple[tuple[str, str], ...]
    """What is sent, or wiped and kept; everything else is discarded."""
    donning: tuple[Act, ...]
    begins: str
    """The area where taking off begins."""
    doffing: tuple[Act, ...]

    @property
    def items(self) -> tuple[str, ...]:
        """What is put on or taken off, in the order first named."""
        acts = (a for a in self.donning + self.doffing if a.verb in {"put on", "take off"})
        return tuple(dict.fromkeys(item for act in acts for item in act.things))


def _act(words: str, added: str) -> Act:
    verb = next(verb for verb in VERBS if words == verb or words.startswith(verb + " "))
    rest = words[len(verb) :].strip()
    if verb == "advise":
        return Act(verb, (rest,), added)
    return Act(verb, tuple(rest.split(" and ")) if rest else (), added)


def _acts(steps: list[Any], choice: dict[str, str], reasons: dict[str, str]) -> tuple[Act, ...]:
    acts = []
    for step in steps:
        row = {"do": step} if isinstance(step, str) else step
        if row.get("only", choice.get("face cover")) != choice.get("face cover"):
            continue
        words = row["do"]
        for name, chosen in choice.items():
            words = words.replace(name, chosen)
        acts.append(_act(words, reasons[row["added"]] if "added" in row else ""))
    return tuple(acts)


def _variants(row: dict[str, Any], reasons: dict[str, str]) -> Iterator[Sequence]:
    choices = row.get("variants", {})
    for chosen in itertools.product(*choices.values()):
        choice = dict(zip(choices, chosen, strict=True))
        precautions = row["precautions"]
        if isinstance(precautions, dict):
            precautions = precautions[choice["face cover"]]
        yield Sequence(
            key="-".join((row["key"], *chosen)),
            source=row["key"],
            title=row["title"],
            body=row["body"],
            year=str(row["year"]),
            seen=row["seen"],
            precautions=tuple(precautions),
            policy=row["hygiene"],
            hygiene_on_gloves=row["hygiene on gloves"],
            after_use=tuple(row.get("after use", {}).items()),
            donning=_acts(row["putting on"], choice, reasons),
            begins=row["taking off begins"],
            doffing=_acts(row["taking off"], choice, reasons),
        )


def records() -> dict[str, Any]:
    """The file as it stands."""
    return yaml.safe_load(SEQUENCES.read_text(encoding="utf-8"))


@functools.cache
def sequences() -> tuple[Sequence, ...]:
    """Every sequence, every choice, in the order of the file."""
    whole = records()
    return tuple(
        sequence for row in whole["sequences"] for sequence in _variants(row, whole["reasons"])
    )


def of_source(key: str) -> tuple[Sequence, ...]:
    """All variants of one list."""
    return tuple(sequence for sequence in sequences() if sequence.source == key)
