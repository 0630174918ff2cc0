"""Publishes again and again, each time disturbed one step later; run as a program.

A step is whatever the interpreter tells its audit hooks of (PEP 578) that changes a folder of
editions: a file opened for writing, a folder made, a rename, a removal, a change of mode; and
each flush of a file. `kill` ends the process there by a signal that it cannot catch, at a flush
after half of the file was lost; `full` lets that step and all later ones that take room fail as
on a full disk.
"""

from __future__ import annotations

import errno
import json
import os
import shutil
import signal
import sys
from pathlib import Path

from compiler.check_code import sha256
from compiler.editions.record import read_record
from compiler.editions.shelf import Editions
from compiler.editions.tracing import Tracer
from compiler.findings import UnreadableSourceError
from tests.command.sheets import change
from tests.editions.making import (
    DAY,
    LATER,
    PROTOCOL,
    everything_in,
    opened,
    published,
    signed,
    small_set,
)

ROOM = {"open", "os.mkdir", "flush"}
"""Steps that a full disk refuses."""
STEPS = {"os.rename", "os.mkdir", "os.remove", "os.rmdir", "os.chmod"}


class Disturbance:
    """Counts steps in a folder, and strikes at one of them."""

    def __init__(self, folder: Path, strike: int, kind: str) -> None:
        self.folder, self.strike, self.kind, self.count = str(folder), strike, kind, 0
        self.flush = os.fsync

    def begin(self) -> None:
        """Listens from now on."""
        sys.addaudithook(self.heard)
        os.fsync = self.flushed

    def heard(self, event: str, details: tuple) -> None:
        """A hook of the interpreter."""
        writing = event == "open" and isinstance(details[2], int) and details[2] & os.O_ACCMODE
        if (writing or event in STEPS) and str(details[0]).startswith(self.folder):
            emptied = writing and details[2] & os.O_TRUNC and Path(details[0]).is_file()
            self.step(event, Path(details[0]) if emptied else None)

    def flushed(self, handle: int) -> None:
        """In place of `os.fsync`."""
        path = Path(f"/proc/self/fd/{handle}").readlink()
        if str(path).startswith(self.folder):
            self.step("flush", path)
        self.flush(handle)

    def step(self, event: str, path: Path | None) -> None:
        """Strikes if it is time; a file opened anew is empty, and one that is flushed half."""
        self.count += 1
        if self.kind == "kill" and self.count == self.strike:
            if path and path.is_file() and (event == "open" or ".part" in str(path)):
                os.truncate(path, 0 if event == "open" else path.stat().st_size // 2)
            os.kill(os.getpid(), signal.SIGKILL)
        if self.kind == "full" and self.count >= self.strike and event in ROOM:
            raise OSError(errno.ENOSPC, os.strerror(errno.ENOSPC))


def whole(into: Path) -> int:
    """The number of the current edition, every file of which is what its record says."""
    editions = Editions(into)
    current = editions.current()
    for number in range(1, current + 1):
        record = read_record(editions.record(number))
        files = everything_in(editions.edition(number))
        del files["edition.json"]
        assert {name: sha256(data) for name, data in files.items()} == record.outputs, number
        tracer = Tracer(into, DAY)
        for code in record.codes:
            (_, first, *_) = tracer.code(code).lines[1].split()
            assert int(first) == number, code
    return current


def disturb(base: Path, kind: str, strike: int, pdf: Path) -> dict:
    """One attempt at a second edition, in a process of its own, and what it left behind."""
    into = base / "attempt"
    shutil.rmtree(into, ignore_errors=True)
    shutil.copytree(base / "published", into)
    child = os.fork()
    if child == 0:
        Disturbance(into, strike, kind).begin()
        try:
            published(base / "set", into, pdf, on=LATER)
        except OSError as fault:
            os._exit(3 if fault.errno == errno.ENOSPC else 4)
        except BaseException as fault:
            sys.stderr.write(f"{fault!r}\n")
            os._exit(5)
        os._exit(0)
    status = os.waitstatus_to_exitcode(os.waitpid(child, 0)[1])
    found = {"status": status, "current": whole(into)}
    found["left"] = sorted(p.name for p in into.iterdir() if ".part" in p.name)
    found["unfinished"] = (into / "edition-2").exists() and found["current"] == 1
    page = (into / "index.html").read_bytes()
    found["page is old"] = page == (base / "published" / "index.html").read_bytes()
    if strike % 4 == 0 or status == 0:
        published(base / "set", into, pdf, on=LATER)
        found["mended"] = everything_in(into) == everything_in(base / "undisturbed")
    return found


def main(folder: str, kind: str, pdf: str) -> None:
    """Every step until one run ends undisturbed."""
    base, sheet = Path(folder), Path(pdf)
    small_set(base / "set")
    signed(base / "set")
    published(base / "set", base / "published", sheet)
    change(base / "set" / f"{PROTOCOL}.md", "20 to 30", "20  to 30")
    signed(base / "set", day=LATER)
    assert len(opened(base / "set").sign_offs) == 2
    shutil.copytree(base / "published", base / "undisturbed")
    published(base / "set", base / "undisturbed", sheet, on=LATER)
    found = []
    while not found or found[-1]["status"] != 0 or (kind == "full" and len(found) < 5):
        found.append(disturb(base, kind, len(found) + 1, sheet))
    sys.stdout.write(json.dumps(found))


if __name__ == "__main__":
    try:
        main(*sys.argv[1:])
    except UnreadableSourceError as fault:
        sys.exit(str(fault))
