"""What is compiled, as one manifest with one hash: what is signed and what an edition keeps."""

from __future__ import annotations

import re
from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from functools import cached_property
from pathlib import Path

from compiler import __version__
from compiler.check_code import sha256
from compiler.findings import UnreadableSourceError
from compiler.products.shelf import RefusedError, file_below
from compiler.products.theme import theme_named
from compiler.source import Source
from compiler.storage import CLINIC, KIT, TRANSLATIONS
from compiler.wording.packaged import packaged

KEPT = "sign-offs"
"""In the set's folder: where what was signed is kept."""
_LINE = re.compile(r"([0-9a-f]{64})  (.+)")
COMPILER = "compiler/version.txt"
"""The compiler itself, as a file of the content: another version may print other sheets."""


@dataclass(frozen=True)
class Content:
    """Every text that decides what the sheets say and look like, fonts left out."""

    files: Mapping[str, bytes]
    """By name, as in the set's folder; `compiler/` and `theme/` are the compiler's own."""

    @cached_property
    def hashes(self) -> dict[str, str]:
        """The SHA-256 of each file, sorted by name."""
        return {name: sha256(self.files[name]) for name in sorted(self.files)}

    @cached_property
    def manifest(self) -> bytes:
        """One line a file, as `sha256sum` of GNU coreutils writes and checks them."""
        return "".join(f"{found}  {name}\n" for name, found in self.hashes.items()).encode()

    @cached_property
    def hash(self) -> str:
        """The SHA-256 of the manifest (FIPS 180-4), in hexadecimal digits."""
        return sha256(self.manifest)

    @property
    def of_the_set(self) -> dict[str, bytes]:
        """The clinic's own files."""
        return {name: data for name, data in self.files.items() if of_the_set(name)}


def of_the_set(name: str) -> bool:
    """Whether a file of a content is the clinic's own."""
    return not name.startswith(("compiler/", "theme/"))


def content_of(
    sources: Mapping[str, Source], languages: Iterable[str], theme: str = "default"
) -> Content:
    """The content of a set in some languages.

    Texts are taken as they are compiled: UTF-8 without a mark at the start, lines ended by a
    line feed. So a checkout with other line ends is the same content.

    Args:
        sources: The files of a set by name, as `pipeline.ProtocolSet` holds them.
        languages: Those whose catalogues count; the source language needs none.
        theme: The look, by its name or its folder.

    Raises:
        UnreadableSourceError: there is no such theme, or a file of it cannot be used.
    """
    wanted = tuple(languages)
    files = {COMPILER: f"{__version__}\n".encode()}
    for name, source in sources.items():
        if name in (CLINIC, KIT) or name.endswith(".md"):
            files[name] = source.text.encode()
        elif name.endswith(".po") and name.partition("/")[0] in wanted:
            files[f"{TRANSLATIONS}/{name}"] = source.text.encode()
    for tag in wanted:
        if fixed := packaged(tag):
            files[f"compiler/words/{Path(fixed.source.path).name}"] = fixed.source.text.encode()
    for folder in theme_named(theme).folders:
        files |= _files_of(folder) | files  # of two folders of one name the theme's own counts
    return Content(files)


def _files_of(folder: Path) -> dict[str, bytes]:
    """The files of a theme's folder, hidden ones left out."""
    names = [path.relative_to(folder) for path in sorted(folder.rglob("*")) if path.is_file()]
    try:
        return {
            f"theme/{folder.name}/{name.as_posix()}": file_below(folder, name.as_posix())
            for name in names
            if not any(part.startswith(".") for part in name.parts)
        }
    except RefusedError as fault:
        raise UnreadableSourceError(
            f"{folder.as_posix()}: a file of this theme: {fault}"
        ) from None


def manifest_of(folder: Path, content: str) -> Path:
    """Where the manifest of a content is kept."""
    return folder / KEPT / f"{content[:16]}.sha256"


def kept_hashes(folder: Path, content: str) -> dict[str, str] | None:
    """The hash of each file of a content that was signed; None when it is no longer kept."""
    data = as_it_was(manifest_of(folder, content), content)
    if data is None:
        return None
    matches = map(_LINE.fullmatch, data.decode("utf-8", "replace").splitlines())
    return {match[2]: match[1] for match in matches if match}


def as_it_was(path: Path, expected: str) -> bytes | None:
    """The bytes of a file; None when it is not there or has another hash."""
    try:
        data = path.read_bytes()
    except OSError:
        return None
    return data if sha256(data) == expected else None
