"""Compiling again: with nothing changed it says so at once, and with anything changed it looks."""

from __future__ import annotations

from pathlib import Path

import pytest

from compiler.cli import compile as command
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
