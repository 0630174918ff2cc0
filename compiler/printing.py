"""Plans the sheets: one task a sheet, on all cores, only what changed, each written whole."""

from __future__ import annotations

import errno
import hashlib
import json
import multiprocessing
import os
from collections.abc import Iterable, Iterator
from concurrent.futures import ProcessPoolExecutor, as_completed
from concurrent.futures.process import BrokenProcessPool
from dataclasses import dataclass, field
from pathlib import Path

from compiler.check_code import check_code
from compiler.findings import must_fix
from compiler.layout.fonts import faces_for
from compiler.model.protocol import kept_items
from compiler.model.sheet_kinds import SHEET_KINDS, USUAL, Each, SheetKind
from compiler.model.suppose import supposed
from compiler.own_files import known_files, program
from compiler.pipeline import ProtocolSet, Version, in_language
from compiler.products.theme import theme_named
from compiler.storage import CLINIC, KIT, write_whole
from compiler.task import Sheet, Task
from compiler.wish import Wish
from compiler.workers import live_no_longer_than_the_run, uninterrupted

RECORD = ".wallward.json"
"""Beside the sheets: what each was made from, so that an unchanged one is not made again."""


@dataclass(slots=True)
class Record:
    """What the sheets in a folder were made from."""

    path: Path
    made: dict[str, str] = field(default_factory=dict)
    """As found: by file name, a digest of what went in and one of the sheet."""
    noted: dict[str, str] = field(default_factory=dict)
    """What this run adds."""

    @classmethod
    def read(cls, into: Path) -> Record:
        """The record of a folder; an unreadable one counts as none."""
        path = into / RECORD
        try:
            made = json.loads(path.read_text(encoding="utf-8"))
        except (OSError, ValueError, RecursionError):
            made = {}
        return cls(path, made if isinstance(made, dict) else {})

    def knows(self, task: Task) -> bool:
        """Whether the sheet is there, made from just this, and not touched since."""
        entries = {path.name: self.made.get(path.name) for path in task.paths}
        if not all(str(entry).startswith(task.made_from) for entry in entries.values()):
            return False
        try:
            files = {path: path.read_bytes() for path in task.paths}
        except OSError:
            return False
        return all(entries[path.name] == _entry(task, data) for path, data in files.items())

    def note(self, task: Task, made: dict[str, bytes]) -> None:
        """Remembers the files of a sheet that was just written, by ending."""
        for ending, data in made.items():
            self.noted[task.path_of(ending).name] = _entry(task, data)

    def write(self) -> None:
        """Adds to the record as it is now: another run may have written it meanwhile."""
        made = Record.read(self.path.parent).made | self.noted
        text = json.dumps(dict(sorted(made.items())), indent=1)
        write_whole(self.path, text.encode())


def _entry(task: Task, data: bytes) -> str:
    return f"{task.made_from} {hashlib.sha256(data).hexdigest()}"


def tasks_of(protocol_set: ProtocolSet, wish: Wish) -> Iterator[Task]:
    """Every sheet wanted from a set, sheets of one language after one another."""
    clinic = protocol_set.clinic
    assert clinic
    named = wish.products or clinic.products or USUAL
    kinds = [kind for name, kind in SHEET_KINDS.items() if name in named]
    planner = _Planner(protocol_set, wish)
    languages = wish.languages or clinic.languages
    for language in languages:
        for kind in kinds:
            if kind.each is Each.PROTOCOL or (kind.foreign and language == clinic.languages[0]):
                continue
            wanted = planner.protocols.values()
            names = [p.name for p in wanted if not kind.kept or kept_items(p)]
            beside = clinic.languages[:1] if kind.foreign else ()
            for name in names[:1] if kind.each is Each.SET else names:
                yield planner.task(kind, name, (language, *beside))
    for kind in kinds:
        if kind.each is Each.PROTOCOL:
            for protocol in protocol_set.protocols:
                yield planner.task(kind, protocol.name, languages)


class _Planner:
    """Makes tasks; what several sheets of one protocol share is worked out once."""

    def __init__(self, protocol_set: ProtocolSet, wish: Wish) -> None:
        clinic = protocol_set.clinic
        self.protocol_set, self.wish = protocol_set, wish
        self.answers = dict(clinic.answers if clinic else {}) | dict(wish.answers)
        self.protocols = {p.name: supposed(p, self.answers) for p in protocol_set.protocols}
        self._versions: dict[tuple[str, str], Version] = {}
        self._texts: dict[tuple[tuple[str, ...], str], tuple[bytes, ...]] = {}
        self._surrounding: dict[str, bytes] = {}

    def task(self, kind: SheetKind, name: str, languages: tuple[str, ...]) -> Task:
        """One sheet of a protocol, in one language or in several."""
        wish = self.wish
        contents = [self._content(kind, name, language) for language in languages]
        digest = hashlib.sha256(b"".join(map(self._surroundings, languages)))
        asked = (
            contents,
            wish.paper,
            wish.orientation,
            wish.theme,
            wish.card,
            wish.flip,
            wish.form,
            wish.draft,
        )
        digest.update(repr(asked).encode())
        return Task(
            kind,
            tuple(self._version(name, language) for language in languages),
            wish,
            tuple(map(check_code, contents)),
            digest.hexdigest(),
        )

    def _version(self, name: str, language: str) -> Version:
        if (name, language) not in self._versions:
            version = in_language(self.protocol_set, self.protocols[name], language)
            self._versions[name, language] = version
        return self._versions[name, language]

    def _content(self, kind: SheetKind, name: str, language: str) -> list[bytes]:
        """What a sheet says: the texts it is made from, and what was asked for."""
        asked = (language, kind.name, self.wish.parts, sorted(self.answers.items()))
        # a sheet of the whole set goes with every protocol, not only with the first
        names = tuple(self.protocols) if kind.each is Each.SET else (name,)
        return [*self._text(names, language), repr(asked).encode()]

    def _text(self, names: tuple[str, ...], language: str) -> tuple[bytes, ...]:
        if (names, language) not in self._texts:
            files = [CLINIC, KIT, f"{language}/clinic.po"]
            files[2:2] = [f"{name}.md" for name in names]
            files += [f"{language}/{name}.po" for name in names]
            sources = [self.protocol_set.sources.get(file) for file in files]
            texts = tuple(source.text.encode() if source else b"" for source in sources)
            self._texts[names, language] = texts
        return self._texts[names, language]

    def _surroundings(self, language: str) -> bytes:
        if language not in self._surrounding:
            self._surrounding[language] = _surroundings(self.wish, language)
        return self._surrounding[language]


def _surroundings(wish: Wish, language: str) -> bytes:
    """What else a sheet depends on: the compiler, the theme and the fonts, by size and time."""
    paths = [p for f in faces_for(language).order for p in (f.regular.path, f.bold.path)]
    return repr(
        (program(), known_files(theme_named(wish.theme).folders), known_files(paths))
    ).encode()


def print_sheets(tasks: Iterable[Task], into: Path) -> Iterator[Sheet]:
    """Makes what changed, on all cores, and tells of each sheet as it is done.

    A sheet whose text has something that must be fixed is not made; the last good one stays.

    Raises:
        OSError: when the folder cannot be written; sheets written before are whole.
    """
    record = Record.read(into)
    waiting: list[Task] = []
    for task in tasks:
        if must_fix(task.findings):
            yield Sheet(task)
        elif record.knows(task):
            yield Sheet(task, unchanged=True)
        else:
            waiting.append(task)
    if not waiting:
        return
    try:
        for sheet, made in _made(waiting):
            record.note(sheet.task, made)
            yield sheet
    finally:
        record.write()


def _made(tasks: list[Task]) -> Iterator[tuple[Sheet, dict[str, bytes]]]:
    workers = min(len(tasks), os.cpu_count() or 1)
    if workers == 1:
        yield from map(_make, tasks)
        return
    context = multiprocessing.get_context("spawn")
    with ProcessPoolExecutor(workers, context, live_no_longer_than_the_run) as pool:
        # Ctrl-C lets the sheets in hand be finished
        with uninterrupted():
            waiting = [pool.submit(_make, task) for task in tasks]
        try:
            for done in as_completed(waiting):
                yield done.result()
        except BrokenProcessPool:
            raise OSError(
                errno.ECHILD,
                "a process making sheets was ended from outside, perhaps for want of memory",
            ) from None
        except BaseException:
            pool.shutdown(wait=True, cancel_futures=True)
            raise


def _make(task: Task) -> tuple[Sheet, dict[str, bytes]]:
    # imported here because it brings in the PDF engine, which an unchanged set never needs
    from compiler.workshop import make

    return make(task)
