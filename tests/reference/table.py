"""The tables of `compiler/README.md`, as rows of cells."""

from __future__ import annotations

import re
from collections.abc import Iterator
from functools import cache
from pathlib import Path

PAGE = Path(__file__).parent.parent.parent / "compiler" / "README.md"


def rows(heading: str) -> list[list[str]]:
    """The rows of the table whose first column has this heading."""
    lines = iter(PAGE.read_text(encoding="utf-8").splitlines())
    for line in lines:
        if _cells(line)[:1] == [heading]:
            next(lines)
            return [_cells(row) for row in _until_blank(lines)]
    raise LookupError(heading)


@cache
def rule_slugs() -> tuple[str, ...]:
    """Every rule that the table names; a row may name several."""
    return tuple(slug for row in rows("rule") for slug in row[0].split(", "))


def phrases() -> list[str]:
    """Every phrase that the table names, as written in its first column."""
    return [phrase for row in rows("phrase") for phrase in re.findall("`([^`]+)`", row[0])]


def _until_blank(lines: Iterator[str]) -> Iterator[str]:
    for line in lines:
        if not line.strip():
            return
        yield line


def _cells(line: str) -> list[str]:
    return [cell.strip() for cell in line.strip("|").split("|")] if line.startswith("|") else []
