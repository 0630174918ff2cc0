"""Mends as a difference to read, and as files written whole with all else byte for byte."""

from __future__ import annotations

import re
import stat
from collections import Counter
from collections.abc import Iterable
from difflib import SequenceMatcher, unified_diff
from pathlib import Path

from compiler.findings import UnreadableSourceError
from compiler.mending.proof import Mended
from compiler.source import Source
from compiler.storage import open_source, write_whole

_LINE = re.compile(r"[^\r\n]*(?:\r\n|\r|\n)|[^\r\n]+\Z")
_MARK = "\ufeff"
"""The byte order mark, which some editors put before the first line."""


def difference(before: Source, after: Source) -> str:
    """One file's change as a unified diff."""
    lines = unified_diff(
        _lines(before.text),
        _lines(after.text),
        before.path,
        after.path,
    )
    return "".join(
        line if line.endswith("\n") else f"{line}\n\\ No newline at end of file\n"
        for line in lines
    )


def write(sets: Iterable[Mended]) -> list[Path]:
    """Writes every file that changes; none, if one of them may not be written.

    Raises:
        UnreadableSourceError: when a file is read-only, or was changed since it was read.
        OSError: when the folder cannot be written or the disk is full.
    """
    wanted: list[tuple[Path, int, bytes]] = []
    for before, after in (pair for mended in sets for pair in mended.changed):
        path = Path(before.path).resolve()
        mode = stat.S_IMODE(path.stat().st_mode)
        if not mode & stat.S_IWUSR:
            raise UnreadableSourceError(f"{before.path}: is read-only; nothing was written")
        if open_source(Path(before.path)).text != before.text:
            raise UnreadableSourceError(
                f"{before.path}: changed meanwhile; nothing was written"
            )
        wanted.append((path, mode, _encoded(path.read_bytes().decode("utf-8"), before, after)))
    for path, mode, data in wanted:
        write_whole(path, data)
        path.chmod(mode)
    return [path for path, _, _ in wanted]


def _encoded(raw: str, before: Source, after: Source) -> bytes:
    """The new text with the line ends and the opening mark of the file as it stands."""
    mark = _MARK if raw.startswith(_MARK) else ""
    kept: list[str] = _LINE.findall(raw.removeprefix(_MARK))
    ends = Counter(line[len(line.rstrip("\r\n")) :] for line in kept)
    usual = ends.most_common(1)[0][0] or "\n"
    old, new = _lines(before.text), _lines(after.text)
    written: list[str] = []
    for what, first, end, new_first, new_end in SequenceMatcher(
        None, old, new, autojunk=False
    ).get_opcodes():
        if what == "equal":
            written += kept[first:end]
        else:
            written += (line.replace("\n", usual) for line in new[new_first:new_end])
    return (mark + "".join(written)).encode("utf-8")


def _lines(text: str) -> list[str]:
    """Lines as the file has them: other signs than line ends divide nothing."""
    return re.findall(r"[^\n]*\n|[^\n]+\Z", text)
