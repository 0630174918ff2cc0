"""Tracing a code among very many editions, as a person at a wall waits for it."""

from __future__ import annotations

import tempfile
from collections.abc import Iterator
from pathlib import Path

from tests.editions.shelves import code_of, record_of, shelved
from tests.speed.measuring import Row, process, python

EDITIONS = 10_000


def editions() -> Iterator[Row]:
    """One code of an old edition, and one misread, each in a process of its own."""
    with tempfile.TemporaryDirectory() as name:
        folder = Path(name) / "published"
        texts = (record_of(n, [f"text {n}"]) for n in range(1, EDITIONS + 1))
        shelf = shelved(folder, texts)
        words = python("-m", "compiler", "trace", "--in", folder, "--on", "2026-12-01")
        code = code_of(0, f"text {EDITIONS // 2}", "en", "poster")
        found = process([*words, code])
        if f"edition {EDITIONS // 2} of" not in found.out:
            raise SystemExit(f"the code was not found: {found.out}")
        what = f"trace a code among {EDITIONS} editions, start included"
        yield Row(what, found.seconds, "s", 0.2)
        misread = process([*words, code[1] + code[0] + code[2:]])
        yield Row("  a misread one", misread.seconds, "s", 0.2)
        yield Row("  the register", shelf.register.stat().st_size / 1e6, "MB")
