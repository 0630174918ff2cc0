"""A set that is signed or published: always the whole of it, and one."""

from __future__ import annotations

from pathlib import Path

import click

from compiler.pipeline import ProtocolSet, open_set
from compiler.storage import find_sets


def whole_set(path: Path | None) -> ProtocolSet:
    """The set in a folder; without one, the set in this folder or in `protocols` below it.

    Raises:
        UnreadableSourceError: there is no set, or one of its files cannot be used at all.
    """
    if path and path.exists() and not path.is_dir():
        raise click.UsageError(
            f"{path.as_posix()} is one file; a set is signed and published as a whole: name "
            "its folder"
        )
    folder, files = find_sets([path] if path else [])[0]
    return open_set(folder, files)


def languages_of(protocol_set: ProtocolSet, asked: tuple[str, ...]) -> tuple[str, ...]:
    """The languages asked for in the clinic's order; empty stays empty."""
    clinic = protocol_set.clinic
    known = clinic.languages if clinic else asked
    unknown = [tag for tag in asked if tag not in known]
    if unknown:
        raise click.UsageError(f'no language "{unknown[0]}" in clinic.yaml: {", ".join(known)}')
    return tuple(tag for tag in known if tag in asked)
