"""Which edition holds which code: a file of sorted lines beside the editions.

It repeats what the records say, so that one code is found among thousands of editions without
reading them. Its first line has the hash of the others; missing, damaged or behind, it is made
again from the records. A line is a code, or the first digits of a file's SHA-256, and the
editions that hold it: `AJF2MCMA 1-3,7`.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator
from dataclasses import dataclass, field
from pathlib import Path

from compiler.check_code import sha256
from compiler.editions.record import EditionRecord, read_record
from compiler.editions.shelf import Editions

DIGITS = 20
"""Of a hash: enough that two files never have the same (80 bits)."""
_HEAD = re.compile(rb"# wallward register of editions 1 to (\d{1,9}) ([0-9a-f]{64})\n")
_RUN = re.compile(r"(\d{1,9})(?:-(\d{1,9}))?")


@dataclass(slots=True)
class Register:
    """The register, open for one more edition."""

    runs: dict[str, list[tuple[int, int]]] = field(default_factory=dict)
    """By code or hash: first and last edition of each run."""
    days: dict[int, str] = field(default_factory=dict)
    """When each edition was published."""

    def add(self, record: EditionRecord) -> None:
        """Notes an edition; they come in order."""
        number = record.edition
        self.days[number] = record.published
        for key in dict.fromkeys([*record.codes, *(h[:DIGITS] for h in _hashes(record))]):
            runs = self.runs.setdefault(key, [])
            if runs and runs[-1][1] == number - 1:
                runs[-1] = (runs[-1][0], number)
            else:
                runs.append((number, number))

    @property
    def written(self) -> bytes:
        """As it is written."""
        lines = [f"{key} {_written(runs)}" for key, runs in self.runs.items()]
        lines += [f"day {number:09d} {day}" for number, day in self.days.items()]
        body = "".join(f"{line}\n" for line in sorted(lines)).encode()
        last = max(self.days, default=0)
        return f"# wallward register of editions 1 to {last} {sha256(body)}\n".encode() + body

    def gone(self, current: int) -> Iterator[tuple[str, int]]:
        """Codes that the current edition does not have, with the last edition that did."""
        for key, runs in self.runs.items():
            last = runs[-1][1]
            if len(key) < DIGITS and last < current:
                yield key, last


def _hashes(record: EditionRecord) -> Iterator[str]:
    return (file.sha256 for sheet in record.sheets for file in sheet.files)


def _written(runs: Iterable[tuple[int, int]]) -> str:
    return ",".join(f"{a}" if a == b else f"{a}-{b}" for a, b in runs)


def _runs(text: str) -> list[tuple[int, int]]:
    found = map(_RUN.fullmatch, text.split(","))
    return [(int(m[1]), int(m[2] or m[1])) for m in found if m]


def opened(editions: Editions, current: int) -> Register:
    """The register up to the current edition, from the file or else from the records.

    Raises:
        UnreadableSourceError: it has to be made again and a record cannot be read.
    """
    register = Register()
    body = _body(editions.register, current)
    if body is None:
        return rebuilt(editions, current)
    for line in body.decode().splitlines():
        key, _, rest = line.partition(" ")
        if key == "day":
            number, _, day = rest.partition(" ")
            register.days[int(number)] = day
        else:
            register.runs[key] = _runs(rest)
    return register if max(register.days, default=0) == current else _cut(register, current)


def _cut(register: Register, current: int) -> Register:
    """Without an edition that was noted and then never became the current one."""
    runs = {
        key: [(a, min(b, current)) for a, b in runs if a <= current]
        for key, runs in register.runs.items()
    }
    days = {number: day for number, day in register.days.items() if number <= current}
    return Register({key: kept for key, kept in runs.items() if kept}, days)


def rebuilt(editions: Editions, current: int) -> Register:
    """The register made from the records."""
    register = Register()
    for number in range(1, current + 1):
        register.add(read_record(editions.record(number)))
    return register


@dataclass(frozen=True, slots=True)
class Lookup:
    """A register open for questions."""

    body: bytes
    current: int
    told: str = ""
    """That the file could not be used, and why the answer took long."""

    def editions(self, key: str) -> tuple[int, ...]:
        """The first and last edition of each run that holds a code or hash; empty for none."""
        line = self._line(key.encode() + b" ")
        runs = [(a, min(b, self.current)) for a, b in _runs(line) if a <= self.current]
        return tuple(number for run in runs for number in run)

    def _line(self, start: bytes) -> str:
        """The rest of the line that begins so, by halving."""
        low, high = 0, len(self.body)
        while low < high:
            middle = self.body.rfind(b"\n", 0, (low + high) // 2) + 1
            end = self.body.find(b"\n", middle)
            line = self.body[middle : end if end >= 0 else len(self.body)]
            if line.startswith(start):
                return line[len(start) :].decode()
            if line < start:
                low = middle + len(line) + 1
            else:
                high = middle
        return ""


def lookup(editions: Editions, current: int) -> Lookup:
    """The register to ask, from the file or else from the records.

    Raises:
        UnreadableSourceError: it has to be made again and a record cannot be read.
    """
    body = _body(editions.register, current)
    if body is not None:
        return Lookup(body, current)
    told = f"{editions.register.as_posix()}: missing or damaged; all records were read instead"
    body = rebuilt(editions, current).written.partition(b"\n")[2]
    return Lookup(body, current, told)


def _body(path: Path, current: int) -> bytes | None:
    """The lines of the file; None when they are missing, damaged or end too early."""
    try:
        data = path.read_bytes()
    except OSError:
        return None
    head = _HEAD.match(data)
    if not head or int(head[1]) < current:
        return None
    body = data[head.end() :]
    return body if sha256(body).encode() == head[2] else None
