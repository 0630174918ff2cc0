"""`wallward publish`: a valid, signed and complete text becomes the next edition, whole or not.

An edition is made under another name, flushed to the disk and renamed; then the register knows
it; at last the one page is replaced that says which edition is current. Until that very last
step the old edition stands, untouched; after it the new one does.
"""

from __future__ import annotations

import datetime
import os
import shutil
from collections.abc import Callable, Iterable, Iterator
from contextlib import contextmanager, suppress
from dataclasses import dataclass
from pathlib import Path

from compiler.content import Content, content_of
from compiler.editions import register
from compiler.editions.ground import prepared, refuse_others
from compiler.editions.making import Ingredients, record_of, write_files
from compiler.editions.pages import EditionPage, Past
from compiler.editions.record import EditionRecord, off_the_walls, read_record
from compiler.editions.refusal import Reason, RefusedError
from compiler.editions.shelf import Editions
from compiler.editions.signing import everything_found, locked
from compiler.editions.standing import Standing, standing
from compiler.findings import Finding, must_fix
from compiler.pipeline import ProtocolSet, in_language, open_set
from compiler.printing import print_sheets, tasks_of
from compiler.storage import protocols_in, write_whole
from compiler.task import Sheet, Task
from compiler.wish import Wish

Printer = Callable[[Iterable[Task], Path], Iterator[Sheet]]
"""Makes sheets in a folder, as `printing.print_sheets` does."""
SHEETS = "sheets"


@dataclass(frozen=True, slots=True)
class Order:
    """What is to be published, and where."""

    into: Path
    languages: tuple[str, ...]
    """Empty for all of the clinic's."""
    on: datetime.date
    theme: str = "default"
    unreviewed: bool = False
    """Whether translations that nobody has reviewed may be published; their sheets say so."""
    signers: Path | None = None
    """Who may sign, when it is not the file in the set."""


@dataclass(frozen=True, slots=True)
class Published:
    """What became of it."""

    record: EditionRecord
    folder: Path
    down: tuple[tuple[str, str], ...]
    """Codes of the edition before that must come off the walls, each with its sheet's name."""
    dropped: tuple[str, ...] = ()
    """Languages that the edition before had and this one has not."""
    findings: tuple[Finding, ...] = ()
    before: bool = False
    """Just this content is the current edition already, and nothing was written."""


def publish(
    protocol_set: ProtocolSet, order: Order, printer: Printer = print_sheets
) -> Published:
    """Publishes a set as the next edition in a folder.

    Raises:
        RefusedError: it is not valid, not signed or not complete; with all reasons.
        UnreadableSourceError: the folder is not one for editions, or damaged, or somebody else
            is at it.
        OSError: something cannot be written; the edition before still stands, whole.
    """
    refuse_others(order.into, protocol_set)
    languages = order.languages or _all_languages(protocol_set)
    findings, signed = _ready(protocol_set, order, languages)
    content = content_of(protocol_set.sources, languages, order.theme)
    editions = Editions(order.into)
    with prepared(order.into), locked(order.into):
        current = editions.current()
        before = read_record(editions.record(current)) if current else None
        if before and before.content == content.hash:
            return Published(before, editions.edition(current), (), before=True)
        ingredients = Ingredients(protocol_set, content, languages, order.on, findings, signed)
        with _part(editions, current + 1) as part:
            wish = Wish(part / SHEETS, languages, theme=order.theme, draft=False)
            sheets = _printed(list(tasks_of(protocol_set, wish)), part / SHEETS, printer)
            record = record_of(ingredients, sheets, part, current + 1, editions)
            page = EditionPage(record, None, order.theme).html().encode()
            record = write_files(part, record, ingredients, page)
            _refuse_if_changed(protocol_set, content, languages, order.theme)
            _flush(part)
            part.rename(editions.edition(current + 1))
        with _or_not_at_all(editions, record.edition):
            _flush_folder(order.into)
            _make_current(editions, record, before, order.theme)
    told = (*findings, *(finding for sheet in sheets for finding in sheet.findings))
    return _published(editions, record, before, told)


def _published(
    editions: Editions,
    record: EditionRecord,
    before: EditionRecord | None,
    findings: tuple[Finding, ...],
) -> Published:
    folder = editions.edition(record.edition)
    if before is None:
        return Published(record, folder, (), (), findings)
    codes, now = before.codes, {tongue.tag for tongue in record.languages}
    down = tuple((c, codes[c][0].named(codes[c][1])) for c in off_the_walls(before, record))
    dropped = tuple(tongue.tag for tongue in before.languages if tongue.tag not in now)
    return Published(record, folder, down, dropped, findings)


def _all_languages(protocol_set: ProtocolSet) -> tuple[str, ...]:
    """The clinic's; of a clinic that cannot be read those that were signed last."""
    if protocol_set.clinic:
        return protocol_set.clinic.languages
    return protocol_set.sign_offs[-1].languages if protocol_set.sign_offs else ()


def _ready(
    protocol_set: ProtocolSet, order: Order, languages: tuple[str, ...]
) -> tuple[tuple[Finding, ...], Standing]:
    """The findings and the sign-offs, or all reasons why it cannot be published."""
    findings = everything_found(protocol_set, languages, order.theme, order.on)
    reasons: list[Reason] = []
    valid = not must_fix(findings)
    if not valid:
        reasons.append(Reason("something must be fixed first"))
    elif not protocol_set.protocols:
        reasons.append(Reason("there is no protocol in the set"))
    if valid and not order.unreviewed:
        reasons += _unreviewed(protocol_set, languages)
    signed = standing(protocol_set, languages, order.theme, order.on, order.signers)
    reasons += signed.reasons
    if reasons:
        raise RefusedError(tuple(reasons), findings)
    return findings, signed


def _unreviewed(protocol_set: ProtocolSet, languages: tuple[str, ...]) -> Iterator[Reason]:
    """Languages whose words nobody who speaks them has put a name to."""
    for language in languages:
        names = [
            protocol.name
            for protocol in protocol_set.protocols
            if not in_language(protocol_set, protocol, language).reviewed
        ]
        if names:
            yield Reason(
                f"nobody has reviewed the translation into {language} of {', '.join(names)}"
            )


def _printed(tasks: list[Task], into: Path, printer: Printer) -> list[Sheet]:
    """Every sheet, in the order of the tasks; none may be missing.

    A kind of sheet for which there is nothing to print says so, and is left out.
    """
    told = {sheet.task.path: sheet for sheet in printer(tasks, into)}
    sheets = [told[task.path] for task in tasks]
    failed = [s for s in sheets if not s.made and (s.findings or not s.told)]
    if failed:
        findings = tuple(finding for sheet in failed for finding in sheet.findings)
        reasons = (Reason(f"{sheet.task.path.name} cannot be made") for sheet in failed)
        raise RefusedError(tuple(reasons), findings)
    return [sheet for sheet in sheets if sheet.made]


def _refuse_if_changed(
    protocol_set: ProtocolSet, content: Content, languages: tuple[str, ...], theme: str
) -> None:
    """Reads the set once more: what was printed must be what is there."""
    folder = protocol_set.folder
    assert folder
    again = open_set(folder, protocols_in(folder))
    now = content_of(again.sources, languages, theme)
    if now.hash != content.hash:
        names = sorted(set(content.hashes.items()) ^ set(now.hashes.items()))
        changed = ", ".join(dict.fromkeys(name for name, _ in names))
        raise RefusedError((Reason(f"the set was changed while it was published: {changed}"),))


@contextmanager
def _part(editions: Editions, number: int) -> Iterator[Path]:
    """An empty folder for a new edition; what was not finished before is removed."""
    for left in (editions.part(number), editions.edition(number)):
        if left.exists():
            shutil.rmtree(left)
    part = editions.part(number)
    part.mkdir()
    try:
        yield part
    except BaseException:
        with suppress(OSError):
            shutil.rmtree(part)
        raise


@contextmanager
def _or_not_at_all(editions: Editions, number: int) -> Iterator[None]:
    """Removes a whole edition that cannot be made the current one."""
    try:
        yield
    except BaseException:
        if editions.current() != number:
            with suppress(OSError):
                shutil.rmtree(editions.edition(number))
        raise


def _make_current(
    editions: Editions, record: EditionRecord, before: EditionRecord | None, theme: str
) -> None:
    """The register first, then the page that makes the edition the current one."""
    known = register.opened(editions, record.edition - 1)
    known.add(record)
    write_whole(editions.register, known.written)
    days = sorted(known.days.items(), reverse=True)[1:]
    off = set(off_the_walls(before, record)) if before else set()
    older = [(code, last) for code, last in known.gone(record.edition) if code not in off]
    older.sort(key=lambda each: (-each[1], each[0]))
    past = Past(before, tuple(days), tuple(older))
    write_whole(editions.index, EditionPage(record, past, theme).html().encode())
    _flush_folder(editions.folder)


def _flush(folder: Path) -> None:
    """Brings a folder and all below it onto the disk, so that a power cut loses nothing."""
    for path in sorted(folder.rglob("*")):
        if path.is_file():
            handle = os.open(path, os.O_RDONLY)
            try:
                os.fsync(handle)
            finally:
                os.close(handle)
        else:
            _flush_folder(path)
    _flush_folder(folder)


def _flush_folder(folder: Path) -> None:
    with suppress(OSError):  # a file system that cannot flush folders
        handle = os.open(folder, os.O_RDONLY | os.O_DIRECTORY)
        try:
            os.fsync(handle)
        finally:
            os.close(handle)
