"""Protocols that are hard to prove, for `tests.speed`: many forks whose effects all stay.

The worst cases are those of `compiler/README.md`, "Exploration": all answers bear on one thing.

At each fork one branch touches a thing of its own or throws a kept item away, and the other does
not; what was touched stays dirty and what was kept comes back, so no two ways end alike.
"""

from __future__ import annotations

from collections.abc import Iterable
from pathlib import Path

KINDS = ("gown", "apron", "goggles", "face shield", "hood", "cap", "boots", "mask")
"""One item of each is worn, and kept or thrown away at a fork of its own."""
HEAD = (
    "---\ntitle: Many forks\nprecautions: [contact, droplet]\nhazard: bacteria\nedition: 1\n"
    "valid from: 2026-11-01\nreview by: 2027-05-01\nowner: Infection prevention lead\n---\n\n"
)


def hard_set(folder: Path, forks: int, steps: int) -> Path:
    """Writes a set of one protocol with so many independent forks and steps; gives its file."""
    folder.mkdir(parents=True)
    things = max(forks - len(KINDS), 0)
    (folder / "clinic.yaml").write_text(_clinic(things), encoding="utf-8")
    rows = "".join(
        f"{kind}: {{kind: {kind}, after use: keep, keep on: {kind} hook, "
        "disinfect with: surface wipe}\n"
        for kind in KINDS
    )
    kit = f"{rows}gloves: {{kind: gloves, after use: discard}}\n"
    (folder / "kit.yaml").write_text(kit, encoding="utf-8")
    protocol = folder / "many-forks.md"
    protocol.write_text(_protocol(things, forks - things, steps), encoding="utf-8")
    return protocol


def _clinic(things: int, area: str = "bay") -> str:
    hooks = "".join(f"  {kind} hook: {{in: bay, for: keeping}}\n" for kind in KINDS)
    used = "".join(f"  thing {n}: {{in: {area}, for: use}}\n" for n in range(things))
    return (
        "clinic: Tern Island Health Post\ncontact: Infection prevention\nlanguages: [en]\n"
        "areas: {change room: clean, bay: transition, room: contaminated}\n"
        f"places:\n  waste bin: {{in: bay, for: waste}}\n{hooks}{used}"
        "hand hygiene: {policy: when contaminated and at the end, on gloves: allowed}\n"
        "agents: {surface wipe: {wet time: 2 min}}\npaper: A1\n"
    )


def _protocol(things: int, kept: int, steps: int) -> str:
    """The text: a step for each item and each way at a fork, and advice up to the number."""
    donning = ["**Clean your hands.** `handrub`"]
    donning += [f"**Put on the {k}.** `wear {k} from {k} hook`" for k in KINDS]
    donning += ["**Put on gloves.** `wear gloves`", "**Go in.** `go to room`"]
    work = ["**Leave.** `go to bay`"]
    doffing = [
        f"**Do you need thing {n}?** `decide need of {n}`\n"
        f"    - **Yes.** `if yes`\n      1. **Use it.** `touch thing {n}`\n    - **No.** `if no`"
        for n in range(things)
    ]
    doffing += [
        "**Take off the gloves.** `remove gloves by cuffs` `discard gloves in waste bin`",
        "**Clean your hands.** `handrub`",
    ]
    for number, kind in enumerate(reversed(KINDS)):
        discard = f"**Throw it away.** `remove {kind} by straps` `discard {kind} in waste bin`"
        keep = (
            f"**Keep it.** `disinfect {kind} with surface wipe` `handrub` "
            f"`remove {kind} by straps` `keep {kind} on {kind} hook`"
        )
        doffing += [
            f"**Is the {kind} torn?** `decide {kind} state`\n    - **Torn.** `if torn`\n"
            f"      1. {discard}\n    - **Sound.** `if sound`\n      1. {keep}"
            if number < kept
            else keep,
            "**Clean your hands.** `handrub`",
        ]
    written = len(donning) + len(work) + len(doffing) + things + 2 * kept
    work = [f"**Do task {n}.** `handrub on gloves`" for n in range(steps - written)] + work
    parts = (
        ("Putting on `donning in bay`", donning),
        ("At work `at work in room`", work),
        ("Taking off `doffing in bay`", doffing),
    )
    return HEAD + _parts(parts)


def asked_again(folder: Path, forks: int) -> Path:
    """Questions asked twice, all of whose answers decide how clean the hands are."""
    questions = [
        f"**Thing {n}?** `decide need of {n}`\n    - **Yes.** `if yes`\n"
        f"      1. **Use it.** `touch thing {n}`\n    - **No.** `if no`"
        for n in range(forks)
    ]
    return _written(folder, forks, "", ["**Go in.** `go to room`"], questions * 2)


def many_gloves(folder: Path, forks: int) -> Path:
    """Pairs of gloves that are each put on or not, before things are touched."""
    kit = "".join(f"gloves {n}: {{kind: gloves, after use: discard}}\n" for n in range(forks))
    donning = [
        f"**Gloves {n}?** `decide gloves {n}`\n    - **Yes.** `if yes`\n"
        f"      1. **Put them on.** `wear gloves {n}`\n    - **No.** `if no`"
        for n in range(forks)
    ]
    work = [f"**Use thing {n}.** `touch thing {n}`" for n in range(forks)]
    return _written(folder, forks, kit, ["**Hands.** `handrub`", *donning], work)


def _written(folder: Path, things: int, kit: str, donning: list[str], work: list[str]) -> Path:
    folder.mkdir(parents=True)
    clinic = _clinic(things, "room")
    (folder / "clinic.yaml").write_text(clinic, encoding="utf-8")
    text = f"{kit}cap: {{kind: cap, after use: discard}}\n"
    (folder / "kit.yaml").write_text(text, encoding="utf-8")
    leave = ["**Leave.** `go to bay`", "**Hands.** `handrub`"]
    parts = (
        ("Putting on `donning in bay`", donning),
        ("At work `at work in room`", ["**Hands.** `handrub`", *work]),
        ("Taking off `doffing in bay`", leave),
    )
    protocol = folder / "worst.md"
    protocol.write_text(HEAD + _parts(parts), encoding="utf-8")
    return protocol


def _parts(parts: Iterable[tuple[str, Iterable[str]]]) -> str:
    return "\n".join(
        f"# {title}\n\n" + "".join(f"{n}. {text}\n" for n, text in enumerate(items, 1))
        for title, items in parts
    )
