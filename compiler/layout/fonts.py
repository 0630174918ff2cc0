"""Which font file draws which character of a language: named files, never generic families."""

from __future__ import annotations

import unicodedata
from collections.abc import Iterator
from dataclasses import dataclass, field
from functools import cached_property, lru_cache
from pathlib import Path

import uharfbuzz as harfbuzz
from babel.core import Locale, UnknownLocaleError, get_global

from compiler.layout.font_files import FACE_FILES, FaceFiles, FontFile, find

LATIN = "Latin"
"""The face for European letters; it stands behind the face of every other script."""
LAST = ("Signs", "Arrows")
"""Faces for ticks, boxes, arrows and comparisons; they stand behind all others."""
OWN_LATIN = frozenset({"Hans", "Hant", "Jpan", "Kore"})
"""Scripts whose face brings Latin letters and digits drawn to go with its own."""
OTHERS_DIGITS = frozenset({"Aran"})
"""Scripts whose face has European digits and stops too small and too close for a wall: those of
the Latin face are taken, and the space after a number with them."""
EUROPEAN = ("LATIN ", "GREEK ", "CYRILLIC ", "COMBINING ")
"""First words of the Unicode names of the letters and accents that the Latin face draws."""


@dataclass(frozen=True, slots=True)
class Obstacle:
    """Something that stands in the way of printing; the caller makes a finding of it."""

    message: str
    """States what is wrong; one line that ends in a full stop."""
    remedy: str = ""
    """What to do about it."""


@dataclass(frozen=True, slots=True)
class Face:
    """One design in two weights, as a sheet knows it."""

    family: str
    """The name for CSS, our own, so that no installed font can be taken for it."""
    script: str
    """What it was chosen for: an ISO 15924 code, "Latin", "Signs" or "Arrows"."""
    regular: FontFile
    bold: FontFile

    def file(self, weight: int) -> FontFile:
        """The file for a CSS weight: bold from 600 up."""
        return self.bold if weight >= 600 else self.regular


@dataclass(frozen=True)
class Faces:
    """All faces of one sheet, the main script first; no character is drawn by two of them."""

    language: str
    """BCP 47 tag of the sheet's language."""
    order: tuple[Face, ...]
    """The order in which they are asked for a character."""
    obstacles: tuple[Obstacle, ...] = ()
    """Files that are not installed. Their letters will be missing."""
    _drawn_by: dict[str, int | None] = field(default_factory=dict, repr=False, compare=False)

    @property
    def families(self) -> str:
        """The value of CSS `font-family`; the order in it does not matter."""
        return ", ".join(f'"{face.family}"' for face in self.order)

    def drawn_by(self, character: str) -> int | None:
        """Index of the one face that draws a character; None for none.

        European letters belong to the Latin face, unless the main face is a CJK one, whose own
        Latin letters are drawn to go with it. All else, digits and punctuation too, belongs to
        the first face that has it. White space and joining controls have no face of their own:
        they are set in that of the character before (see `follows`), so every cut has them.
        """
        if character not in self._drawn_by:
            self._drawn_by[character] = self._choose(character)
        return self._drawn_by[character]

    def _choose(self, character: str) -> int | None:
        code = ord(character)
        having = [i for i, face in enumerate(self.order) if code in letters_of(face.regular)]
        european = unicodedata.name(character, "").startswith(EUROPEAN)
        if european and self._latin in having:
            return self._latin
        for i in having:
            if character > "\x7f" or self.order[i].script in self._with_digits:
                return i
        return having[0] if having else None

    @cached_property
    def _latin(self) -> int | None:
        if self.order and self.order[0].script in OWN_LATIN:
            return 0
        return next((i for i, face in enumerate(self.order) if face.script == LATIN), None)

    @cached_property
    def _with_digits(self) -> frozenset[str]:
        """Faces without digits bring a stray hyphen or two, which would not match the rest."""
        having = (f.script for f in self.order if ord("0") in letters_of(f.regular))
        return frozenset(having) - OTHERS_DIGITS


def faces_for(language: str, *others: str, folders: tuple[Path, ...] = ()) -> Faces:
    """The faces for a sheet in `language` that also shows `others`.

    `folders` are looked through first (a theme's own font files). Files that are not there
    become obstacles that name the package to install.
    """
    faces: list[Face] = []
    obstacles: list[Obstacle] = []
    for name, family in _wanted(language, others):
        files = FACE_FILES.get(name)
        if files is None:
            obstacles.append(
                Obstacle(
                    f"No font is known for the script {name} of {language}.",
                    "add its font files to the table of faces",
                )
            )
            continue
        regular, bold = find(files, 400, folders), find(files, 700, folders)
        if regular is not None:
            faces.append(Face(family, name, regular, bold or regular))
        if (regular is None or bold is None) and name not in LAST:
            obstacles.append(_not_installed(files, regular is None))
    return Faces(language, tuple(faces), tuple(obstacles))


def _wanted(language: str, others: tuple[str, ...]) -> Iterator[tuple[str, str]]:
    """Face names with their families, each once: main script, Latin, other scripts, signs."""
    main = script_of(language)
    yield main, "Wallward Main"
    rest = [LATIN, *map(script_of, others), *LAST]
    for name in dict.fromkeys(rest):
        if name != main:
            yield name, f"Wallward {name}"


def script_of(language: str) -> str:
    """The face a language is set in: an ISO 15924 script code, or "Latin" for European ones.

    >>> [script_of(tag) for tag in ("en", "uk", "zh-TW", "ur", "ar", "hi")]
    ['Latin', 'Latin', 'Hant', 'Aran', 'Arab', 'Deva']
    """
    try:
        locale = Locale.parse(language, sep="-")
    except (UnknownLocaleError, ValueError):
        return LATIN
    likely: str = get_global("likely_subtags").get(locale.language, "")
    script = locale.script or next((p for p in likely.split("_")[1:] if len(p) == 4), "Latn")
    if script == "Arab" and locale.language == "ur":
        return "Aran"  # Urdu readers expect Nastaliq
    return LATIN if script in {"Latn", "Cyrl", "Grek"} else script


def _not_installed(files: FaceFiles, wholly: bool) -> Obstacle:
    weight = "" if wholly else " in bold"
    return Obstacle(
        f"The font {files.name}{weight} is not installed.",
        f"install it: apt-get install {files.package}",
    )


@lru_cache(maxsize=64)
def opened(file: FontFile) -> harfbuzz.Face:
    """The face in a file; the file is mapped into memory, not read."""
    return harfbuzz.Face(harfbuzz.Blob.from_file_path(str(file.path)), file.index)


@lru_cache(maxsize=64)
def letters_of(file: FontFile) -> harfbuzz.Set:
    """The code points that a file has glyphs for."""
    return opened(file).unicodes


def follows(character: str) -> bool:
    """Whether a character is set in the face of the one before: spaces, joiners and the like.

    The layout engine does so (Pango, `itemize_state_process_run`), and so must all that
    measures or cuts.
    """
    return unicodedata.category(character) in {"Zs", "Zl", "Zp", "Cf", "Cc"}


def missing_letters(text: str, faces: Faces) -> tuple[str, ...]:
    """The characters of `text`, each once and in order, that none of the faces can draw."""
    return tuple(
        character
        for character in dict.fromkeys(text)
        if not follows(character) and faces.drawn_by(character) is None
    )
