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

LONGEST_PARAGRAPH = 2_000
"""Characters; a step that fills a wall has fewer."""

MOST_BRACKETS = 50
"""Square brackets in a paragraph; looking for links costs the square of their number."""

OVER_THE_LIMIT = Rule(
    "over-the-limit",
    Level.MUST,
    "The text is nested too deeply, or one paragraph is too long, to be a protocol.",
    waivable=False,
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


def beyond(text: str, at: Span) -> Finding | None:
    """What is said of a paragraph that is too long, or full of brackets; else nothing."""
    if len(text) > LONGEST_PARAGRAPH:
        message = f"The paragraph has more than {LONGEST_PARAGRAPH} characters."
        remedy = "split it into several steps"
    elif text.count("[") > MOST_BRACKETS:
        message = f"The paragraph has more than {MOST_BRACKETS} square brackets."
        remedy = "write it without brackets"
    else:
        return None
    return Finding(OVER_THE_LIMIT, message, Mark(at, "this paragraph"), remedy=remedy)
