"""A small protocol with every kind of text, built by hand so that no reader is needed."""

from dataclasses import dataclass, replace

from compiler.model.clinic import Agent, Area, Clinic, Place, Policy, Purpose, Zone
from compiler.model.kit import Item, Kind, Kit
from compiler.model.protocol import (
    Activity,
    Begin,
    Branch,
    Fork,
    Hygiene,
    Part,
    Protocol,
    Step,
    Wear,
)
from compiler.source import Source, Span

TEXT = """---
title: Airborne isolation room
hazard: respiratory virus
---

# Putting on `donning in change room`

Take your time.

1. **Clean your hands.** Rub until dry, 20 to 30 seconds. `handrub`
2. **Put on the coverall.** Sit down and step in. `wear coverall`
   > Do not let the legs touch the floor.
3. **Is the coverall sound?** `decide coverall state`
   - **Torn: take another.** `if damaged`
     1. **Put on the new one.** `wear coverall`
   - **Sound: go on.** Close the flap. `if sound`
"""


@dataclass
class Finder:
    """Finds words in a text, each after the one before."""

    source: Source
    last: int = 0

    def __call__(self, words: str) -> Span:
        """The next place of these words."""
        self.last = self.source.text.index(words, self.last)
        return self.source.span(self.last, self.last + len(words))


def protocol(text: str = TEXT) -> Protocol:
    """The protocol above."""
    source = Source("protocols/airborne-room.md", text)
    find = Finder(source)
    at, _ = find("Airborne isolation room"), find("Putting on")
    begin = Begin(Activity.DONNING, "change room", find("donning in change room"))
    clean_at = find("Clean your hands.")
    first = Step(
        1,
        "Clean your hands.",
        "Rub until dry, 20 to 30 seconds.",
        (),
        (Hygiene(False, False, find("handrub")),),
        None,
        clean_at,
    )
    coverall_at = find("Put on the coverall.")
    second = Step(
        2,
        "Put on the coverall.",
        "Sit down and step in.",
        ("Do not let the legs touch the floor.",),
        (Wear("coverall", "", False, find("wear coverall")),),
        None,
        coverall_at,
    )
    third_at, fork_at = find("Is the coverall sound?"), find("decide coverall state")
    damaged_at = find("if damaged")
    new_at = find("Put on the new one.")
    renewed = Step(
        1,
        "Put on the new one.",
        "",
        (),
        (Wear("coverall", "", False, find("wear coverall")),),
        None,
        new_at,
    )
    fork = Fork(
        "coverall state",
        (
            Branch("damaged", "Torn: take another.", "", (renewed,), damaged_at),
            Branch("sound", "Sound: go on.", "Close the flap.", (), find("if sound")),
        ),
        fork_at,
    )
    third = Step(3, "Is the coverall sound?", "", (), (), fork, third_at)
    part = Part(
        "Putting on",
        begin,
        ("Take your time.",),
        (first, second, third),
        source.span(begin.at.start - 12, begin.at.start - 2),
    )
    return Protocol(
        "airborne-room",
        "Airborne isolation room",
        ("airborne",),
        "respiratory virus",
        "4",
        None,
        None,
        "",
        (part,),
        source,
        at,
    )


def reworded_step(whole: Protocol, index: int, **changes: object) -> Protocol:
    """The protocol with one step of its first part changed."""
    part = whole.parts[0]
    steps = list(part.steps)
    steps[index] = replace(steps[index], **changes)
    return replace(whole, parts=(replace(part, steps=tuple(steps)),))


def clinic() -> tuple[Clinic, Kit]:
    """The invented clinic and its coverall."""
    source = Source(
        "protocols/clinic.yaml",
        "clinic: Tern Island Health Post\ncontact: extension 214\nchange room\nown hook\nsurface wipe\ncoverall\n",
    )
    find = Finder(source)
    at = find("Tern Island Health Post")
    areas = {"change room": Area("change room", Zone.CLEAN, find("change room"))}
    places = {"own hook": Place("own hook", "change room", Purpose.KEEPING, find("own hook"))}
    agents = {"surface wipe": Agent("surface wipe", find("surface wipe"), 120)}
    kit = Kit({"coverall": Item("coverall", Kind.COVERALL, find("coverall"))})
    return Clinic(
        "Tern Island Health Post",
        "extension 214",
        ("en", "ar"),
        areas,
        places,
        agents,
        Policy.EVERY_ITEM,
        True,
        at,
    ), kit


def filled(text: str) -> str:
    """A PO file with a translation for every text: the source text after the letters ES."""
    lines = text.split("\n")
    for index, line in enumerate(lines[1:], 1):
        before = lines[index - 1]
        if line == 'msgstr ""' and before.startswith("msgid ") and before != 'msgid ""':
            lines[index] = before.replace('msgid "', 'msgstr "ES ')
    return "\n".join(lines)
