"""A protocol set before it is written down: what strategies build and edit, and its text."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import dataclass, field
from typing import Any

from compiler.findings import Finding
from compiler.model.clinic import Agent, Area, Clinic, Place, Policy
from compiler.model.kit import Item, Kit
from compiler.model.protocol import (
    Activity,
    Check,
    Discard,
    Disinfect,
    Go,
    Grip,
    Hygiene,
    Keep,
    Observed,
    Phrase,
    Protocol,
    Remove,
    Send,
    Takes,
    Touch,
    Wear,
)
from compiler.model.read_clinic import read_clinic
from compiler.model.read_kit import read_kit
from compiler.model.read_protocol import read_protocol
from compiler.source import Source, Span

NOWHERE = Span(Source("nowhere", ""), 0, 0)
"""The place of everything that has not been written down yet."""


@dataclass
class Act:
    """One step: its phrases, and perhaps a question with its branches."""

    phrases: list[Phrase]
    question: str = ""
    branches: list[tuple[str, list[Act]]] = field(default_factory=list)


@dataclass
class DraftPart:
    """One part."""

    activity: Activity
    area: str
    acts: list[Act]


@dataclass
class Draft:
    """A whole set with one protocol."""

    areas: list[Area]
    places: list[Place]
    agents: list[Agent]
    items: list[Item]
    policy: Policy
    on_gloves: bool
    observer: bool
    assistant: bool
    precautions: list[str]
    spores: bool
    parts: list[DraftPart] = field(default_factory=list)

    def lists(self) -> Iterator[list[Act]]:
        """Every list of steps, those below answers included."""
        for part in self.parts:
            yield from _lists(part.acts)

    def acts(self) -> Iterator[Act]:
        """Every step."""
        for acts in self.lists():
            yield from acts

    def forks(self) -> int:
        """How many forks there are."""
        return sum(bool(act.question) for act in self.acts())


def _lists(acts: list[Act]) -> Iterator[list[Act]]:
    yield acts
    for act in acts:
        for _, below in act.branches:
            yield from _lists(below)


@dataclass(frozen=True)
class Written:
    """A set as three texts, and as what the readers make of them."""

    texts: dict[str, str]
    clinic: Clinic
    kit: Kit
    protocol: Protocol
    findings: list[Finding]
    """What the readers had to say; nothing, in a set made by the strategies."""

    def __repr__(self) -> str:
        """The texts, so that a failing example can be read and kept."""
        return "\n".join(f"=== {name}\n{text}" for name, text in self.texts.items())


def written(draft: Draft) -> Written:
    """Writes a draft down and reads it back."""
    return read_texts(
        {
            "clinic.yaml": clinic_text(draft),
            "kit.yaml": kit_text(draft),
            "protocol.md": protocol_text(draft),
        }
    )


def read_texts(texts: dict[str, str]) -> Written:
    """Reads the three texts of a set that has one protocol."""
    (name,) = set(texts) - {"clinic.yaml", "kit.yaml"}
    clinic, findings = read_clinic(Source("clinic.yaml", texts["clinic.yaml"]))
    kit, more = read_kit(Source("kit.yaml", texts["kit.yaml"]), clinic)
    assert clinic, findings
    assert kit, more
    protocol, most = read_protocol(Source(name, texts[name]), clinic, kit)
    assert protocol, most
    return Written(texts, clinic, kit, protocol, findings + more + most)


def clinic_text(draft: Draft) -> str:
    """`clinic.yaml`."""
    rule = "allowed" if draft.on_gloves else "forbidden"
    lines = [
        "clinic: Tern Island Health Post",
        "contact: Infection prevention, extension 214",
        "languages: [en]",
        "areas:",
        *(f"  {area.name}: {area.zone.value}" for area in draft.areas),
        "places:",
        *(
            f"  {place.name}: {{in: {place.area}, for: {place.purpose.value},"
            f" holds: {place.holds}}}"
            for place in draft.places
        ),
        f"hand hygiene: {{policy: {draft.policy.value}, on gloves: {rule}}}",
        "agents:",
        *(
            f"  {agent.name}: {{wet time: 1 min, kills spores: {str(agent.kills_spores).lower()}}}"
            for agent in draft.agents
        ),
        f"staffing: {{observer: {str(draft.observer).lower()},"
        f" assistant: {str(draft.assistant).lower()}}}",
    ]
    return "\n".join(lines) + "\n"


def kit_text(draft: Draft) -> str:
    """`kit.yaml`."""
    return "".join(f"{item.name}: {{{', '.join(_keys(item))}}}\n" for item in draft.items)


def _keys(item: Item) -> Iterator[str]:
    yield f"kind: {item.kind.value}"
    if item.layer:
        yield f"layer: {item.layer}"
    yield f"after use: {item.after_use.value}"
    if item.keep_at:
        yield f"keep on: {item.keep_at}"
    if item.disinfect_with:
        yield f"disinfect with: {item.disinfect_with}"
    if item.rest:
        yield f"rest: {item.rest // 86_400} days"
    if item.at_most:
        yield f"at most: {item.at_most} wearings"


def protocol_text(draft: Draft) -> str:
    """The protocol's Markdown."""
    lines = [
        "---",
        "title: Isolation room",
        f"precautions: [{', '.join(draft.precautions)}]",
        f"hazard: {'spores' if draft.spores else 'respiratory virus'}",
        "edition: 1",
        "valid from: 2026-11-01",
        "review by: 2027-05-01",
        "owner: Infection prevention lead",
        "---",
    ]
    for part in draft.parts:
        lines += ["", f"# Part `{part.activity.value} in {part.area}`", ""]
        lines += _step_lines(part.acts, "")
    return "\n".join(lines) + "\n"


def _step_lines(acts: list[Act], indent: str) -> Iterator[str]:
    for number, act in enumerate(acts, 1):
        codes = [f"`{phrase_text(phrase)}`" for phrase in act.phrases]
        if act.question:
            codes.append(f"`decide {act.question}`")
        marker = f"{number}. "
        yield f"{indent}{marker}**Do this.** {' '.join(codes)}".rstrip()
        below = indent + " " * len(marker)
        for answer, steps in act.branches:
            yield f"{below}- **So.** `if {answer}`"
            yield from _step_lines(steps, below + "  ")


def phrase_text(phrase: Phrase) -> str:
    """A phrase as an author writes it."""
    return _FORMS[type(phrase)](phrase)


def _after(word: str, name: str) -> str:
    return f" {word} {name}" if name else ""


def _helped(phrase: Wear | Remove) -> str:
    return " with assistant" if phrase.assistant else ""


_FORMS: dict[type, Callable[[Any], str]] = {
    Go: lambda p: f"go to {p.area}",
    Hygiene: lambda p: f"{'handwash' if p.wash else 'handrub'}{' on gloves' * p.on_gloves}",
    Wear: lambda p: f"wear {p.item}{_after('from', p.source)}{_helped(p)}",
    Remove: lambda p: f"remove {' and '.join(p.items)}{_after('by', p.grip.value)}{_helped(p)}",
    Discard: lambda p: f"discard {p.item}{_after('in', p.place)}",
    Keep: lambda p: f"keep {p.item} on {p.place}",
    Send: lambda p: f"send {p.item}{_after('in', p.place)}",
    Disinfect: lambda p: f"disinfect {p.target}{_after('with', p.agent)}",
    Check: lambda p: f"check {p.item}",
    Touch: lambda p: f"touch {p.place}",
    Takes: lambda p: f"takes {p.seconds} s",
    Observed: lambda p: "observed",
}


def hygiene(wash: bool = False, on_gloves: bool = False) -> Hygiene:
    """Hand hygiene."""
    return Hygiene(wash, on_gloves, NOWHERE)


def wear(item: str, source: str = "", assistant: bool = False) -> Wear:
    """Putting on."""
    return Wear(item, source, assistant, NOWHERE)


def remove(*items: str, grip: Grip = Grip.USUAL, assistant: bool = False) -> Remove:
    """Taking off."""
    return Remove(items, grip, assistant, NOWHERE)


def agent(name: str, kills_spores: bool) -> Agent:
    """A disinfectant."""
    return Agent(name, NOWHERE, 60, kills_spores)
