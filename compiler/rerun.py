"""Compiling again with nothing changed: told from the bytes of the inputs, unread.

Only a run that had nothing at all to find is remembered, so nothing is kept from anybody.
"""

from __future__ import annotations

import datetime
import hashlib
import json
import os
from collections.abc import Iterable, Iterator
from dataclasses import replace
from pathlib import Path

from compiler.layout.font_files import font_folders
from compiler.printing import known_files, program
from compiler.products.theme import home
from compiler.storage import write_whole
from compiler.task import Wish

REMEMBERED = ".wallward-run.json"
"""Beside the sheets: what the last run was made from, and what it made."""
MOST_FILES = 20_000
"""Inputs above which a run is not remembered: somebody compiles a whole disk."""


def footprint(
    sets: Iterable[tuple[Path, list[Path]]], wish: Wish, on: datetime.date | None
) -> str:
    """A digest of all that a run depends on; empty when it cannot be had."""
    asked = replace(wish, into=Path()), on
    digest = hashlib.sha256(repr((asked, program(), known_files([home()]))).encode())
    folders = [folder for folder, _ in sets]
    if Path(wish.theme).is_dir():
        folders.append(Path(wish.theme))
    count = 0
    try:
        for folder, files in sets:
            digest.update(repr((folder.as_posix(), [f.as_posix() for f in files])).encode())
        for path in _inputs(folders, wish.into):
            count += 1
            if count > MOST_FILES:
                return ""
            digest.update(repr((path.as_posix(), path.stat().st_size)).encode())
            digest.update(path.read_bytes())
        for path in _below(font_folders()):
            known = path.stat()
            digest.update(repr((path.as_posix(), known.st_size, known.st_mtime_ns)).encode())
    except OSError:
        return ""
    return digest.hexdigest()


def sheets_of(into: Path, made_from: str) -> list[str] | None:
    """The sheets of the last run, if it was made from just this and all are still whole."""
    try:
        record = json.loads((into / REMEMBERED).read_text(encoding="utf-8"))
        if not made_from or record["made from"] != made_from:
            return None
        whole = all(_sha256(into / name) == digest for name, digest in record["files"].items())
        return list(record["sheets"]) if whole else None
    except (OSError, ValueError, TypeError, KeyError, AttributeError, RecursionError):
        return None


def remember(into: Path, made_from: str, sheets: Iterable[tuple[Path, ...]]) -> None:
    """Writes down what was made; each sheet by its files, the first one naming it.

    Raises:
        OSError: when it cannot be written.
    """
    if not made_from:
        return
    told = list(sheets)
    record = {
        "made from": made_from,
        "sheets": [paths[0].name for paths in told],
        "files": {path.name: _sha256(path) for paths in told for path in paths},
    }
    write_whole(into / REMEMBERED, json.dumps(record, indent=1).encode())


def _sha256(path: Path) -> str:
    return hashlib.sha256(path.read_bytes()).hexdigest()


def _inputs(folders: Iterable[Path], into: Path) -> Iterator[Path]:
    """Every file of the sets; what was made of them, and hidden files, left out."""
    made = into.resolve()
    for path in _below(folders):
        hidden = any(part.startswith(".") and part != ".." for part in path.parts)
        if not hidden and not path.resolve().is_relative_to(made):
            yield path


def _below(folders: Iterable[Path]) -> Iterator[Path]:
    """All files in some folders, in a fixed order."""
    for folder in folders:
        for here, below, names in os.walk(folder):
            below.sort()
            yield from (Path(here, name) for name in sorted(names))
