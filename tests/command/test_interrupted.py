"""A real compile is killed, interrupted or doubled: every sheet in the folder is a whole one.

The kernel's own signals and process table are the judges, and pikepdf opens what is left.
"""

from __future__ import annotations

import os
import signal
import subprocess
import sys
import time
from collections.abc import Callable, Iterator
from contextlib import contextmanager, suppress
from pathlib import Path

import pytest

from tests.command.running import DAY, TOP
from tests.command.sheets import LANGUAGES, PROTOCOLS, expect_whole, half_written, sheets_in

PROTOCOL = PROTOCOLS[0]
SHEETS = sorted(f"{PROTOCOL}-poster-{tag}.pdf" for tag in LANGUAGES)
PATIENCE = 60


@contextmanager
def compiling(base: Path, into: Path) -> Iterator[subprocess.Popen[str]]:
    """A compile in a session of its own, as from a terminal; nothing of it outlives the test."""
    # an interrupt is ignored by what a shell starts in the background, and pytest may be that
    program = (
        "import signal; signal.signal(signal.SIGINT, signal.default_int_handler)\n"
        "from compiler.cli import main; main()"
    )
    words = ["compile", f"{base}/set/{PROTOCOL}.md", "--into", str(into), "--on", DAY]
    run = subprocess.Popen(
        [sys.executable, "-c", program, *words],
        cwd=TOP,
        stdout=subprocess.DEVNULL,
        stderr=subprocess.PIPE,
        text=True,
        start_new_session=True,
    )
    try:
        yield run
        run.communicate(timeout=PATIENCE)
        wait_until(lambda: not members(run), "the end of all processes of the run")
    finally:
        with suppress(ProcessLookupError):
            os.killpg(run.pid, signal.SIGKILL)
        run.wait()


def members(run: subprocess.Popen[str]) -> list[str]:
    """The processes of the run's session, itself left out, from the kernel's table."""
    found = []
    for entry in Path("/proc").iterdir():
        if entry.name.isdecimal() and int(entry.name) != run.pid:
            try:
                after_name = (entry / "stat").read_text().rpartition(")")[2].split()
                words = (entry / "cmdline").read_text()
            except OSError:
                continue  # ended meanwhile
            if int(after_name[3]) == run.pid and after_name[0] != "Z":
                found.append(f"{entry.name} {words}")
    return found


def workers_of(run: subprocess.Popen[str]) -> list[int]:
    return [int(x.split()[0]) for x in members(run) if "spawn_main" in x]


def wait_until(happened: Callable[[], object], what: str) -> None:
    end = time.monotonic() + PATIENCE
    while not happened():
        assert time.monotonic() < end, f"never seen: {what}"
        time.sleep(0.002)


def two_workers(run: subprocess.Popen[str], into: Path) -> bool:
    return len(workers_of(run)) == 2


def grown(run: subprocess.Popen[str], megabytes: float) -> bool:
    """Whether a worker has so much in memory: how far it has come in loading its libraries."""
    assert run.poll() is None, "the run ended too early"
    page = os.sysconf("SC_PAGE_SIZE")
    for worker in workers_of(run):
        with suppress(OSError):  # ended meanwhile
            resident = int(Path(f"/proc/{worker}/statm").read_text().split()[1])
            if resident * page > megabytes * 1e6:
                return True
    return False


def half_way(run: subprocess.Popen[str], into: Path) -> bool:
    return grown(run, 60)


def something_being_written(run: subprocess.Popen[str], into: Path) -> bool:
    return bool(half_written(into) or sheets_in(into))


MOMENTS = [two_workers, half_way, something_being_written]


def undisturbed(compiled: Path) -> dict[str, bytes]:
    """What a run makes that nothing disturbs."""
    sheets = sheets_in(compiled / "sheets")
    return {name: sheets[name] for name in SHEETS}


def test_killed_at_several_moments_it_leaves_whole_sheets_and_the_next_run_completes(
    compiled, tmp_path
):
    """Each run goes on from what the killed one before it left."""
    into = tmp_path / "sheets"
    for moment in MOMENTS:
        with compiling(compiled, into) as run:
            wait_until(lambda m=moment, r=run: m(r, into), moment.__name__)
            os.killpg(run.pid, signal.SIGKILL)
            assert run.wait(PATIENCE) == -signal.SIGKILL
        assert set(expect_whole(into)) <= set(SHEETS), moment.__name__

    with compiling(compiled, into) as run:
        assert run.wait(PATIENCE) == 0

    assert sheets_in(into) == undisturbed(compiled)
    assert half_written(into) == []


def test_workers_end_when_only_the_run_is_killed(compiled, tmp_path):
    with compiling(compiled, tmp_path / "sheets") as run:
        wait_until(lambda: two_workers(run, tmp_path), "two workers")

        run.kill()
    expect_whole(tmp_path / "sheets")


@pytest.mark.parametrize("megabytes", [13, 60])
def test_ctrl_c_is_one_line(megabytes, compiled, tmp_path):
    """The whole group of processes gets the signal, while workers load and while they work."""
    with compiling(compiled, tmp_path / "sheets") as run:
        wait_until(lambda: grown(run, megabytes), "a worker of that size")

        os.killpg(run.pid, signal.SIGINT)
        err = run.communicate(timeout=PATIENCE)[1]

    assert run.returncode == 2
    assert err.strip().splitlines()[-1] == "wallward: stopped; nothing was left half-written"
    assert "Traceback" not in err
    expect_whole(tmp_path / "sheets")
    assert half_written(tmp_path / "sheets") == []


def test_a_worker_ended_from_outside_is_one_line(compiled, tmp_path):
    """As the kernel does when memory runs out."""
    with compiling(compiled, tmp_path / "sheets") as run:
        wait_until(lambda: two_workers(run, tmp_path), "two workers")

        os.kill(workers_of(run)[0], signal.SIGKILL)
        err = run.communicate(timeout=PATIENCE)[1]

    assert run.returncode == 2
    assert "ended from outside" in err.strip().splitlines()[-1]
    assert "Traceback" not in err
    expect_whole(tmp_path / "sheets")


def test_two_runs_at_once_leave_whole_sheets(compiled, tmp_path):
    into = tmp_path / "sheets"
    with compiling(compiled, into) as first, compiling(compiled, into) as second:
        assert (first.wait(PATIENCE), second.wait(PATIENCE)) == (0, 0)

    assert expect_whole(into) == SHEETS
    assert sheets_in(into) == undisturbed(compiled)
    assert half_written(into) == []
