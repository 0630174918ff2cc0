"""How much a reader takes in: input is hostile until proven otherwise."""

from __future__ import annotations

from compiler.findings import Finding, Level, Mark, Rule
from compiler.source import Span

DEEPEST_YAML = 24
"""Levels of lists and maps; real sets need four."""

DEEPEST_LISTS = 12
"""Levels of lists and quotes in Markdown; real sets need five."""

MOST_REFUSALS = 20
"""How many findings of one kind a file may give before the rest of it is left unread."""

LONGEST_PARAGRAPH = 5_000
"""Characters; some ways of nesting marks cost the square of a paragraph's length."""

OVER_THE_LIMIT = Rule(
    "over-the-limit",
    Level.MUST,
    "The text is nested too deeply, or one paragraph is too long, to be a protocol.",
)

RULES = (OVER_THE_LIMIT,)


def too_deep(at: Span, levels: int) -> Finding:
    """What is said of text that is nested more than some levels deep."""
    return Finding(
        OVER_THE_LIMIT,
        f"The text is nested more than {levels} levels deep.",
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
