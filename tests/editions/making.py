"""A small set, signed and published, for the tests of editions."""

from __future__ import annotations

import datetime
import shutil
from collections.abc import Iterable, Iterator
from pathlib import Path

import pytest

from compiler.editions.publishing import Order, Published, publish
from compiler.editions.signing import Asked, Signed, sign
from compiler.model.sign_offs import Verdict
from compiler.pipeline import ProtocolSet, open_set
from compiler.storage import protocols_in
from compiler.task import Sheet, Task
from tests.command.running import Ended, run_inside
from tests.command.sheets import example_set

DAY = datetime.date(2026, 12, 1)
LATER = datetime.date(2027, 1, 15)
PROTOCOL = "rapid-entry"
LEAD = "Infection prevention lead"


def small_set(folder: Path, languages: tuple[str, ...] = ("en",)) -> Path:
    """One protocol, posters only."""
    return example_set(folder, (PROTOCOL,), languages)


def opened(folder: Path) -> ProtocolSet:
    return open_set(folder, protocols_in(folder))


def signed(
    folder: Path, who: str = "reviewer A", verdict: str = "approved", **more: object
) -> Signed:
    values = {"day": DAY, "role": LEAD, "languages": (), **more}
    return sign(opened(folder), Asked(verdict=Verdict(verdict), reviewer=who, **values))


class Copier:
    """Stands in for the printing press: a PDF that was made before, for every sheet wanted.

    The press has its own tests. What is tried with this is what becomes of the files.
    """

    def __init__(self, pdf: Path) -> None:
        self.pdf = pdf

    def __call__(self, tasks: Iterable[Task], into: Path) -> Iterator[Sheet]:
        """As `printing.print_sheets`."""
        into.mkdir(parents=True, exist_ok=True)
        for task in tasks:
            for path in task.paths:
                shutil.copyfile(self.pdf, path)
            yield Sheet(task, made=True)


def published(folder: Path, into: Path, pdf: Path, **more: object) -> Published:
    values = {"languages": (), "on": DAY, "unreviewed": True, **more}
    return publish(opened(folder), Order(into, **values), Copier(pdf))


def run(capsys: pytest.CaptureFixture[str], *words: object) -> Ended:
    """The command in this process, on one day unless it names another."""
    said = [*words] if "--on" in words else [*words, "--on", DAY]
    return run_inside(capsys, *said, day="")


def everything_in(folder: Path) -> dict[str, bytes]:
    """Every file below a folder, hidden ones too."""
    return {
        path.relative_to(folder).as_posix(): path.read_bytes()
        for path in sorted(folder.rglob("*"))
        if path.is_file()
    }
