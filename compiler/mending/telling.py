"""What mending says: the change to each file, what is mended by it, and what is left."""

from __future__ import annotations

from collections.abc import Iterable, Iterator

from compiler.findings import Finding
from compiler.mending.proof import Mended
from compiler.mending.writing import difference


def differences(mended: Mended) -> str:
    """The changes to all files, as one unified diff, with an empty line after each."""
    return "".join(f"{difference(before, after)}\n" for before, after in mended.changed)


def summary(sets: Iterable[Mended], written: bool) -> str:
    """What the changes mend, a line each, and a line that counts."""
    sets = list(sets)
    mends = [finding for each in sets for finding in each.mended]
    files = sum(1 for each in sets for _ in each.changed)
    if not mends:
        return "Nothing that is found can be mended for sure; nothing was changed.\n"
    lines = [f"mended  {f.rule.slug}: {f.message}" for f in mends]
    there = f"{_count(files, 'file')} {'written' if written else 'would change'}"
    lines.append(f"{_count(len(mends), 'finding')} mended, {there}. {_next(sets, written)}")
    return "\n".join(lines) + "\n"


def _next(sets: list[Mended], written: bool) -> str:
    """What to do now; what is left is told after it."""
    left = sum(len(each.left) for each in sets)
    read = "Read the changes" if written else "Read the changes, then write them"
    how = "." if written else ' with "--mend write".'
    return f"{read}{how}" + (f" {_count(left, 'finding')} left:" if left else "")


def _count(number: int, noun: str) -> str:
    return f"{number} {noun}{'' if number == 1 else 's'}"


def left(sets: Iterable[Mended]) -> Iterator[Finding]:
    """What no mend removes."""
    for each in sets:
        yield from each.left
