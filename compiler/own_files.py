"""The compiler's own files and where they lie; files known by path, size and time of change."""

from __future__ import annotations

from collections.abc import Iterable
from functools import cache
from importlib.resources import as_file, files
from pathlib import Path


def themes_home() -> Path:
    """The folder of all themes: inside the installed package, or beside it in a checkout."""
    package = Path(str(files("compiler")))
    inside = package / "themes"
    return inside if inside.is_dir() else package.parent / "themes"


@cache
def program() -> list[tuple[str, int, int]]:
    """The files of the compiler itself."""
    with as_file(files("compiler")) as package:
        return known_files([package])


def known_files(places: Iterable[Path]) -> list[tuple[str, int, int]]:
    """The files at these places and below them, by path, size and time of change."""
    paths = {path for place in places for path in (place, *place.rglob("*"))}
    return sorted(
        (str(p), p.stat().st_size, p.stat().st_mtime_ns) for p in paths if _is_input(p)
    )


def _is_input(path: Path) -> bool:
    return "__pycache__" not in path.parts and path.is_file()
