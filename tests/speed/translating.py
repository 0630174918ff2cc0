"""How long it takes to bring the translations of a large set up to date."""

from __future__ import annotations

import re
import tempfile
from collections.abc import Iterator
from pathlib import Path

from tests.command.sheets import example_set
from tests.speed.measuring import Row, process, python

PROTOCOLS = 200
LANGUAGES = ("es", "fr", "pt", "ar", "ur", "hi", "bn", "zh-Hans", "vi", "ru", "so", "am")


def translating() -> Iterator[Row]:
    """A set of many protocols in many languages, each file there and every text translated."""
    with tempfile.TemporaryDirectory() as name:
        folder = _many(Path(name) / "many")
        words = python("-m", "compiler", "translate", folder)
        first = process(words, runs=1, warm=0)
        again = process(words, runs=1, warm=0)
        if first.status or again.status:
            raise SystemExit("the large set is not brought up to date")
    what = f"translate {PROTOCOLS} protocols in {len(LANGUAGES)} languages"
    yield Row(what, first.seconds, "s", 20)
    yield Row("  again with nothing changed", again.seconds, "s", 20)
    yield Row("  peak memory", max(first.megabytes, again.megabytes), "MB")


def _many(folder: Path) -> Path:
    """One protocol of the example under many names, with its translations."""
    example_set(folder, ("airborne-room",), ("en", "es"))
    clinic = (folder / "clinic.yaml").read_text(encoding="utf-8")
    tags = ", ".join(("en", *LANGUAGES))
    clinic = re.sub(r"(?m)^languages: .*$", f"languages: [{tags}]", clinic)
    (folder / "clinic.yaml").write_text(clinic, encoding="utf-8")
    text = (folder / "airborne-room.md").read_bytes()
    spanish = folder / "translations" / "es"
    translated = (spanish / "airborne-room.po").read_bytes()
    names = (spanish / "clinic.po").read_bytes()
    for number in range(1, PROTOCOLS):
        (folder / f"room-{number}.md").write_bytes(text)
    for tag in LANGUAGES:
        inside = folder / "translations" / tag
        inside.mkdir(exist_ok=True)
        header = f"Language: {tag}".encode()
        (inside / "clinic.po").write_bytes(names.replace(b"Language: es", header))
        for stem in ("airborne-room", *(f"room-{n}" for n in range(1, PROTOCOLS))):
            file = inside / f"{stem}.po"
            file.write_bytes(translated.replace(b"Language: es", header))
    return folder
