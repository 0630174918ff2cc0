"""Written whole or not at all: full disk, read-only folder, a kill, two runs at once."""

from __future__ import annotations

import ctypes
import errno
import os
import resource
import signal
import subprocess
import sys
import tempfile
from pathlib import Path

import pytest

from compiler.storage import write_whole
from tests.command.running import TOP

OLD, NEW = b"the last good sheet", b"a new sheet" * 1000


def in_a_process(
    program: str, *words: object, **more: object
) -> subprocess.CompletedProcess[str]:
    return subprocess.run(
        [sys.executable, "-c", program, *map(str, words)],
        env={**os.environ, "PYTHONPATH": str(TOP)},
        capture_output=True,
        text=True,
        check=False,
        timeout=60,
        **more,
    )


@pytest.fixture
def sheet(tmp_path: Path) -> Path:
    path = tmp_path / "sheet.pdf"
    path.write_bytes(OLD)
    return path


def left_beside(sheet: Path) -> list[str]:
    return [p.name for p in sheet.parent.iterdir() if p != sheet]


def test_a_sheet_is_replaced_whole(sheet):
    write_whole(sheet, NEW)

    assert sheet.read_bytes() == NEW
    assert left_beside(sheet) == []


def test_a_full_disk_leaves_the_last_good_sheet(sheet, monkeypatch):
    def full(_: int) -> None:
        raise OSError(errno.ENOSPC, "No space left on device")

    monkeypatch.setattr(os, "fsync", full)

    with pytest.raises(OSError, match="No space left") as fault:
        write_whole(sheet, NEW)

    assert fault.value.filename == sheet.as_posix()
    assert sheet.read_bytes() == OLD
    assert left_beside(sheet) == []


def test_a_limit_of_the_system_on_file_size_leaves_the_last_good_sheet(sheet):
    """RLIMIT_FSIZE makes the kernel itself refuse the write, as a full disk does."""
    program = (
        "import signal, sys; from pathlib import Path; from compiler.storage import write_whole\n"
        "signal.signal(signal.SIGXFSZ, signal.SIG_IGN)\n"
        f"write_whole(Path(sys.argv[1]), {NEW!r})"
    )

    done = in_a_process(
        program,
        sheet,
        preexec_fn=lambda: resource.setrlimit(resource.RLIMIT_FSIZE, (1000, 1000)),
    )

    assert "OSError" in done.stderr
    assert sheet.read_bytes() == OLD
    assert left_beside(sheet) == []


def test_a_kill_in_the_middle_leaves_the_last_good_sheet_and_the_next_run_clears_up(sheet):
    program = (
        "import os, signal, sys; from pathlib import Path; from compiler.storage import write_whole\n"
        "os.fsync = lambda _: os.kill(os.getpid(), signal.SIGKILL)\n"
        f"write_whole(Path(sys.argv[1]), {NEW!r})"
    )

    done = in_a_process(program, sheet)

    assert done.returncode == -signal.SIGKILL
    assert sheet.read_bytes() == OLD
    assert len(left_beside(sheet)) == 1

    write_whole(sheet, NEW)

    assert sheet.read_bytes() == NEW
    assert left_beside(sheet) == []


def test_another_run_that_is_still_writing_is_left_alone(sheet):
    """In the middle of the other's writing, this process writes the same sheet."""
    program = (
        "import os, sys; from pathlib import Path; from compiler.storage import write_whole\n"
        "def wait(_): print('writing', flush=True); sys.stdin.read()\n"
        "os.fsync = wait\n"
        f"write_whole(Path(sys.argv[1]), {NEW!r})"
    )
    other = subprocess.Popen(
        [sys.executable, "-c", program, sheet],
        env={**os.environ, "PYTHONPATH": str(TOP)},
        stdin=subprocess.PIPE,
        stdout=subprocess.PIPE,
        text=True,
    )
    with other:
        assert other.stdout
        assert other.stdout.readline() == "writing\n"
        half = left_beside(sheet)

        write_whole(sheet, b"mine")

        assert left_beside(sheet) == half
        assert len(half) == 1
        assert sheet.read_bytes() == b"mine"
        other.communicate(timeout=60)
    assert other.returncode == 0
    assert sheet.read_bytes() == NEW
    assert left_beside(sheet) == []


def test_what_an_unburied_process_left_is_cleared_up(sheet):
    """A killed process stays in the kernel's table until its parent asks for its status."""
    program = (
        "import os, signal, sys; from pathlib import Path\n"
        "from compiler.storage import write_whole\n"
        "os.fsync = lambda _: os.kill(os.getpid(), signal.SIGKILL)\n"
        f"write_whole(Path(sys.argv[1]), {NEW!r})"
    )
    environment = {**os.environ, "PYTHONPATH": str(TOP)}
    with subprocess.Popen([sys.executable, "-c", program, sheet], env=environment) as killed:
        os.waitid(os.P_PID, killed.pid, os.WEXITED | os.WNOWAIT)
        assert len(left_beside(sheet)) == 1

        write_whole(sheet, NEW)

        assert left_beside(sheet) == []


def test_a_name_with_signs_of_patterns_is_cleared_up_too(tmp_path):
    """Brackets and stars are legal in names; they must not be taken for a pattern."""
    other = tmp_path / ".roomb.pdf.x.part"
    for name in (".room[ab].pdf.x.part", other.name):
        (tmp_path / name).write_bytes(b"half")

    write_whole(tmp_path / "room[ab].pdf", NEW)

    assert left_beside(tmp_path / "room[ab].pdf") == [other.name]


def as_anybody() -> None:
    """Root may write anywhere; without CAP_DAC_OVERRIDE (capabilities(7)) it is bound by modes."""
    if os.geteuid() == 0:
        drop_from_bounding_set, dac_override = 24, 1  # linux/prctl.h, linux/capability.h
        assert ctypes.CDLL(None).prctl(drop_from_bounding_set, dac_override, 0, 0, 0) == 0


def test_a_read_only_output_folder_is_one_line():
    with tempfile.TemporaryDirectory() as name:
        folder = Path(name)
        folder.chmod(0o555)
        into = folder / "sheets"

        done = in_a_process(
            "import sys; from compiler.cli import main\n"
            "sys.argv = ['wallward', 'compile', *sys.argv[1:]]; main()",
            TOP / "compiler" / "starter",
            "--into",
            into,
            preexec_fn=as_anybody,
        )

        assert done.returncode == 2, done.stderr
        assert done.stderr.strip().splitlines()[-1].startswith(f"wallward: {into}")
        assert "Permission denied" in done.stderr
        assert "Traceback" not in done.stderr
        folder.chmod(0o755)
