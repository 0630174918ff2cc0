"""The record of an edition, `edition.json`: what went in, what came out, who signed."""

from __future__ import annotations

import json
from dataclasses import asdict, dataclass
from pathlib import Path
from typing import Any

from compiler.findings import UnreadableSourceError

LARGEST = 50_000_000
"""Bytes of a record that is read."""


@dataclass(frozen=True, slots=True)
class SheetFile:
    """One file of a sheet."""

    name: str
    """In the edition's folder, with forward slashes."""
    paper: str
    """A paper's name or its measures; empty for what is not on paper."""
    sha256: str


@dataclass(frozen=True, slots=True)
class Shown:
    """What a sheet shows in one language."""

    code: str
    """The check code, without its space."""
    language: str
    title: str
    link: str
    """What the QR code holds."""
    reviewed: bool
    """Whether a person has reviewed the translation."""


@dataclass(frozen=True, slots=True)
class PublishedSheet:
    """One sheet of an edition."""

    product: str
    protocol: str
    """Its file's name without the ending; empty for a sheet of the whole set."""
    edition: str
    """The protocol's own count, as its head says."""
    valid_from: str
    review_by: str
    """Dates as year-month-day; empty where the head has none."""
    shown: tuple[Shown, ...]
    files: tuple[SheetFile, ...]

    def named(self, part: Shown) -> str:
        """What it is in one of its languages, in words for a terminal."""
        return f"{part.title}, {self.product}, {part.language}"

    @property
    def places(self) -> tuple[tuple[str, str, str], ...]:
        """What it is, whatever it says: by this the new sheet is found for an old one."""
        return tuple((self.product, self.protocol, shown.language) for shown in self.shown)


@dataclass(frozen=True, slots=True)
class Tongue:
    """A language of an edition, as a page needs it."""

    tag: str
    own_name: str
    direction: str


@dataclass(frozen=True, slots=True)
class Signer:
    """A sign-off that the edition rests on."""

    day: str
    reviewer: str
    role: str
    languages: tuple[str, ...]
    signature: str
    remark: str


@dataclass(frozen=True, slots=True)
class EditionRecord:
    """All that is known of an edition."""

    edition: int
    """Counted from 1 in its folder of editions."""
    published: str
    """The day, as year-month-day."""
    wallward: str
    """The compiler's version."""
    clinic: str
    contact: str
    content: str
    """SHA-256 of the manifest of everything that went in, fonts left out."""
    previous: str
    """SHA-256 of the record of the edition before, so that records form a chain."""
    languages: tuple[Tongue, ...]
    sign_offs: tuple[Signer, ...]
    sheets: tuple[PublishedSheet, ...]
    titles: dict[str, str]
    """Each protocol's title in the first language."""
    inputs: dict[str, str]
    """SHA-256 of each file that went in, by name."""
    fonts: dict[str, str]
    """The same of the font files."""
    outputs: dict[str, str]
    """The same of every file of the edition, the record itself left out."""
    findings: tuple[dict[str, Any], ...]
    """What the checker said; nothing in it must be fixed."""

    @property
    def codes(self) -> dict[str, tuple[PublishedSheet, Shown]]:
        """Every check code, with its sheet."""
        return {s.code: (sheet, s) for sheet in self.sheets for s in sheet.shown}

    @property
    def written(self) -> bytes:
        """As it is written: indented, so that two records can be compared by lines."""
        return (json.dumps(asdict(self), ensure_ascii=False, indent=1) + "\n").encode()


def off_the_walls(before: EditionRecord, now: EditionRecord) -> tuple[str, ...]:
    """The codes of an earlier edition that a later one does not have, in their order."""
    return tuple(code for code in before.codes if code not in now.codes)


def replacement(
    now: EditionRecord, sheet: PublishedSheet, part: Shown
) -> PublishedSheet | None:
    """The sheet of an edition that takes the place of an older one."""
    wanted = (sheet.product, sheet.protocol, part.language)
    return next((new for new in now.sheets if wanted in new.places), None)


def read_record(path: Path) -> EditionRecord:
    """The record in a file.

    Raises:
        UnreadableSourceError: it is missing, damaged or far too large.
    """
    shown = path.as_posix()
    try:
        if path.stat().st_size > LARGEST:
            raise ValueError("too large")
        return _record(json.loads(path.read_bytes()))
    except FileNotFoundError:
        raise UnreadableSourceError(f"{shown}: missing; put it back from a copy") from None
    except OSError as fault:
        raise UnreadableSourceError(f"{shown}: cannot be read ({fault.strerror})") from None
    except (ValueError, TypeError, KeyError, AttributeError, RecursionError):
        raise UnreadableSourceError(
            f"{shown}: is not the record of an edition; put it back from a copy"
        ) from None


def _record(data: dict[str, Any]) -> EditionRecord:
    values = data | {
        "languages": tuple(Tongue(**each) for each in data["languages"]),
        "sign_offs": tuple(Signer(**_tuples(each)) for each in data["sign_offs"]),
        "sheets": tuple(map(_sheet, data["sheets"])),
        "findings": tuple(data["findings"]),
    }
    record = EditionRecord(**values)
    if type(data["edition"]) is not int or type(data["outputs"]) is not dict:
        raise TypeError
    return record


def _sheet(data: dict[str, Any]) -> PublishedSheet:
    values = data | {
        "shown": tuple(Shown(**each) for each in data["shown"]),
        "files": tuple(SheetFile(**each) for each in data["files"]),
    }
    sheet = PublishedSheet(**values)
    texts = [sheet.product, sheet.protocol, sheet.review_by]
    texts += [text for s in sheet.shown for text in (s.code, s.language, s.title, s.link)]
    if not all(isinstance(text, str) for text in texts):
        raise TypeError
    return sheet


def _tuples(data: dict[str, Any]) -> dict[str, Any]:
    return {k: tuple(v) if isinstance(v, list) else v for k, v in data.items()}
