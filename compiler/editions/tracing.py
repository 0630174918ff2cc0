"""`wallward trace`: from a code on a wall, or a file, to its edition and what became of it."""

from __future__ import annotations

import datetime
from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from pathlib import Path

from compiler.check_code import LENGTH, is_whole, sha256, shown
from compiler.editions.misreading import LOOK_ALIKES, likely_meant, strange_signs, tidied
from compiler.editions.record import (
    EditionRecord,
    PublishedSheet,
    Shown,
    off_the_walls,
    read_record,
    replacement,
)
from compiler.editions.register import DIGITS, Lookup, lookup, opened
from compiler.editions.scan import LARGEST, codes_in
from compiler.editions.shelf import Editions
from compiler.findings import UnreadableSourceError


@dataclass(frozen=True, slots=True)
class Traced:
    """What is told of a code or a file."""

    heading: str
    lines: tuple[str, ...]
    fine: bool = False
    """Current, not past its review, not altered: it may stay where it is."""


class Tracer:
    """One folder of editions, open for questions as of a day."""

    def __init__(self, folder: Path, on: datetime.date) -> None:
        """Opens the folder.

        Raises:
            UnreadableSourceError: nothing is published in it, or it is damaged.
        """
        self.editions, self.on = Editions(folder), on
        self.current = self.editions.current()
        if not self.current:
            raise UnreadableSourceError(
                f"{folder.as_posix()}: nothing is published here; name the folder with --in"
            )
        self._lookup: Lookup | None = None
        self._records: dict[int, EditionRecord] = {}

    @property
    def lookup(self) -> Lookup:
        """The register."""
        if self._lookup is None:
            self._lookup = lookup(self.editions, self.current)
        return self._lookup

    def record(self, number: int) -> EditionRecord:
        """The record of an edition, read once."""
        if number not in self._records:
            self._records[number] = read_record(self.editions.record(number))
        return self._records[number]

    # --- a code -----------------------------------------------------------------------------

    def code(self, text: str) -> Traced:
        """What is known of a code, however it was typed."""
        code = tidied(text)
        if not is_whole(code):
            return self._misread(text, code)
        found = self.lookup.editions(code)
        if not found:
            return Traced(
                shown(code),
                (
                    "rightly read, but in none of the editions here",
                    "a draft, or a sheet of another clinic: take it off the wall and ask",
                ),
            )
        return self._told(shown(code), code, found)

    def _misread(self, text: str, code: str) -> Traced:
        strange = strange_signs(code)
        lines = ["misread: no sheet has this code"]
        if strange:
            signs = " ".join(strange)
            lines.append(f"these signs are in no code: {signs} (left out: {LOOK_ALIKES})")
        if len(code) != LENGTH:
            lines.append(f"a code has 8 signs in two groups of four; here are {len(code)}")
        meant = [each for each in likely_meant(code) if self.lookup.editions(each)]
        for each in meant:
            sheet, part = self.record(self.lookup.editions(each)[-1]).codes[each]
            lines.append(f"perhaps {shown(each)}: {sheet.named(part)}")
        lines.append("read it again on the sheet, two groups of four signs")
        return Traced(" ".join(text.split()), tuple(lines))

    def _told(self, heading: str, code: str, found: tuple[int, ...]) -> Traced:
        """A code that stands in an edition; the newest that has it is told."""
        record = self.record(found[-1])
        if code not in record.codes:
            raise UnreadableSourceError(
                f"{self.editions.record(found[-1]).as_posix()}: does not have the code "
                f"{shown(code)} that the register has; put it back from a copy"
            )
        sheet, part = record.codes[code]
        current = record.edition == self.current
        lines = [sheet.named(part), self._standing(record, found)]
        if not current:
            lines += self._instead(sheet, part)
        review, overdue = self._review(sheet)
        lines += review
        lines.append(f"QR code leads to {part.link}")
        if not part.reviewed:
            lines.append("nobody has reviewed its translation")
        return Traced(heading, tuple(lines), current and not overdue)

    def _standing(self, record: EditionRecord, found: tuple[int, ...]) -> str:
        first = found[0]
        since = f", the same since edition {first}" if first != record.edition else ""
        of = f"edition {record.edition} of {record.published}"
        if record.edition == self.current:
            return f"{of}: current{since}"
        after = self.record(record.edition + 1)
        return f"{of}: superseded by edition {after.edition} of {after.published}"

    def _instead(self, sheet: PublishedSheet, part: Shown) -> Iterator[str]:
        now = replacement(self.record(self.current), sheet, part)
        if now is None:
            yield "take it off the wall; the current edition has no such sheet"
            return
        path = self.editions.edition(self.current) / now.files[0].name
        yield f"take it off the wall and hang up {path.as_posix()}"

    def _review(self, sheet: PublishedSheet) -> tuple[list[str], bool]:
        try:
            due = datetime.date.fromisoformat(sheet.review_by)
        except ValueError:
            return [], False
        if due < self.on:
            return [f"review was due by {due}: past its review on {self.on}"], True
        return [f"review due by {due}: not past on {self.on}"], False

    # --- a file -----------------------------------------------------------------------------

    def file(self, path: Path) -> Traced:
        """What is known of a file: just what was published, or altered, or unknown.

        Raises:
            UnreadableSourceError: it cannot be read.
        """
        data = _read(path)
        found = self.lookup.editions(sha256(data)[:DIGITS])
        if found:
            return self._unaltered(path, sha256(data), found)
        codes = [code for code in codes_in(data) if self.lookup.editions(code)]
        if not codes:
            return Traced(
                path.as_posix(),
                (
                    "no file of these editions, and no check code of them can be read in it",
                    'type the code that is printed on it: wallward trace "AJF2 MCMA"',
                ),
            )
        told = self._told(path.as_posix(), codes[0], self.lookup.editions(codes[0]))
        lines = (
            f"altered: its check code is {shown(codes[0])}, but it is not the file published",
            *told.lines,
        )
        return Traced(told.heading, lines)

    def _unaltered(self, path: Path, digest: str, found: tuple[int, ...]) -> Traced:
        record = self.record(found[-1])
        sheets = [s for s in record.sheets for f in s.files if f.sha256 == digest]
        if not sheets:
            raise UnreadableSourceError(
                f"{self.editions.record(record.edition).as_posix()}: does not have a file that "
                "the register has; put it back from a copy"
            )
        code = sheets[0].shown[0].code
        told = self._told(path.as_posix(), code, self.lookup.editions(code))
        lines = (f"not altered: its check code is {shown(code)}", *told.lines)
        return Traced(told.heading, lines, told.fine)

    # --- the walls --------------------------------------------------------------------------

    def walls(self) -> Iterator[str]:
        """What is current, and every code that must come off the walls."""
        now = self.record(self.current)
        languages = ", ".join(tongue.tag for tongue in now.languages)
        yield f"edition {now.edition} of {now.published} is current, in {languages}"
        if self.current == 1:
            return
        before = self.record(self.current - 1)
        off = off_the_walls(before, now)
        yield from _listed(
            f"to come off the walls, from edition {before.edition}",
            (f"{shown(code)}  {_named(before, code)}" for code in off),
        )
        gone = opened(self.editions, self.current).gone(self.current)
        older = sorted((-last, code) for code, last in gone if code not in set(off))
        yield from _listed(
            "and from earlier ones", (f"{shown(code)}  edition {-last}" for last, code in older)
        )


def _listed(title: str, lines: Iterable[str]) -> Iterator[str]:
    listed = list(lines)
    if listed:
        yield f"{title}:"
        yield from (f"  {line}" for line in listed)


def _named(record: EditionRecord, code: str) -> str:
    sheet, part = record.codes[code]
    return sheet.named(part)


def _read(path: Path) -> bytes:
    try:
        if path.stat().st_size > LARGEST:
            raise UnreadableSourceError(f"{path.as_posix()}: larger than any sheet")
        return path.read_bytes()
    except OSError as fault:
        raise UnreadableSourceError(
            f"{path.as_posix()}: cannot be read ({fault.strerror})"
        ) from None
