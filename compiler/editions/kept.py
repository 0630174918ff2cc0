"""What was signed, kept beside the sign-offs, so that a later change can be shown.

In the set's folder `sign-offs/` holds for each content a manifest, named by its hash, that
`sha256sum` of GNU coreutils reads; and below `texts/` each file as it was, named by its hash.
A text that did not change is kept once.
"""

from __future__ import annotations

import re
from collections.abc import Mapping
from difflib import unified_diff
from pathlib import Path

from compiler.content import KEPT, Content, as_it_was, kept_hashes, manifest_of
from compiler.editions.refusal import Reason
from compiler.storage import write_whole

TEXTS = "texts"
MOST_LINES = 6
"""Changed lines that are shown of one file."""
WIDEST = 100


def keep(folder: Path, content: Content) -> None:
    """Keeps all texts of a content and then its manifest; what is there already stays.

    Raises:
        OSError: when the folder cannot be written.
    """
    for name, found in content.hashes.items():
        path = folder / KEPT / TEXTS / found
        if as_it_was(path, found) is None:
            write_whole(path, content.files[name])
    if as_it_was(manifest_of(folder, content.hash), content.hash) is None:
        write_whole(manifest_of(folder, content.hash), content.manifest)


def changes(folder: Path, content: str, now: Content) -> tuple[Reason, ...]:
    """What is different now from a content that was signed, file by file."""
    then = kept_hashes(folder, content)
    if then is None:
        where = manifest_of(folder, content).as_posix()
        return (Reason(f"what was signed cannot be shown: {where} is missing or damaged"),)
    names = sorted({*then, *now.hashes})
    return tuple(
        _change(folder, name, then.get(name), now.files)
        for name in names
        if then.get(name) != now.hashes.get(name)
    )


def _change(folder: Path, name: str, then: str | None, now: Mapping[str, bytes]) -> Reason:
    if then is None:
        return Reason(f"{name}: is new")
    if name not in now:
        return Reason(f"{name}: is not there any more")
    before = as_it_was(folder / KEPT / TEXTS / then, then)
    if before is None:
        return Reason(f"{name}: was changed; the text as signed is no longer kept")
    old, new = (_lines(data) for data in (before, now[name]))
    shown = [line for line in unified_diff(old, new, n=0, lineterm="") if line[:3] not in _HEAD]
    line = next((_first_line(each) for each in shown if each.startswith("@@")), 1)
    differing = [_cut(each) for each in shown if not each.startswith("@@")]
    more = len(differing) - MOST_LINES
    rest = [f"and {more} more changed lines"] if more > 0 else []
    return Reason(f"{name}, line {line}: was changed", (*differing[:MOST_LINES], *rest))


_HEAD = ("---", "+++")


def _lines(data: bytes) -> list[str]:
    return data.decode("utf-8", "replace").split("\n")


def _first_line(header: str) -> int:
    """The line in the new text that a hunk begins with; where lines only went, the one before.

    >>> _first_line("@@ -3,2 +7 @@")
    7
    """
    found = re.match(r"@@ -\S+ \+(\d+)", header)
    return max(int(found[1]), 1) if found else 1


def _cut(line: str) -> str:
    """A changed line after its sign, cut short around nothing in particular."""
    text = "".join(c if c.isprintable() else "\N{REPLACEMENT CHARACTER}" for c in line[1:])
    return f"{line[0]} {text if len(text) <= WIDEST else text[: WIDEST - 1] + '…'}"
