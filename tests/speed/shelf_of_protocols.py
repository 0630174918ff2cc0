"""Many different protocols of one clinic, for `tests.speed`: seeded, 40 steps and 3 forks each.

They are written as a clinic would write them: an outfit goes on, work is done, the outfit comes
off with hygiene between. Outfits, order, questions, words and places differ from one to the next;
in one of eight the phrases of a step were forgotten.
"""

from __future__ import annotations

import random
import re
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path

from tests.speed.shelf_words import (
    ADVICE,
    CLINIC,
    KEPT,
    KIT,
    REASONS,
    RUBS,
    TOUCHED,
    WARNINGS,
)

STEPS, FORKS = 40, 3

EITHER = "either"
"""Eye protection that a question chooses."""


@dataclass(frozen=True)
class _Outfit:
    """What is worn: body, apron, head and feet, some of them nothing; then the face."""

    garments: tuple[str, str, str, str]
    breathing: str
    eyes: str
    double: bool
    """Two pairs of gloves."""


class _Writer:
    """One protocol in the making."""

    def __init__(self, number: int) -> None:
        self.number = number
        self.choose = random.Random(number)
        self.steps = self.forks = 0

    def step(self, lead: str, detail: str, phrases: str = "", warning: str = "") -> str:
        """A step's text; counted."""
        self.steps += 1
        words = " ".join(part for part in (f"**{lead}**", detail, phrases) if part)
        return f"{words}\n    > {warning}" if warning else words

    def fork(
        self, lead: str, detail: str, question: str, branches: dict[str, list[str]]
    ) -> str:
        """A step that asks, with the steps of each answer."""
        self.forks += 1
        text = self.step(lead, detail, f"`decide {question}`")
        for answer, steps in branches.items():
            text += f"\n    - **{answer.capitalize()}.** `if {answer}`"
            for at, inner in enumerate(steps, 1):
                text += f"\n      {at}. " + inner.replace("\n", "\n  ")
        return text

    def rub(self, on_gloves: bool = False) -> str:
        """Hand hygiene."""
        detail = self.choose.choice(RUBS)
        if on_gloves:
            return self.step("Clean your gloves.", detail, "`handrub on gloves`")
        return self.step("Clean your hands.", detail, "`handrub`")

    def wear(self, item: str) -> str:
        """Putting on, from its place if it is kept."""
        detail = self.choose.choice(
            (f"Look at the {item} first.", f"Pull the {item} into place.", "Take your size.")
        )
        place = f" from {KEPT[item]}" if item in KEPT else ""
        return self.step(f"Put on the {item}.", detail, f"`wear {item}{place}`")

    def let_go(self, item: str, away: bool = False) -> str:
        """Taking off, to where the kit says."""
        grip = self.choose.choice((" by straps", " by ties", " by inside", ""))
        if "gloves" in item:
            grip = " by cuffs"
        end = f"discard {item} in waste bin"
        if item == "cloth gown":
            end = f"send {item} in laundry bag"
        elif item in KEPT and not away:
            end = f"keep {item} on {KEPT[item]}"
        detail = self.choose.choice(
            (
                "Lean forward and close your eyes.",
                "Lift it away from you.",
                "Touch the inside only.",
            )
        )
        verb = "Throw away" if away else "Take off"
        return self.step(f"{verb} the {item}.", detail, f"`remove {item}{grip}` `{end}`")

    def wipe(self, item: str) -> str:
        """Disinfection while it is still on."""
        return self.step(
            f"Wipe the {item}.",
            "Work from the top down. Keep it wet for the time on the label.",
            f"`disinfect {item} with surface wipe`",
        )


def protocol(number: int) -> str:
    """The text of one of them, always the same for one number."""
    for draft in range(100):
        writer = _Writer(number * 100 + draft)
        text = _written(writer, number)
        if (writer.steps, writer.forks) == (STEPS, FORKS):
            return text
    raise AssertionError(number)


def _written(writer: _Writer, number: int) -> str:
    choose = writer.choose
    body = choose.choice(("coverall", "gown", "cloth gown"))
    apron = choose.choice(("", "apron", "single-use apron"))
    feet = choose.choice(("", "boots", "boot covers"))
    outfit = _Outfit(
        (body, apron, choose.choice(("", "", "cap")), feet),
        choose.choice(("respirator", "single-use respirator")),
        choose.choice(("goggles", "face shield", "single-use face shield", EITHER)),
        choose.random() < 0.4,
    )
    on, off = _putting_on(writer, outfit), _taking_off(writer, outfit)
    work = _working(writer)
    if choose.random() < 1 / 8:
        # its words are there, its phrases are not
        steps = choose.choice((on, off))
        at = choose.choice([k for k, step in enumerate(steps) if "decide" not in step])
        steps[at] = re.sub(" `[^`]*`", "", steps[at])
    asked = choose.choice(("contact, airborne", "contact, droplet, airborne"))
    hazard = choose.choice(("respiratory virus", "tuberculosis", "unknown infection"))
    top = (
        f"---\ntitle: Room {number}\nprecautions: [{asked}]\nhazard: {hazard}\n"
        "edition: 1\nvalid from: 2026-11-01\nreview by: 2027-05-01\n"
        "owner: Infection prevention lead\n---\n\n"
    )
    parts = (
        ("Putting on `donning in transition bay`", on),
        ("At work `at work in isolation room`", work),
        ("Taking off `doffing in transition bay`", off),
    )
    return top + "\n".join(
        f"# {title}\n\n" + "".join(f"{at}. {step}\n" for at, step in enumerate(steps, 1))
        for title, steps in parts
    )


def _putting_on(writer: _Writer, outfit: _Outfit) -> list[str]:
    on = [writer.rub()]
    if outfit.double:
        on.append(writer.wear("inner gloves"))
    items = [item for item in outfit.garments if item]
    writer.choose.shuffle(items)
    on += [writer.wear(item) for item in (*items, outfit.breathing)]
    on.append(
        writer.step(
            "Check the seal.",
            "Breathe out hard, then breathe in. If air leaks, fit it again.",
            f"`check {outfit.breathing}`",
            "Do not go in if air still leaks. Ask a colleague to go.",
        )
    )
    on.append(writer.rub(outfit.double))
    if outfit.eyes == EITHER:
        both = {item: [writer.wear(item)] for item in ("goggles", "face shield")}
        lead, detail = (
            "Choose your eye protection.",
            "Take the face shield if you wear glasses.",
        )
        on.append(writer.fork(lead, detail, "eye protection", both))
    else:
        on.append(writer.wear(outfit.eyes))
    on.append(writer.wear("outer gloves" if outfit.double else "gloves"))
    on.append(writer.step("Go in.", "Close the door behind you.", "`go to isolation room`"))
    return on


def _taking_off(writer: _Writer, outfit: _Outfit) -> list[str]:
    body, apron, head, feet = outfit.garments
    double = outfit.double
    off: list[str] = []
    for item in (apron, feet, body):
        if item in KEPT:
            off += [writer.wipe(item), writer.rub(on_gloves=True)]
    if apron:
        off += _one_off(writer, apron, gloved=True)
    off += [writer.let_go("outer gloves" if double else "gloves"), writer.rub(double)]
    for item in filter(None, (body, feet)):
        off += _one_off(writer, item, gloved=double)
    if double and writer.choose.random() < 0.5:
        off += [writer.let_go("inner gloves"), writer.rub()]
        double = False
    off += _eyes_off(writer, outfit.eyes, double)
    if head:
        off += [writer.let_go(head), writer.rub()]
    off += _one_off(writer, outfit.breathing, gloved=False)
    off.append(writer.step("Go to the change room.", "Change if wet.", "`go to change room`"))
    return off


def _eyes_off(writer: _Writer, eyes: str, double: bool) -> Iterator[str]:
    """What is kept is wiped with gloves on, before or after it comes off."""
    kept = eyes == EITHER or eyes in KEPT
    if kept and not double:
        yield writer.wear("gloves")
    if eyes == EITHER:
        both = {item: _off_and_wiped(writer, item) for item in ("goggles", "face shield")}
        yield writer.fork("Take off the eye protection.", "", "eye protection", both)
    else:
        if kept:
            yield writer.wipe(eyes)
            yield writer.rub(on_gloves=True)
        yield writer.let_go(eyes)
    yield writer.rub(on_gloves=kept or double)
    if kept or double:
        yield writer.let_go("inner gloves" if double else "gloves")
        yield writer.rub()


def _off_and_wiped(writer: _Writer, item: str) -> list[str]:
    """Taken off in one step and kept in the next: nothing is kept before it is wiped."""
    off = writer.let_go(item).split(" `keep ")[0]
    phrases = f"`disinfect {item} with surface wipe` `keep {item} on {KEPT[item]}`"
    return [
        off,
        writer.step(f"Wipe the {item}.", "Wipe the inside, then the outside.", phrases),
    ]


def _one_off(writer: _Writer, item: str, gloved: bool) -> Iterator[str]:
    """Off it comes; where a question is left, it may be thrown away instead."""
    if item in KEPT and writer.forks < FORKS:
        damaged = [writer.let_go(item, away=True)]
        branches = {"damaged": damaged, "intact": [writer.let_go(item)]}
        detail = writer.choose.choice(REASONS)
        yield writer.fork(f"Look at the {item}.", detail, f"{item} state", branches)
    else:
        yield writer.let_go(item)
    yield writer.rub(on_gloves=gloved)


def _working(writer: _Writer) -> list[str]:
    """The questions that are left, and tasks up to the number of steps."""
    choose = writer.choose
    work: list[str] = []
    places = list(TOUCHED)
    choose.shuffle(places)
    while writer.forks < FORKS:
        place = places.pop()
        used = [writer.step(f"Use the {place}.", "Hold it by its handle.", f"`touch {place}`")]
        branches: dict[str, list[str]] = {"yes": used, "no": []}
        lead, question = f"Do you need the {place}?", f"need of the {place}"
        work.append(writer.fork(lead, "", question, branches))
    leave = writer.step("Leave the room.", "Close the door fully.", "`go to transition bay`")
    while writer.steps < STEPS:
        kind = choose.random()
        if kind < 0.25 and places:
            place = places.pop()
            text = writer.step(f"Move the {place}.", "Use both hands.", f"`touch {place}`")
        elif kind < 0.5:
            text = writer.rub(on_gloves=True)
        else:
            lead, detail = choose.choice(ADVICE)
            warning = choose.choice(WARNINGS) if choose.random() < 0.3 else ""
            text = writer.step(lead, detail, warning=warning)
        work.insert(choose.randrange(len(work) + 1), text)
    return [*work, leave]


def many(folder: Path, count: int) -> Path:
    """Writes a set of that many; gives its folder."""
    folder.mkdir(parents=True)
    (folder / "clinic.yaml").write_text(CLINIC, encoding="utf-8")
    (folder / "kit.yaml").write_text(KIT, encoding="utf-8")
    for number in range(count):
        (folder / f"room-{number:04}.md").write_text(protocol(number), encoding="utf-8")
    return folder
