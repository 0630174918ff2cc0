"""Where font files lie: a table of faces by file name, and the folders to look in."""

from __future__ import annotations

import os
from collections.abc import Iterator
from dataclasses import dataclass
from functools import lru_cache
from pathlib import Path

import uharfbuzz as harfbuzz

from compiler.layout.font_folders import DEBIAN, usual_folders

CORE, CJK = "fonts-noto-core", "fonts-noto-cjk"
"""The Debian packages."""


@dataclass(frozen=True, slots=True)
class FontFile:
    """One face in one file."""

    path: Path
    index: int = 0
    """Which face of a collection; 0 for a file that holds one."""
    weight: int = 400
    """The weight wanted of it; a variable font is pinned to it."""


@dataclass(frozen=True, slots=True)
class FaceFiles:
    """How the files of one face are called."""

    name: str
    """The family as its makers call it."""
    package: str
    """The Debian package that brings it."""
    stem: str
    """File names begin with this, then `-Regular` or `-Bold`, or a mark of a variable font."""
    collection: str = ""
    """In a collection, the family name of the face to take out."""
    bold: bool = True
    """Whether it comes in bold; signs do not."""
    line: tuple[float, float] | None = None
    """How far a line reaches above and below the base line, as shares of the type size, where
    the font's own figures set the ink off the middle; the sum stays the font's."""

    def file_names(self, weight: int) -> tuple[str, ...]:
        """Names to look for, the best first: static files, then variable ones."""
        style = "Bold" if self.bold and weight >= 600 else "Regular"
        endings: tuple[str, ...] = (
            f"-{style}.ttf",
            f"-{style}.otf",
            "[wght].ttf",
            "[wdth,wght].ttf",
            "-VF.ttf",
        )
        if self.collection:
            endings = (f"-{style}.ttc", f"-{style}.otc", "-VF.ttc", "-VF.otf.ttc")
        return tuple(self.stem + ending for ending in endings)


def _core(name: str, bold: bool = True, line: tuple[float, float] | None = None) -> FaceFiles:
    return FaceFiles(name, CORE, name.replace(" ", ""), bold=bold, line=line)


def _cjk(region: str) -> FaceFiles:
    return FaceFiles(f"Noto Sans CJK {region}", CJK, "NotoSansCJK", f"Noto Sans CJK {region}")


FACE_FILES = {
    "Latin": _core("Noto Sans"),
    "Arab": _core("Noto Sans Arabic"),
    # its own 1.9 above and 0.6 below leave the words on the lower edge of every frame
    "Aran": _core("Noto Nastaliq Urdu", line=(1.62, 0.88)),
    "Deva": _core("Noto Sans Devanagari"),
    "Beng": _core("Noto Sans Bengali"),
    "Ethi": _core("Noto Sans Ethiopic"),
    "Thai": _core("Noto Sans Thai"),
    "Hans": _cjk("SC"),
    "Hant": _cjk("TC"),
    "Jpan": _cjk("JP"),
    "Kore": _cjk("KR"),
    "Signs": _core("Noto Sans Symbols2", bold=False),
    "Arrows": _core("Noto Sans Math", bold=False),
}
"""Every face, by the ISO 15924 code of its script or its own name."""


@lru_cache(maxsize=256)
def find(files: FaceFiles, weight: int, first: tuple[Path, ...] = ()) -> FontFile | None:
    """The file for a weight: in `first`, where Debian has it, then in the usual folders."""
    for name in files.file_names(weight):
        for place in _places(name, first):
            index = _index_in(place, files.collection)
            if index is not None:
                return FontFile(place, index, weight)
    return None


def _places(name: str, first: tuple[Path, ...]) -> Iterator[Path]:
    for folder in (*first, *DEBIAN):
        if (folder / name).is_file():
            yield folder / name
    yield from _installed().get(name, ())


def _index_in(place: Path, family: str) -> int | None:
    """Which face of a collection has the family name; orders differ between releases."""
    if not family:
        return 0
    blob = harfbuzz.Blob.from_file_path(str(place))
    for index in range(harfbuzz.Face(blob).count):
        name = harfbuzz.Face(blob, index).get_name(harfbuzz.OTNameIdPredefined.FONT_FAMILY)
        if name == family:
            return index
    return None


@lru_cache(maxsize=1)
def _installed() -> dict[str, tuple[Path, ...]]:
    """All files in the usual font folders, by name; walked once a run, in a fixed order."""
    found: dict[str, tuple[Path, ...]] = {}
    for folder in usual_folders():
        for here, below, names in os.walk(folder):
            below.sort()
            for name in sorted(names):
                found[name] = (*found.get(name, ()), Path(here, name))
    return found
