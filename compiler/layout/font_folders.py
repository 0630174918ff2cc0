"""The folders in which font files lie."""

from __future__ import annotations

import os
from collections.abc import Iterator
from pathlib import Path

DEBIAN = (Path("/usr/share/fonts/truetype/noto"), Path("/usr/share/fonts/opentype/noto"))
"""Where the Debian packages put their files; looked through before the other folders."""


def font_folders() -> tuple[Path, ...]:
    """Where the packages' fonts lie: what is there decides how sheets look."""
    return tuple(folder for folder in DEBIAN if folder.is_dir()) or tuple(usual_folders())


def usual_folders() -> Iterator[Path]:
    """Where Linux, macOS and Windows keep fonts."""
    yield from (
        Path("/usr/local/share/fonts"),
        Path("/usr/share/fonts"),
        Path("/Library/Fonts"),
    )
    home = Path.home()
    yield from (home / ".local/share/fonts", home / ".fonts", home / "Library/Fonts")
    for variable, below in (("WINDIR", "Fonts"), ("LOCALAPPDATA", "Microsoft/Windows/Fonts")):
        if value := os.environ.get(variable):
            yield Path(value, below)
