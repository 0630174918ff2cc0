"""Findings about fonts and the PDF engine, for every kind of sheet."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from compiler.findings import Finding, Mark
from compiler.layout.fonts import Faces, Obstacle, missing_letters
from compiler.rules.sheet import FONT_MISSING, LETTER_WITHOUT_FONT, SHEET_UNPRINTABLE
from compiler.source import Source, Span
from compiler.wording.catalogue import read_catalogue


def font_findings(
    faces: Faces, text: str, at: Span, written_in: Sequence[Source] = ()
) -> Iterator[Finding]:
    """Fonts that are not installed, and letters that no font can draw.

    Args:
        faces: The faces of the sheet.
        text: All that it prints.
        at: The protocol's place, where no better one is known.
        written_in: The files that the words come from, to show where a letter stands.
    """
    for obstacle in faces.obstacles:
        yield Finding(FONT_MISSING, obstacle.message, Mark(at), remedy=obstacle.remedy)
    letters = missing_letters(text, faces)
    if letters:
        named = ", ".join(f"{letter} (U+{ord(letter):04X})" for letter in letters[:8])
        more = f" and {len(letters) - 8} more" if len(letters) > 8 else ""
        yield Finding(
            LETTER_WITHOUT_FONT,
            f"No available font draws {named}{more} of the {faces.language} sheet.",
            *_marks(letters, at, written_in),
            remedy="write it with other letters, or add a font for it to the theme",
        )


def _marks(
    letters: tuple[str, ...], at: Span, written_in: Sequence[Source]
) -> tuple[Mark, tuple[Mark, ...]]:
    """Where the first of the letters stands, and where the next ones do."""
    places = [place for letter in letters[:4] if (place := _place_of(letter, written_in))]
    marks = [Mark(place, "no font has this") for place in places]
    return (marks[0], tuple(marks[1:])) if marks else (Mark(at), ())


def _place_of(letter: str, written_in: Sequence[Source]) -> Span | None:
    """Where a letter is first written; in a translation file, where it is translated."""
    for source in written_in:
        if not source.path.endswith(".po"):
            if (found := source.text.find(letter)) >= 0:
                return source.span(found, found + len(letter))
            continue
        for entry in read_catalogue(source)[0].entries.values():
            found = source.text.find(letter, entry.at.start, entry.at.end)
            if found >= 0:
                return source.span(found, found + len(letter))
    return None


def engine_findings(obstacles: tuple[Obstacle, ...], at: Span) -> Iterator[Finding]:
    """What the PDF engine complained of."""
    for obstacle in obstacles:
        yield Finding(
            SHEET_UNPRINTABLE,
            obstacle.message,
            Mark(at),
            remedy=obstacle.remedy or "correct the theme",
        )
