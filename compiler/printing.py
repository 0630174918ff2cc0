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
from importlib.resources import as_file, files
from pathlib import Path

from compiler.check_code import check_code
from compiler.findings import must_fix
from compiler.layout.fonts import faces_for
from compiler.model.suppose import supposed
from compiler.pipeline import ProtocolSet, in_language
from compiler.products.theme import theme_named
from compiler.storage import write_whole
from compiler.task import Sheet, Task, Wish
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
        try:
            data = task.path.read_bytes()
        except OSError:
            return False
        return self.made.get(task.path.name) == _entry(task, data)

    def note(self, task: Task, data: bytes) -> None:
        """Remembers a sheet that was just written."""
        self.noted[task.path.name] = _entry(task, data)

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
    answers = dict(clinic.answers) | dict(wish.answers)
    for language in wish.languages or clinic.languages:
        surroundings = _surroundings(wish, language)
        for protocol in protocol_set.protocols:
            version = in_language(protocol_set, supposed(protocol, answers), language)
            content = list(_content(protocol_set, protocol.name, language, wish, answers))
            digest = hashlib.sha256(surroundings)
            digest.update(repr((content, wish.paper, wish.orientation, wish.theme)).encode())
            yield Task(version, wish, check_code(content), digest.hexdigest())


def _content(
    protocol_set: ProtocolSet, name: str, language: str, wish: Wish, answers: dict[str, str]
) -> Iterator[bytes]:
    """What a sheet says: the texts it is made from, and what was asked for."""
    wanted = ("clinic.yaml", "kit.yaml", f"{name}.md", f"{language}/clinic.po")
    for file in (*wanted, f"{language}/{name}.po"):
        source = protocol_set.sources.get(file)
        yield source.text.encode() if source else b""
    yield repr((language, "poster", wish.parts, sorted(answers.items()))).encode()


def _surroundings(wish: Wish, language: str) -> bytes:
    """What else a sheet depends on: the compiler, the theme and the fonts, by size and time."""
    with as_file(files("compiler")) as package:
        paths = [*package.rglob("*"), *theme_named(wish.theme).folder.rglob("*")]
    for face in faces_for(language).order:
        paths += (face.regular.path, face.bold.path)
    known = [(str(p), p.stat().st_size, p.stat().st_mtime_ns) for p in paths if _is_input(p)]
    return repr(sorted(known)).encode()


def _is_input(path: Path) -> bool:
    return "__pycache__" not in path.parts and path.is_file()


def print_sheets(tasks: Iterable[Task], into: Path) -> Iterator[Sheet]:
    """Makes what changed, on all cores, and tells of each sheet as it is done.

    A sheet whose text has something that must be fixed is not made; the last good one stays.

    Raises:
        OSError: when the folder cannot be written; sheets written before are whole.
    """
    record = Record.read(into)
    waiting: list[Task] = []
    for task in tasks:
        if must_fix(task.version.findings):
            yield Sheet(task)
        elif record.knows(task):
            yield Sheet(task, unchanged=True)
        else:
            waiting.append(task)
    if not waiting:
        return
    try:
        for sheet, data in _made(waiting):
            if data:
                record.note(sheet.task, data)
            yield sheet
    finally:
        record.write()


def _made(tasks: list[Task]) -> Iterator[tuple[Sheet, bytes]]:
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


def _make(task: Task) -> tuple[Sheet, bytes]:
    # imported here because it brings in the PDF engine, which an unchanged set never needs
    from compiler.workshop import make

    return make(task)
