"""Files at the edge: read with bounds, found as sets, written whole or not at all."""

from __future__ import annotations

import fcntl
import glob
import os
import tempfile
from collections.abc import Iterable
from contextlib import suppress
from pathlib import Path

from compiler.findings import UnreadableSourceError
from compiler.source import Source

LARGEST_FILE = 1_000_000
"""Bytes. A protocol of 200 steps is a twentieth of this."""

CLINIC, KIT, TRANSLATIONS = "clinic.yaml", "kit.yaml", "translations"
SIGN_OFFS = "sign-offs.txt"


def open_source(path: Path) -> Source:
    """Reads one text file.

    Raises:
        UnreadableSourceError: when it is missing, a folder, too large or not UTF-8 text.
    """
    shown = path.as_posix()
    try:
        if path.stat().st_size > LARGEST_FILE:
            limit = LARGEST_FILE // 1_000_000
            raise UnreadableSourceError(f"{shown}: larger than {limit} MB; split or remove it")
        data = path.read_bytes()
    except FileNotFoundError:
        raise UnreadableSourceError(f"{shown}: there is no such file") from None
    except OSError as fault:
        raise UnreadableSourceError(f"{shown}: cannot be read ({fault.strerror})") from None
    return decoded(shown, data)


def decoded(shown: str, data: bytes) -> Source:
    """The text of one file, wherever its bytes were kept.

    Raises:
        UnreadableSourceError: when they are not UTF-8 text.
    """
    if b"\0" in data:
        raise UnreadableSourceError(f"{shown}: not a text file; save it as plain UTF-8 text")
    try:
        text = data.decode("utf-8-sig")
    except UnicodeDecodeError as fault:
        line = data[: fault.start].count(b"\n") + 1
        column = fault.start - data.rfind(b"\n", 0, fault.start)
        raise UnreadableSourceError(
            f"{shown}:{line}:{column}: not UTF-8 text here; save the file with UTF-8 encoding"
        ) from None
    return Source(shown, text.replace("\r\n", "\n").replace("\r", "\n"))


def find_sets(paths: Iterable[Path]) -> list[tuple[Path, list[Path]]]:
    """The sets that paths speak of: each folder with the protocols wanted from it.

    A folder stands for all its protocols; a protocol file for itself. Without paths it is the
    set in this folder or in `protocols` below it.

    Raises:
        UnreadableSourceError: when a path is no set and no protocol of one.
    """
    sets: dict[Path, list[Path]] = {}
    for path in list(paths) or [_nearest_set()]:
        if path.is_dir():
            sets.setdefault(path, []).extend(protocols_in(path))
        elif path.suffix == ".md" or not path.exists():
            sets.setdefault(path.parent, []).append(path)
        else:
            raise UnreadableSourceError(
                f"{path.as_posix()}: not a protocol; name a folder or a file ending in .md"
            )
    for folder, files in sets.items():
        _expect_set(folder, files)
    return [(folder, list(dict.fromkeys(files))) for folder, files in sets.items()]


def protocols_in(folder: Path) -> list[Path]:
    """All protocols of a set's folder, by name."""
    return sorted(path for path in folder.glob("*.md") if path.name != "README.md")


def _nearest_set() -> Path:
    here = Path()
    return here if (here / CLINIC).is_file() else here / "protocols"


def _expect_set(folder: Path, files: list[Path]) -> None:
    for file in files:
        if not file.exists():
            raise UnreadableSourceError(f"{file.as_posix()}: there is no such file or folder")
    for name in (CLINIC, KIT):
        if not (folder / name).is_file():
            raise UnreadableSourceError(
                f"{folder.as_posix()}: no {name} here, so this is no protocol set; "
                '"wallward start FOLDER" writes one to begin from'
            )


def write_whole(path: Path, data: bytes) -> None:
    """Writes a file whole or not at all: to a temporary file beside it, then by renaming.

    Raises:
        OSError: when the folder cannot be written or the disk is full; what was there before
            is still there.
    """
    path.parent.mkdir(parents=True, exist_ok=True)
    _clear_up(path)
    handle, part = _claimed(path)
    try:
        with os.fdopen(handle, "wb") as stream:
            stream.write(data)
            stream.flush()
            os.fsync(stream.fileno())
            part.chmod(0o644)
            part.replace(path)  # before the claim ends with the stream
    except BaseException as fault:
        part.unlink(missing_ok=True)
        if isinstance(fault, OSError) and not fault.filename:
            raise OSError(fault.errno, fault.strerror, path.as_posix()) from None
        raise


def _claimed(path: Path) -> tuple[int, Path]:
    """A new temporary file beside this file, locked for as long as its writer lives."""
    while True:
        prefix = f".{path.name}."
        handle, name = tempfile.mkstemp(prefix=prefix, suffix=".part", dir=path.parent)
        with suppress(OSError):  # a file system without locks: then nobody clears up
            fcntl.flock(handle, fcntl.LOCK_EX)
        if os.fstat(handle).st_nlink:
            return handle, Path(name)
        os.close(handle)  # taken for left over, just before it was locked


def _clear_up(path: Path) -> None:
    """Removes what killed runs left half-written beside this file; running ones are let be.

    The kernel ends a lock with its process, so what can be locked has no writer any more.
    """
    for left in path.parent.glob(f".{glob.escape(path.name)}.*.part"):
        with suppress(OSError), left.open("rb") as stream:
            fcntl.flock(stream, fcntl.LOCK_EX | fcntl.LOCK_NB)
            left.unlink()
