"""What can stand in the way of printing a sheet: the rows; the sheets themselves raise them."""

from __future__ import annotations

from compiler.findings import Level, Rule

TEXT_TOO_SMALL = Rule(
    "text-too-small",
    Level.SHOULD,
    "Text on a sheet is smaller than its reading distance asks for.",
    ("iso-9241-303", "nureg-0700"),
    waivable=False,
)
SHEET_OVERFULL = Rule(
    "sheet-overfull",
    Level.MUST,
    "A sheet cannot hold its text even at the smallest size that can be read in the hand.",
    ("iso-9241-303", "nureg-0700"),
    waivable=False,
)
CARD_OVERFULL = Rule(
    "card-overfull",
    Level.SHOULD,
    "A pocket card needs more panels than a sheet of paper holds.",
    ("iso-9241-303", "nureg-0700"),
    waivable=False,
)
TAG_OVERFULL = Rule(
    "tag-overfull",
    Level.SHOULD,
    "The words of a tag need more room than a label of the clinic's sheet has.",
    ("iso-9241-303", "nureg-0700"),
    waivable=False,
)
LETTER_WITHOUT_FONT = Rule(
    "letter-without-font",
    Level.MUST,
    "A text has a letter that no available font can draw.",
    waivable=False,
)
FONT_MISSING = Rule(
    "font-missing",
    Level.MUST,
    "A font that a language is set in is not installed.",
    waivable=False,
)
SHEET_UNPRINTABLE = Rule(
    "sheet-unprintable",
    Level.MUST,
    "The theme asks for something that the PDF engine cannot do or may not read.",
    waivable=False,
)
RULES = (
    TEXT_TOO_SMALL,
    SHEET_OVERFULL,
    CARD_OVERFULL,
    TAG_OVERFULL,
    LETTER_WITHOUT_FONT,
    FONT_MISSING,
    SHEET_UNPRINTABLE,
)
