"""What is wrong with broken YAML, in an author's words rather than a parser's."""

from __future__ import annotations

import yaml as pyyaml

from compiler.syntax.spelling import quoted

# A part of the parser's own message, in either of its two implementations; what it means to
# an author; what helps. The first that fits is used.
_WORDS: tuple[tuple[str, str, str], ...] = (
    (
        "mapping values are not allowed",
        "A colon stands where no key can end.",
        'put quotation marks round a text that holds ": ", or begin the key in line '
        "with the key above it",
    ),
    (
        "expected ',' or ']'",
        'The list that begins with "[" here is not closed, or lacks a comma.',
        'put commas between the values and close the list with "]"',
    ),
    (
        "expected ',' or '}'",
        'The map that begins with "{" here is not closed, or lacks a comma.',
        'put commas between the entries and close the map with "}"',
    ),
    (
        "end of stream",
        "The quotation mark here has no second one to close it.",
        "close the quotation, or delete the mark",
    ),
    (
        "escape",
        "A backslash between double quotation marks is followed by a sign that means nothing.",
        "use single quotation marks, or write the backslash twice",
    ),
    (
        "expected ':'",
        "The words here are not followed by a colon.",
        "write a colon and a space after a key",
    ),
    (
        "sequence entries are not allowed",
        "A list cannot begin here.",
        "begin the list on the next line, or write it between square brackets",
    ),
    (
        "document start",
        "Text stands after the end of the document.",
        'delete the line "..." or what follows it',
    ),
    (
        "incompatible YAML",
        "The file asks for a version of YAML that is not read.",
        "delete the line that begins with a percent sign",
    ),
    (
        "comment or line break",
        "Text stands where the line must end.",
        "begin the text on the next line, indented",
    ),
)

# For these the fault is where the unfinished thing begins, not where the parser gave up.
_FROM_THE_START = (
    "expected ',' or ']'",
    "expected ',' or '}'",
    "end of stream",
    "expected ':'",
    "stream end",
)


def explained(error: pyyaml.MarkedYAMLError, text: str) -> tuple[int, str, str, bool]:
    """Offset in `text`, message, remedy, and whether it is a tag that is at fault."""
    problem = error.problem or ""
    mark = error.problem_mark or error.context_mark
    if error.context_mark and any(part in problem for part in _FROM_THE_START):
        mark = error.context_mark
    place = mark.index if mark else 0
    if "tag" in problem or "tag" in (error.context or ""):
        return place, "A tag is not read.", "write the value without the tag", True
    for part, message, remedy in _WORDS:
        if part in problem:
            return place, message, remedy, False
    return place, *_by_the_sign(text[place : place + 1]), False


def _by_the_sign(sign: str) -> tuple[str, str]:
    """Message and remedy when all that helps is the sign at which reading stopped."""
    if sign == "\t":
        return "A tab indents this line.", "indent with spaces"
    if sign and sign in "]},":
        return (
            f"The sign {quoted(sign)} closes or divides nothing.",
            "delete it, or add the opening bracket",
        )
    if sign and sign in "@`%*&!|>":
        return (
            f"A value cannot begin with {quoted(sign)}.",
            "put quotation marks round the value",
        )
    return (
        "This line does not fit the lines above it.",
        "begin it in the same column as its neighbours, and close every quotation mark",
    )
