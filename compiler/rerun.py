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

from compiler.layout.font_folders import font_folders
from compiler.own_files import known_files, program, themes_home
from compiler.storage import write_whole
from compiler.wish import Wish

REMEMBERED = ".wallward-run.json"
"""Beside the sheets: what the last run was made from, and what it made."""
MOST_FILES = 20_000
"""Inputs above which a run is not remembered: somebody compiles a whole disk."""
RECENT = 2_000_000_000
"""Nanoseconds. A file that changed so shortly before the end of a run may change once more
without any change of its times, which some disks keep in whole seconds: it is read again."""


def footprint(
    sets: Iterable[tuple[Path, list[Path]]], wish: Wish, on: datetime.date | None
) -> str:
    """A digest of all that a run depends on; empty when it cannot be had."""
    asked = replace(wish, into=Path()), on
    digest = hashlib.sha256(repr((asked, program(), known_files([themes_home()]))).encode())
    folders = [folder for folder, _ in sets]
    if wish.theme and Path(wish.theme).is_dir():
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
        whole = all(_is_whole(into / name, *known) for name, known in record["files"].items())
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
    paths = [path for group in told for path in group]
    times = {path: _times(path) for path in paths}
    ended = max((max(known[1:3]) for known in times.values()), default=0)
    record = {
        "made from": made_from,
        "sheets": [group[0].name for group in told],
        "files": {
            path.name: [_sha256(path), known if max(known[1:3]) < ended - RECENT else []]
            for path, known in times.items()
        },
    }
    write_whole(into / REMEMBERED, json.dumps(record, indent=1).encode())


def _is_whole(path: Path, digest: str, times: list[int]) -> bool:
    """Whether a file is as it was written: by its times, or else by its bytes."""
    return (times and _times(path) == times) or _sha256(path) == digest


def _times(path: Path) -> list[int]:
    """What changes with every change of a file: size, times, and which file it is."""
    known = path.stat()
    return [known.st_size, known.st_mtime_ns, known.st_ctime_ns, known.st_ino]


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
