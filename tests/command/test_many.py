"""Large sets are spread over processes, with the findings of one; small ones are not."""

from __future__ import annotations

import datetime
import os
from pathlib import Path

import pytest

from compiler import many, workers
from compiler.findings import UnreadableSourceError
from compiler.many import findings_of
from compiler.pipeline import open_set, validated
from compiler.storage import find_sets
from tests.speed.shelf_of_protocols import many as written

ON = datetime.date(2026, 12, 1)


@pytest.fixture(autouse=True)
def two_cores(monkeypatch: pytest.MonkeyPatch) -> None:
    """On every machine, and for every set of six or more."""
    monkeypatch.setattr(os, "cpu_count", lambda: 2)
    monkeypatch.setattr(many, "FEW", 3)


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    found = written(tmp_path / "set", 40)
    for number in (1, 12, 25, 39):
        protocol = found / f"room-{number:04}.md"
        text = protocol.read_text(encoding="utf-8")
        protocol.write_text(text.replace("edition: 1\n", ""), encoding="utf-8")
    # something is wrong with what all protocols share, too
    with (found / "kit.yaml").open("a", encoding="utf-8") as kit:
        kit.write("spare cap: {kind: cap, after use: burn}\n")
    return found


def files_of(folder: Path) -> list[Path]:
    return find_sets([folder])[0][1]


def in_one_process(*_words: object) -> None:
    raise AssertionError("a process was started")


def test_processes_find_what_one_finds_in_the_same_order(folder: Path):
    files = files_of(folder)
    alone = validated(open_set(folder, files), on=ON)

    assert len({finding.at.span.source.path for finding in alone}) >= 5
    assert findings_of(folder, files, ON) == alone


def test_a_single_protocol_starts_no_process(folder: Path, monkeypatch: pytest.MonkeyPatch):
    monkeypatch.setattr(workers, "ProcessPoolExecutor", in_one_process)

    assert findings_of(folder, files_of(folder)[:1], ON)
    with pytest.raises(AssertionError, match="started"):
        findings_of(folder, files_of(folder), ON)


def test_a_file_that_cannot_be_read_is_told_as_in_one_process(folder: Path):
    (folder / "room-0030.md").write_bytes(b"\xff\n")

    with pytest.raises(UnreadableSourceError, match=r"room-0030\.md:1:1: not UTF-8 text"):
        findings_of(folder, files_of(folder), ON)


def test_a_worker_ended_from_outside_takes_no_finding_with_it(
    folder: Path, monkeypatch: pytest.MonkeyPatch
):
    files, run = files_of(folder), os.getpid()
    alone = findings_of(folder, files, ON)

    def ended(*words: object) -> object:
        if os.getpid() != run:
            os._exit(9)
        return open_set(*words)

    monkeypatch.setattr(many, "open_set", ended)

    assert findings_of(folder, files, ON) == alone
