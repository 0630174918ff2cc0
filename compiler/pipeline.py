"""The phases in order: read, build, prove, translate, lay out, write. Read this file first."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, field
from pathlib import Path

from compiler.catalogue import check
from compiler.findings import Finding, UnreadableSourceError, in_reading_order
from compiler.model.clinic import Clinic
from compiler.model.kit import Kit
from compiler.model.protocol import Protocol
from compiler.model.read_clinic import read_clinic
from compiler.model.read_kit import read_kit
from compiler.model.read_protocol import read_protocol
from compiler.source import Source

LARGEST_FILE = 1_000_000
"""Bytes. A protocol of 200 steps is a twentieth of this."""

CLINIC, KIT = "clinic.yaml", "kit.yaml"


@dataclass(frozen=True, slots=True)
class ProtocolSet:
    """A set as read: what could be built, and every finding on the way."""

    clinic: Clinic | None
    kit: Kit | None
    protocols: tuple[Protocol, ...]
    sources: dict[str, Source] = field(repr=False)
    """Every file read, by name: clinic.yaml, kit.yaml, NAME.md."""
    findings: tuple[Finding, ...]
    folder: Path | None = None
    """Where it was read from; nothing for a set given as texts."""


def open_source(path: Path) -> Source:
    """Reads one text file.

    Raises:
        UnreadableSourceError: when it is missing, a folder, too large or not UTF-8 text.
    """
    shown = path.as_posix()
    try:
        if path.stat().st_size > LARGEST_FILE:
            raise UnreadableSourceError(
                f"{shown}: larger than {LARGEST_FILE // 1_000_000} MB; split it or remove it"
            )
        data = path.read_bytes()
    except FileNotFoundError:
        raise UnreadableSourceError(f"{shown}: there is no such file") from None
    except OSError as fault:
        raise UnreadableSourceError(f"{shown}: cannot be read ({fault.strerror})") from None
    if b"\0" in data:
        raise UnreadableSourceError(f"{shown}: not a text file; save it as plain UTF-8 text")
    try:
        text = data.decode("utf-8-sig")
    except UnicodeDecodeError as fault:
        line = data[: fault.start].count(b"\n") + 1
        raise UnreadableSourceError(
            f"{shown}:{line}: not UTF-8 text here; save the file with UTF-8 encoding"
        ) from None
    return Source(shown, text.replace("\r\n", "\n").replace("\r", "\n"))


def read_texts(sources: dict[str, Source], folder: Path | None = None) -> ProtocolSet:
    """Builds clinic, kit and protocols from sources by name."""
    findings: list[Finding] = []
    clinic = kit = None
    protocols: list[Protocol] = []
    if CLINIC in sources:
        clinic, told = read_clinic(sources[CLINIC])
        findings += told
    if clinic and KIT in sources:
        kit, told = read_kit(sources[KIT], clinic)
        findings += told
    if clinic and kit:
        for name, source in sources.items():
            if name.endswith(".md"):
                protocol, told = read_protocol(source, clinic, kit)
                findings += told
                if protocol:
                    protocols.append(protocol)
    return ProtocolSet(
        clinic, kit, tuple(protocols), sources, tuple(in_reading_order(findings)), folder
    )


def validated(protocols: ProtocolSet) -> list[Finding]:
    """Every finding of a set: reading it, and proving each protocol."""
    findings = list(protocols.findings)
    if protocols.clinic and protocols.kit:
        for protocol in protocols.protocols:
            findings += check(protocol, protocols.clinic, protocols.kit)
    return in_reading_order(findings)


def check_texts(files: dict[str, str]) -> list[Finding]:
    """Findings of a set given as texts by file name, as `validate` would tell them."""
    return validated(read_texts({name: Source(name, text) for name, text in files.items()}))


def find_sets(paths: Iterable[Path]) -> list[tuple[Path, list[Path]]]:
    """The sets that paths speak of: each folder with the protocols wanted from it.

    A folder stands for all its protocols; a protocol file for itself. Without paths it is the
    set in this folder or in `protocols` below it.

    Raises:
        UnreadableSourceError: when a path is no set and no protocol of one.
    """
    wanted = list(paths) or [_nearest_set()]
    sets: dict[Path, list[Path]] = {}
    for path in wanted:
        if path.is_dir():
            found = sorted(p for p in path.glob("*.md") if p.name != "README.md")
            sets.setdefault(path, []).extend(found)
        else:
            sets.setdefault(path.parent, []).append(path)
    for folder in sets:
        for name in (CLINIC, KIT):
            if not (folder / name).is_file():
                raise UnreadableSourceError(
                    f"{folder.as_posix()}: no {name} here, so this is no protocol set; "
                    '"wallward start FOLDER" writes one to begin from'
                )
    return [(folder, list(dict.fromkeys(files))) for folder, files in sets.items()]


def _nearest_set() -> Path:
    here = Path()
    return here if (here / CLINIC).is_file() else here / "protocols"


def open_set(folder: Path, files: Iterable[Path]) -> ProtocolSet:
    """Reads a set from disk.

    Raises:
        UnreadableSourceError: when one of its files cannot be used at all.
    """
    paths = [folder / CLINIC, folder / KIT, *files]
    return read_texts({path.name: open_source(path) for path in paths}, folder)
