"""Validates sets of any size: large ones are spread over the cores, small ones are not."""

from __future__ import annotations

import datetime
import os
from functools import partial
from pathlib import Path

from compiler.collecting import without_collecting
from compiler.findings import Finding, in_reading_order
from compiler.pipeline import open_set, validated

FEW = 60
"""Protocols that this process validates faster than others could be started to help."""
SHARES = 1
"""For each process, so that one which is done early takes another."""


def findings_of(folder: Path, files: list[Path], on: datetime.date) -> list[Finding]:
    """Every finding of some protocols of a set, as of a day, in reading order.

    Raises:
        UnreadableSourceError: when one of its files cannot be used at all.
    """
    workers = min(os.cpu_count() or 1, len(files) // FEW)
    if workers < 2:
        return _validated(folder, files, on)
    # loaded only when needed: a few protocols have to be validated fast
    from compiler.workers import EndedOutsideError, spread

    shares = _shares(files, workers * SHARES)
    try:
        told = spread(partial(_validated, folder, on=on), shares, workers)
    except EndedOutsideError:
        return _validated(folder, files, on)
    # what is wrong with the clinic or the kit is told by each, and comes together here
    return in_reading_order(finding for findings in told for finding in findings)


def _shares(files: list[Path], count: int) -> list[list[Path]]:
    size = -(-len(files) // count)
    return [files[start : start + size] for start in range(0, len(files), size)]


def _validated(folder: Path, files: list[Path], on: datetime.date) -> list[Finding]:
    # nearly nothing made here refers to itself, so a search costs a sixth for nothing
    with without_collecting():
        return validated(open_set(folder, files), on=on)
