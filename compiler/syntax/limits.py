"""How much a reader takes in: input is hostile until proven otherwise."""

from __future__ import annotations

from compiler.findings import Finding, Level, Mark, Rule
from compiler.source import Span

DEEPEST = 24
"""Levels of YAML, or of lists and quotes in Markdown; real sets need fewer than ten."""

LONGEST_PARAGRAPH = 5_000
"""Characters; some ways of nesting marks cost the square of a paragraph's length."""

OVER_THE_LIMIT = Rule(
    "over-the-limit",
    Level.MUST,
    "The text is nested too deeply, or one paragraph is too long, to be a protocol.",
)

RULES = (OVER_THE_LIMIT,)


def too_deep(at: Span) -> Finding:
    """What is said of text nested beyond `DEEPEST`."""
    return Finding(
        OVER_THE_LIMIT,
        f"The text is nested more than {DEEPEST} levels deep.",
        Mark(at, "too deep from here on"),
        remedy="split it into several steps or parts",
    )


def too_long(at: Span) -> Finding:
    """What is said of a paragraph beyond `LONGEST_PARAGRAPH`."""
    return Finding(
        OVER_THE_LIMIT,
        f"The paragraph has more than {LONGEST_PARAGRAPH} characters.",
        Mark(at, "this paragraph"),
        remedy="split it into several steps",
    )
