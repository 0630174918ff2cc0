"""What can stand in the way of printing a sheet, as rows of the catalogue."""

from __future__ import annotations

from collections.abc import Iterator

from compiler.findings import Finding, Level, Mark, Rule
from compiler.layout.fonts import Faces, Obstacle, missing_letters
from compiler.source import Span

TEXT_TOO_SMALL = Rule(
    "text-too-small",
    Level.SHOULD,
    "Text on a sheet is smaller than its reading distance asks for.",
    ("iso-9241-303", "nureg-0700"),
)
SHEET_OVERFULL = Rule(
    "sheet-overfull",
    Level.MUST,
    "A sheet cannot hold its text even at the smallest size that can be read in the hand.",
    ("iso-9241-303", "nureg-0700"),
)
LETTER_WITHOUT_FONT = Rule(
    "letter-without-font",
    Level.MUST,
    "A text has a letter that no available font can draw.",
)
FONT_MISSING = Rule(
    "font-missing",
    Level.MUST,
    "A font that a language is set in is not installed.",
)
SHEET_UNPRINTABLE = Rule(
    "sheet-unprintable",
    Level.MUST,
    "The theme asks for something that the PDF engine cannot do or may not read.",
)
RULES = (
    TEXT_TOO_SMALL,
    SHEET_OVERFULL,
    LETTER_WITHOUT_FONT,
    FONT_MISSING,
    SHEET_UNPRINTABLE,
)


def font_findings(faces: Faces, text: str, at: Span) -> Iterator[Finding]:
    """Fonts that are not installed, and letters that no font can draw."""
    for obstacle in faces.obstacles:
        yield Finding(FONT_MISSING, obstacle.message, Mark(at), remedy=obstacle.remedy)
    letters = missing_letters(text, faces)
    if letters:
        named = ", ".join(f"{letter} (U+{ord(letter):04X})" for letter in letters[:8])
        more = f" and {len(letters) - 8} more" if len(letters) > 8 else ""
        yield Finding(
            LETTER_WITHOUT_FONT,
            f"No available font draws {named}{more} of the {faces.language} sheet.",
            Mark(at),
            remedy="write it with other letters, or add a font for it to the theme",
        )


def engine_findings(obstacles: tuple[Obstacle, ...], at: Span) -> Iterator[Finding]:
    """What the PDF engine complained of."""
    for obstacle in obstacles:
        yield Finding(
            SHEET_UNPRINTABLE,
            obstacle.message,
            Mark(at),
            remedy=obstacle.remedy or "correct the theme",
        )
