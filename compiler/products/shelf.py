"""What the PDF engine may read: cut fonts, files below named folders, and nothing else."""

from __future__ import annotations

import re
from base64 import b64decode
from collections.abc import Callable, Mapping
from dataclasses import dataclass
from pathlib import Path
from urllib.parse import unquote_to_bytes, urlsplit

BASE = "file:///theme/"
"""Relative addresses in a sheet mean files of the theme. None names a place on the machine, so
that the same sheet has the same bytes wherever it is made."""
FONTS = "fonts"
"""First part of the address of a cut font."""
LARGEST = 8_000_000
"""Bytes; a picture for a poster needs far less."""
KINDS = {
    ".css": "text/css",
    ".jpeg": "image/jpeg",
    ".jpg": "image/jpeg",
    ".otf": "font/otf",
    ".png": "image/png",
    ".svg": "image/svg+xml",
    ".ttf": "font/ttf",
}
"""The files a sheet may be made of, with their media types."""
IN_PLACE = re.compile(
    r"data:(image/svg\+xml|image/png)(;charset=utf-8)?(;base64)?,(.*)", re.DOTALL
)
"""A picture written out in the sheet itself (RFC 2397)."""


class RefusedError(Exception):
    """An address that a sheet may not read; the engine goes on without the file."""


@dataclass(frozen=True, slots=True)
class Shelf:
    """Everything a sheet may read."""

    folders: Mapping[str, Path | tuple[Path, ...]]
    """Folders by the name that begins an address: `theme` for `file:///theme/...`. Of several,
    the first that has the file counts."""
    fonts: Mapping[str, bytes]
    """Cut fonts by file name, found at `file:///fonts/NAME`."""
    painted: Callable[[str], str] = str
    """Gives pictograms the colours of the theme."""

    def read(self, address: str) -> tuple[bytes, str]:
        """The content and media type at an address.

        Raises:
            RefusedError: it is elsewhere: on a network, outside the folders (by `..` or by a
                link), too large, not of a kind that sheets are made of, or not there.
        """
        if picture := IN_PLACE.fullmatch(address):
            return _in_place(picture[4], bool(picture[3])), picture[1]
        parts = urlsplit(address)
        if parts.scheme != "file" or parts.netloc:
            raise RefusedError(f"a sheet may not read from {parts.scheme}:")
        try:
            path = unquote_to_bytes(parts.path).decode("utf-8")
        except UnicodeDecodeError as error:
            raise RefusedError("its address is not UTF-8") from error
        name, _, rest = path.lstrip("/").partition("/")
        kind = KINDS.get(Path(rest).suffix.lower())
        if kind is None:
            raise RefusedError("it is not a kind of file that sheets are made of")
        if name == FONTS:
            if rest not in self.fonts:
                raise RefusedError("no such font was cut")
            return self.fonts[rest], kind
        if name not in self.folders:
            raise RefusedError("it is outside the theme and the protocol set")
        return self._file(name, rest), kind

    def _file(self, name: str, rest: str) -> bytes:
        places = self.folders[name]
        folders = (places,) if isinstance(places, Path) else places
        has = (folder for folder in folders[:-1] if _there(folder, rest))
        data = file_below(next(has, folders[-1]), rest)
        if rest.startswith("pictograms/") and rest.endswith(".svg"):
            return self.painted(data.decode("utf-8", "replace")).encode()
        return data


def _there(folder: Path, rest: str) -> bool:
    try:
        return (folder / rest).exists()
    except (OSError, ValueError):
        return False


def _in_place(content: str, encoded: bool) -> bytes:
    data = unquote_to_bytes(content)
    if not encoded:
        return data
    try:
        return b64decode(data, validate=True)
    except ValueError as error:
        raise RefusedError("it is not base64") from error


def file_below(folder: Path, rest: str) -> bytes:
    """The bytes of a file in a folder.

    Raises:
        RefusedError: it leads out of it, is too large, or is not there.
    """
    try:
        root = folder.resolve(strict=True)
        place = (root / rest).resolve(strict=True)
    except (OSError, ValueError, RuntimeError) as error:
        raise RefusedError("there is no such file") from error
    if not place.is_relative_to(root):
        raise RefusedError("it leads out of its folder")
    if not place.is_file():
        raise RefusedError("it is not a file")
    if place.stat().st_size > LARGEST:
        raise RefusedError(f"it is larger than {LARGEST:,} bytes")
    return place.read_bytes()
