"""Publishing killed at every write, on a full disk, and twice at once: old or new, whole.

The interpreter's audit events (PEP 578) name the steps, so that none can be forgotten; the
kernel's own signal kills.
"""

from __future__ import annotations

import json
import os
import subprocess
import sys
from pathlib import Path

import pytest

from tests.command.running import TOP
from tests.editions.making import LATER, everything_in, published, run, signed, small_set


def disturbed(base: Path, kind: str, pdf: Path) -> list[dict]:
    done = subprocess.run(
        [sys.executable, "-m", "tests.editions.disturbed", base, kind, pdf],
        cwd=TOP,
        capture_output=True,
        text=True,
        check=False,
        timeout=600,
    )
    assert done.returncode == 0, done.stderr
    return json.loads(done.stdout.splitlines()[-1])


def test_killed_at_any_write_the_old_edition_stands_or_the_new_one_whole(tmp_path, pdf):
    found = disturbed(tmp_path, "kill", pdf)

    assert len(found) > 50
    *killed, last = found
    assert {each["status"] for each in killed} == {-9}
    assert (last["status"], last["current"]) == (0, 2)
    for step, each in enumerate(found, 1):
        assert each["page is old"] == (each["current"] == 1), step
        assert each.get("mended", True), (
            f"after step {step} the next run does not give the same bytes"
        )
    turns = [each["current"] for each in found]
    assert turns == sorted(turns), "once new, never old again"
    assert set(turns) == {1, 2}


def test_a_full_disk_at_any_write_loses_nothing_and_leaves_nothing(tmp_path, pdf):
    found = disturbed(tmp_path, "full", pdf)

    assert len(found) > 50
    for step, each in enumerate(found, 1):
        assert each["status"] in (0, 3), step
        assert each["current"] == (2 if each["status"] == 0 else 1), step
        assert each["left"] == [], step
        assert not each["unfinished"], step
        assert each.get("mended", True), step


def test_two_publishers_at_once_one_wins_and_the_other_is_told(tmp_path, pdf, capsys):
    folder, into = small_set(tmp_path / "set"), tmp_path / "published"
    signed(folder)
    program = (
        "import sys; from pathlib import Path\n"
        "from compiler.editions import publishing\n"
        "from tests.editions.making import Copier, DAY, opened\n"
        "class Slow(Copier):\n"
        "    def __call__(self, tasks, into):\n"
        "        print('printing', flush=True); sys.stdin.read()\n"
        "        yield from super().__call__(tasks, into)\n"
        "folder, into, pdf = map(Path, sys.argv[1:])\n"
        "order = publishing.Order(into, (), DAY)\n"
        "publishing.publish(opened(folder), order, Slow(pdf))"
    )
    other = subprocess.Popen(
        [sys.executable, "-c", program, folder, into, pdf],
        cwd=TOP,
        env={**os.environ, "PYTHONPATH": str(TOP)},
        stdin=subprocess.PIPE,
        stdout=subprocess.PIPE,
        text=True,
    )
    with other:
        assert other.stdout
        assert other.stdout.readline() == "printing\n"
        before = sorted(everything_in(into))

        ended = run(capsys, "publish", folder, "--into", into)

        assert ended.status == 2
        assert ended.err == (
            f"wallward: {into}: somebody else is writing here just now; "
            "try again when they are done\n"
        )
        assert sorted(everything_in(into)) == before
        other.communicate(timeout=120)
    assert other.returncode == 0
    assert published(folder, into, pdf, on=LATER).before


@pytest.mark.parametrize("name", ["index.html", "register.txt"])
def test_a_folder_in_the_way_of_a_file_is_one_line(name, tmp_path, pdf, capsys):
    """Even if it happens after the edition is whole, it does not become the current one."""
    folder, into = small_set(tmp_path / "set"), tmp_path / "published"
    signed(folder)
    (into / name).mkdir(parents=True)

    ended = run(capsys, "publish", folder, "--into", into)

    assert ended.status == 2
    assert len([x for x in ended.err.splitlines() if x.startswith("wallward")]) == 1
    assert sorted(path.name for path in into.iterdir()) == [name]
