"""Compiling again: with nothing changed it says so at once, and with anything changed it looks."""

from __future__ import annotations

import os
import shutil
from pathlib import Path

import pytest

from compiler import rerun
from compiler.cli import compiling as command
from compiler.rerun import REMEMBERED
from tests.command.running import run_inside
from tests.command.sheets import change, example_set


@pytest.fixture
def workplace(tmp_path: Path) -> Path:
    example_set(tmp_path / "set", ("rapid-entry",), ("en",), ("tags", "steps"))
    return tmp_path


def compiled(capsys, workplace: Path, *more: object, **wishes):
    return run_inside(
        capsys, "compile", workplace / "set", "--into", workplace / "sheets", *more, **wishes
    )


def test_what_did_not_change_is_not_even_read(capsys, workplace, monkeypatch):
    first = compiled(capsys, workplace)
    assert first.status == 0
    assert "unchanged" not in first.out
    monkeypatch.setattr(command, "open_set", None)  # calling it would end in a fault

    again = compiled(capsys, workplace)

    assert again.status == 0
    assert [line.split("  ")[1] for line in again.out.splitlines()] == ["unchanged"]
    assert "1 protocol checked: nothing to fix" in again.err


CHANGES = {
    "a protocol": lambda place: change(place / "set/rapid-entry.md", "Clean", "clean"),
    "the clinic": lambda place: change(place / "set/clinic.yaml", "214", "215"),
    "a new file": lambda place: (place / "set/more.md").write_text("# x\n", encoding="utf-8"),
    "a sheet": lambda place: next((place / "sheets").glob("*.txt")).write_text("torn"),
    "a sheet gone": lambda place: next((place / "sheets").glob("*.pdf")).unlink(),
    "the record": lambda place: (place / "sheets" / REMEMBERED).write_text('{"made from": 1}'),
    "no record": lambda place: (place / "sheets" / REMEMBERED).write_text("[]"),
}


@pytest.mark.parametrize("what", CHANGES)
def test_any_change_makes_it_look_again(capsys, workplace, monkeypatch, what):
    compiled(capsys, workplace)
    looked = []
    really = command.open_set
    monkeypatch.setattr(command, "open_set", lambda *a: looked.append(a) or really(*a))
    compiled(capsys, workplace)
    assert looked == []

    CHANGES[what](workplace)
    compiled(capsys, workplace)

    assert looked


def test_another_day_or_another_wish_makes_it_look_again(capsys, workplace, monkeypatch):
    compiled(capsys, workplace)
    looked = []
    really = command.open_set
    monkeypatch.setattr(command, "open_set", lambda *a: looked.append(a) or really(*a))

    compiled(capsys, workplace, day="2030-01-01")
    compiled(capsys, workplace, "--parts", "doffing")

    assert len(looked) == 2


def test_a_run_with_something_to_tell_is_never_passed_over(capsys, workplace):
    change(workplace / "set/rapid-entry.md", "owner:", "onwer:")

    told = [compiled(capsys, workplace).err for _ in range(2)]

    assert told[0] == told[1]
    assert "onwer" in told[1]
    assert not (workplace / "sheets" / REMEMBERED).exists()


def test_files_that_are_not_of_the_set_do_not_matter(capsys, workplace, monkeypatch):
    monkeypatch.chdir(workplace)
    compiled(capsys, workplace)
    (workplace / "shopping-list.txt").write_text("gowns\n", encoding="utf-8")
    monkeypatch.setattr(command, "open_set", None)

    assert compiled(capsys, workplace).status == 0


def test_a_sheet_swapped_for_one_of_the_same_size_and_age_is_found(
    capsys, workplace, monkeypatch
):
    monkeypatch.setattr(rerun, "RECENT", -rerun.RECENT)  # all count as long finished
    compiled(capsys, workplace)
    sheet = next((workplace / "sheets").glob("*.txt"))
    known, text = sheet.stat(), sheet.read_bytes()
    sheet.write_bytes(text.swapcase())
    os.utime(sheet, ns=(known.st_atime_ns, known.st_mtime_ns))

    compiled(capsys, workplace)

    assert sheet.read_bytes() == text


def test_sheets_moved_elsewhere_are_known_by_their_bytes(capsys, workplace, monkeypatch):
    monkeypatch.setattr(rerun, "RECENT", -rerun.RECENT)
    compiled(capsys, workplace)
    shutil.copytree(workplace / "sheets", workplace / "copied")
    shutil.rmtree(workplace / "sheets")
    (workplace / "copied").rename(workplace / "sheets")
    monkeypatch.setattr(command, "open_set", None)

    assert compiled(capsys, workplace).status == 0
