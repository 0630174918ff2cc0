"""A small set with real sheets: two protocols in two languages, quick to compile."""

from __future__ import annotations

import re
import shutil
from pathlib import Path

import pikepdf

from tests.command.running import EXAMPLE

PROTOCOLS = ("rapid-entry", "spore-contact-room")
LANGUAGES = ("en", "es")
SHEETS = [f"{name}-poster-{tag}.pdf" for name in PROTOCOLS for tag in LANGUAGES]


def example_set(
    folder: Path,
    protocols: tuple[str, ...] = PROTOCOLS,
    languages: tuple[str, ...] = LANGUAGES,
    products: tuple[str, ...] = ("poster",),
) -> Path:
    """Some protocols of the example in some of its languages, in a folder of their own."""
    folder.mkdir(parents=True)
    for name in ("kit.yaml", *(f"{name}.md" for name in protocols)):
        shutil.copyfile(EXAMPLE / name, folder / name)
    clinic = (EXAMPLE / "clinic.yaml").read_text(encoding="utf-8")
    clinic = re.sub(r"(?m)^languages: .*$", f"languages: [{', '.join(languages)}]", clinic)
    clinic += f"products: [{', '.join(products)}]\n"
    (folder / "clinic.yaml").write_text(clinic, encoding="utf-8")
    for tag in languages[1:]:
        inside = folder / "translations" / tag
        inside.mkdir(parents=True)
        for name in ("clinic", *protocols):
            po = f"{name}.po"
            shutil.copyfile(EXAMPLE / "translations" / tag / po, inside / po)
    return folder


def of(protocol: str = "", language: str = "") -> set[str]:
    """The sheets of one protocol or language."""
    return {n for n in SHEETS if n.startswith(protocol) and n.endswith(f"{language}.pdf")}


def change(path: Path, old: str, new: str) -> None:
    """Edits one place of a text file."""
    text = path.read_text(encoding="utf-8")
    assert old in text, f"{old!r} is not in {path}"
    path.write_text(text.replace(old, new, 1), encoding="utf-8")


def sheets_in(folder: Path) -> dict[str, bytes]:
    """The bytes of every sheet in a folder, by name."""
    return {path.name: path.read_bytes() for path in sorted(folder.glob("*.pdf"))}


def expect_whole(folder: Path) -> list[str]:
    """Opens every sheet in a folder, reads all of it, and gives the names."""
    for path in folder.glob("*.pdf"):
        with pikepdf.open(path) as pdf:
            assert len(pdf.pages) == 1, path
            assert pdf.check_pdf_syntax() == [], path
    return sorted(path.name for path in folder.glob("*.pdf"))


def half_written(folder: Path) -> list[str]:
    """Temporary files that were left."""
    return [path.name for path in folder.glob(".*.part")]
