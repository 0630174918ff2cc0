"""Findings about fonts and the PDF engine, for every kind of sheet."""

from __future__ import annotations

from collections.abc import Iterator

from compiler.findings import Finding, Mark
from compiler.layout.fonts import Faces, Obstacle, missing_letters
from compiler.rules.sheet import FONT_MISSING, LETTER_WITHOUT_FONT, SHEET_UNPRINTABLE
from compiler.source import Span


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
