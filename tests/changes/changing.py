"""Two versions given as texts, compared with and without a proof."""

from __future__ import annotations

from collections.abc import Mapping

from compiler.changes.change import Change, Group
from compiler.changes.compare import changed
from compiler.changes.sides import Comparison, Side
from compiler.pipeline import read_texts
from compiler.source import Source
from compiler.versions.comparison import comparison
from compiler.versions.given import Given

Files = Mapping[str, str]


def _sources(files: Files, folder: str) -> dict[str, Source]:
    return {name: Source(f"{folder}/{name}", text) for name, text in files.items()}


def compared(old: Files, new: Files) -> Comparison:
    """Everything, findings too, as the command tells it."""
    return comparison(Given("old", _sources(old, "old")), Given("new", _sources(new, "new")))


def unproved(old: Files, new: Files) -> list[Change]:
    """Everything but findings: nothing is proved, so it is fast."""
    sides = []
    for folder, files in (("old", old), ("new", new)):
        read = read_texts(_sources(files, folder))
        protocols = {protocol.name: protocol for protocol in read.protocols}
        sides.append(Side(read.clinic, read.kit, protocols, read.translations))
    return changed(*sides)


def kinds(changes: list[Change] | tuple[Change, ...]) -> list[tuple[str, str]]:
    """Kind and subject of all but findings, in order."""
    return [(c.kind, c.subject) for c in changes if c.group is not Group.FINDINGS]
