"""What OLD and NEW of `wallward compare` name: folder, file, edition or git revision."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, field
from pathlib import Path, PurePosixPath

from compiler.findings import UnreadableSourceError
from compiler.source import Source
from compiler.storage import (
    CLINIC,
    KIT,
    SIGN_OFFS,
    TRANSLATIONS,
    find_sets,
    open_source,
    protocols_in,
)
from compiler.versions.revisions import Blob, Revision, revision

EDITION, KEPT = "edition.json", "source"
"""A published edition is a folder with these two: its record, and the set it was made from."""


@dataclass(frozen=True, slots=True)
class Given:
    """One version, as texts."""

    words: str
    """As the person named it."""
    sources: dict[str, Source] = field(repr=False)
    """By name: clinic.yaml, kit.yaml, NAME.md, es/NAME.po."""
    one: str = ""
    """The protocol, when one file was named and not a set."""
    folder: Path | None = None
    """Where it lies; nothing for a revision."""


def both_given(old: str, new: str) -> tuple[Given, Given]:
    """Reads both versions; a revision without a path is of the same files as the other one.

    Raises:
        UnreadableSourceError: when one is neither a file, a folder nor a revision, or a file in
            it cannot be used.
    """
    versions = _given(old, new), _given(new, old)
    ones = {version.one for version in versions if version.one}
    if len(ones) != 1:
        return versions
    [one] = ones
    return _only(versions[0], one), _only(versions[1], one)


def _given(words: str, other: str) -> Given:
    path = Path(words)
    return _on_disk(path, words) if path.exists() else _in_git(words, other)


def _on_disk(path: Path, words: str) -> Given:
    if (path / EDITION).is_file() and (path / KEPT).is_dir():
        path = path / KEPT
    [(folder, files)] = find_sets([path])
    if path.is_dir():
        return Given(words, whole_set(folder), folder=folder)
    return Given(words, _texts(folder, files), path.stem, folder)


def whole_set(folder: Path) -> dict[str, Source]:
    """Every text of a set on disk by name, its sign-offs too; nothing is parsed.

    Raises:
        UnreadableSourceError: when there is no set, or a file cannot be used.
    """
    sources = _texts(folder, protocols_in(folder))
    if (folder / SIGN_OFFS).exists():
        sources[SIGN_OFFS] = open_source(folder / SIGN_OFFS)
    return sources


def _texts(folder: Path, files: list[Path]) -> dict[str, Source]:
    sources = {file.name: open_source(file) for file in (folder / CLINIC, folder / KIT, *files)}
    stems = {"clinic", *(file.stem for file in files)}
    for file in sorted((folder / TRANSLATIONS).glob("*/*.po")):
        if file.stem in stems:
            sources[f"{file.parent.name}/{file.name}"] = open_source(file)
    return sources


def _in_git(words: str, other: str) -> Given:
    if not words.isprintable():
        raise UnreadableSourceError(f"{words!r}: there is no such file or folder")
    named, colon, path = words.partition(":")
    there = Path(other)
    near = there if there.is_dir() else there.parent
    folder = near if there.exists() and not colon else Path()
    found = revision(named, folder)
    if colon:
        path = path if not path.startswith("./") else found.prefix + path[2:]
        return _in_revision(found, words, path)
    if there.exists():
        edition = (there / EDITION).is_file()
        path = found.prefix + ("" if there.is_dir() else there.name)
        return _in_revision(found, words, "" if edition else path)
    _, _, path = other.partition(":")
    for near_by in (path,) if path else (found.prefix, f"{found.prefix}protocols"):
        if path or any(_name(b, near_by) == CLINIC for b in found.blobs(near_by)):
            return _in_revision(found, words, near_by)
    raise UnreadableSourceError(
        f'"{words}": no protocol set here in this revision; write {words}:FOLDER, with the '
        "folder from the top of the repository"
    )


def _in_revision(found: Revision, words: str, path: str) -> Given:
    path = path.strip("/")
    one = path.endswith(".md")
    folder = path.rpartition("/")[0] if one else path
    if ".." in PurePosixPath(path).parts:
        raise UnreadableSourceError(f'"{words}": {path} is not in this revision')
    blobs = {_name(blob, folder): blob for blob in found.blobs(folder)}
    wanted = {name: blob for name, blob in blobs.items() if _belongs(name)}
    if (one and PurePosixPath(path).name not in wanted) or not blobs:
        raise UnreadableSourceError(f'"{words}": {path or "the top"} is not in this revision')
    for name in (CLINIC, KIT):
        if name not in wanted:
            shown = found.shown(folder)
            raise UnreadableSourceError(f"{shown}: no {name} here, so this is no protocol set")
    names = {blob.path: name for name, blob in wanted.items()}
    read = found.sources(list(wanted.values()))
    sources = {names[b.path].removeprefix(f"{TRANSLATIONS}/"): source for b, source in read}
    return Given(words, sources, PurePosixPath(path).stem if one else "")


def _name(blob: Blob, folder: str) -> str:
    folder = folder.strip("/")
    return blob.path.removeprefix(f"{folder}/") if folder else blob.path


def _belongs(name: str) -> bool:
    path = PurePosixPath(name)
    if len(path.parts) == 3:
        return path.parts[0] == TRANSLATIONS and path.suffix == ".po"
    is_protocol = path.suffix == ".md" and path.name != "README.md"
    return len(path.parts) == 1 and (is_protocol or name in (CLINIC, KIT, SIGN_OFFS))


def _only(version: Given, one: str) -> Given:
    """The version with no other protocol than this one."""
    if f"{one}.md" not in version.sources:
        raise UnreadableSourceError(f'"{version.words}": there is no protocol {one}.md in it')
    return Given(version.words, dict(_of(version.sources.items(), one)), one, version.folder)


def _of(named: Iterable[tuple[str, Source]], one: str) -> Iterable[tuple[str, Source]]:
    for name, source in named:
        path = PurePosixPath(name)
        shared = path.suffix not in {".md", ".po"} and name != SIGN_OFFS
        if shared or path.stem in {one, "clinic"}:
            yield name, source
