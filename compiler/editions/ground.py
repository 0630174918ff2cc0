"""The folder that editions are put in: one of its own, and as it was before if it fails."""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import contextmanager, suppress
from pathlib import Path

from compiler.content import KEPT
from compiler.findings import UnreadableSourceError
from compiler.pipeline import ProtocolSet
from compiler.products.theme_choice import own_folder
from compiler.storage import TRANSLATIONS


def refuse_others(into: Path, protocol_set: ProtocolSet) -> None:
    """Refuses a folder that holds something else; one inside the set is fine.

    Raises:
        UnreadableSourceError: it is the set itself, a part of it, or a single edition.
    """
    shown, folder = into.as_posix(), protocol_set.folder
    assert folder
    if into.resolve() == folder.resolve():
        raise UnreadableSourceError(
            f"{shown}: is the protocol set itself; name a folder for editions, "
            f"{(into / 'published').as_posix()} say"
        )
    clinic = protocol_set.clinic
    look = own_folder(clinic.theme, folder) if clinic and clinic.theme else None
    for part in filter(None, (folder / TRANSLATIONS, folder / KEPT, look)):
        if into.resolve().is_relative_to(part.resolve()):
            raise UnreadableSourceError(
                f"{shown}: belongs to the protocol set; name a folder for editions"
            )
    if (into / "edition.json").exists():
        raise UnreadableSourceError(
            f"{shown}: is one edition; name the folder that holds the editions"
        )


@contextmanager
def prepared(into: Path) -> Iterator[None]:
    """The folder, made with those above it; those that were made go again if it fails.

    Raises:
        OSError: it cannot be made.
    """
    missing = [path for path in (into, *into.parents) if not path.exists()]
    try:
        into.mkdir(parents=True, exist_ok=True)
        yield
    except BaseException:
        for path in missing:
            with suppress(OSError):  # somebody else has put something there
                path.rmdir()
        raise
