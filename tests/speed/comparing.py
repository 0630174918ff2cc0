"""What comparing two large sets takes, as a person meets it: a process from start to end."""

from __future__ import annotations

import tempfile
from collections.abc import Iterator
from pathlib import Path

from tests.command.sheets import example_set
from tests.speed.measuring import Row, process, python

MANY = 200
FEW = 10
LANGUAGES = ("en", "es")
SEAL = "7. **Check the seal.**"
CHANGES = (
    (SEAL, "7. **Check the fit.**"),
    ("`handrub on gloves`", ""),
    ("edition: 1", "edition: 2"),
)
POLICIES = ("policy: after every item", "policy: after gloves and at the end")


def large_set(folder: Path, edited: int = 0) -> Path:
    """Protocols of 40 steps and 3 forks with one translation each; some of them edited."""
    example_set(folder, ("airborne-room",), LANGUAGES)
    text = (folder / "airborne-room.md").read_text(encoding="utf-8")
    words = (folder / "translations/es/airborne-room.po").read_bytes()
    for number in range(1, MANY):
        own = text.replace("title: Airborne", f"title: {number}, airborne", 1)
        for old, new in CHANGES if number <= edited else ():
            own = own.replace(old, new, 1)
        (folder / f"room-{number}.md").write_text(own, encoding="utf-8")
        (folder / f"translations/es/room-{number}.po").write_bytes(words)
    return folder


def comparing() -> Iterator[Row]:
    """A few edits; nothing; and a house rule that asks for every protocol to be proved again."""
    with tempfile.TemporaryDirectory() as name:
        old, new = large_set(Path(name) / "old"), large_set(Path(name) / "new", FEW)
        words = python("-m", "compiler", "compare", old, new)
        few = process(words, runs=3)
        yield Row(f"compare two sets of {MANY}, {FEW} protocols edited", few.seconds, "s", 3)
        yield Row("  the same, peak memory", few.megabytes, "MB")
        same = process(python("-m", "compiler", "compare", old, old), runs=3)
        yield Row("  nothing changed", same.seconds, "s")
        clinic = new / "clinic.yaml"
        text = clinic.read_text(encoding="utf-8")
        clinic.write_text(text.replace(*POLICIES), encoding="utf-8")
        every = process(words, runs=1, warm=0)
        yield Row(f"  a house rule changed, all {2 * MANY} proved", every.seconds, "s")
    if (few.status, same.status, every.status) != (1, 0, 1):
        raise SystemExit("the two sets are not compared as they should be")
