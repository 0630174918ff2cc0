"""Runs the command as a person would, in a process of its own or inside this one."""

from __future__ import annotations

import os
import subprocess
import sys
from dataclasses import dataclass
from pathlib import Path

import pytest

from compiler.cli import main

TOP = Path(__file__).parent.parent.parent
EXAMPLE = TOP / "protocols"


DAY = "2026-12-01"
"""The day of all runs that do not name one, so that no test fails when a review comes due."""


@dataclass(frozen=True)
class Ended:
    """How a run ended."""

    status: int
    out: str
    err: str


def dated(words: tuple[object, ...], day: str) -> list[str]:
    """The words, with the day for a command that asks for one and was not given it."""
    said = [str(word) for word in words]
    dates = {"validate", "compile", "sign", "publish", "trace"}
    asks = bool(day) and bool(dates & set(said[:1])) and "--on" not in said
    return [*said, "--on", day] if asks else said


def run_inside(capsys: pytest.CaptureFixture[str], *words: object, day: str = DAY) -> Ended:
    """Runs the command in this process: fast, with everything but the start-up."""
    before = sys.argv
    sys.argv = ["wallward", *dated(words, day)]
    try:
        with pytest.raises(SystemExit) as left:
            main()
    finally:
        sys.argv = before
    said = capsys.readouterr()
    return Ended(int(left.value.code or 0), said.out, said.err)


def run_apart(*words: object, cwd: Path = TOP, program: str = "", **environment: str) -> Ended:
    """Runs the command in a process of its own, or a program that calls it."""
    start = ["-c", program] if program else ["-m", "compiler"]
    done = subprocess.run(
        [sys.executable, *start, *dated(words, DAY)],
        cwd=cwd,
        env={**os.environ, "PYTHONPATH": str(TOP), **environment},
        capture_output=True,
        text=True,
        check=False,
        timeout=120,
    )
    return Ended(done.returncode, done.stdout, done.stderr)


def write_set(folder: Path, **files: str) -> Path:
    """A small sound set in a folder; files given replace or join its own.

    Names are written with `__` for the dot: `clinic__yaml`.
    """
    folder.mkdir(parents=True, exist_ok=True)
    for file in (TOP / "compiler" / "starter").iterdir():
        if file.suffix in {".yaml", ".md"}:
            (folder / file.name).write_bytes(file.read_bytes())
    for name, text in files.items():
        (folder / name.replace("__", ".").replace("_", "-")).write_text(text, encoding="utf-8")
    return folder
