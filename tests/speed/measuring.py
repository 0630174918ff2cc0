"""Times and memory of whole processes and of calls, and how a table of them is printed."""

from __future__ import annotations

import os
import statistics
import subprocess
import sys
import time
from collections.abc import Callable, Iterable
from dataclasses import dataclass
from pathlib import Path

TOP = Path(__file__).parent.parent.parent
ENVIRONMENT = {**os.environ, "PYTHONPATH": str(TOP)}
# a person's Python keeps compiled modules; some build machines forbid it
ENVIRONMENT.pop("PYTHONDONTWRITEBYTECODE", None)


@dataclass(frozen=True)
class Row:
    """One thing measured, against what was promised."""

    what: str
    measured: float
    unit: str
    bar: float | None = None
    """At most this much; nothing for a figure that is only shown."""
    least: bool = False
    """Whether the bar is at least this much instead."""

    @property
    def holds(self) -> bool:
        """Whether what was promised was met."""
        if self.bar is None:
            return True
        return self.measured >= self.bar if self.least else self.measured <= self.bar

    def __str__(self) -> str:
        """One line of the table."""
        figure = f"{self.measured:.3g} {self.unit}"
        promised = ""
        if self.bar is not None:
            sign = ">=" if self.least else "<="
            promised = f"{f'{sign} {self.bar:g}':<9} {'holds' if self.holds else 'MISSED'}"
        return f"{self.what:<54} {figure:>11}  {promised}".rstrip()


def seconds(call: Callable[[], object], runs: int = 5) -> float:
    """Median seconds of a call in this process, after one call to warm up."""
    call()
    taken = []
    for _ in range(runs):
        begun = time.perf_counter()
        call()
        taken.append(time.perf_counter() - begun)
    return statistics.median(taken)


def pace() -> float:
    """Milliseconds of one loop of plain Python: how fast the machine is at this moment.

    The same machine can be twice as slow an hour later, when others use its processor.
    """

    def loop() -> None:
        kept: dict[int, tuple[int, int]] = {}
        for number in range(300_000):
            kept[number % 1000] = (number, number + 1)

    return 1000 * seconds(loop)


@dataclass(frozen=True)
class Process:
    """What whole processes took."""

    seconds: float
    """Median, from start to end."""
    megabytes: float
    """Largest peak of memory, of the process itself and not of its children."""
    status: int
    out: str


def process(words: Iterable[object], runs: int = 5, warm: int = 1) -> Process:
    """Runs a command several times and measures the whole of it."""
    taken, peaks, status, out = [], [], 0, ""
    for run in range(warm + runs):
        begun = time.perf_counter()
        child = subprocess.Popen(
            [str(word) for word in words],
            cwd=TOP,
            env=ENVIRONMENT,
            stdout=subprocess.PIPE,
            stderr=subprocess.DEVNULL,
            text=True,
        )
        assert child.stdout
        out = child.stdout.read()
        _, code, usage = os.wait4(child.pid, 0)
        child.returncode = status = os.waitstatus_to_exitcode(code)
        if run >= warm:
            taken.append(time.perf_counter() - begun)
            peaks.append(usage.ru_maxrss / 1024)
    return Process(statistics.median(taken), max(peaks), status, out)


def python(*words: object) -> list[object]:
    """A command line of this Python."""
    return [sys.executable, *words]
