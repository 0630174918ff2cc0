"""Whether a translation says what its source text says: numbers, units and prohibitions."""

from __future__ import annotations

from collections.abc import Iterator

from compiler.findings import Finding, Level, Mark, Rule
from compiler.wording.messages import Message
from compiler.wording.negation import prohibitions
from compiler.wording.numbers import folded, numbers
from compiler.wording.portable import Entry
from compiler.wording.units import units

TRANSLATION_CHANGES_A_NUMBER = Rule(
    "translation-changes-a-number",
    Level.MUST,
    "A translation does not have the same numbers as the source text.",
    waivable=False,
)
TRANSLATION_CHANGES_A_UNIT = Rule(
    "translation-changes-a-unit",
    Level.MUST,
    "A translation gives a time in another unit than the source text.",
    ("unicode-cldr",),
    waivable=False,
)
TRANSLATION_LOSES_A_NEGATION = Rule(
    "translation-loses-a-negation",
    Level.MUST,
    "The source text forbids something, and the translation has too few words that forbid.",
    waivable=False,
)
TRANSLATION_UNTRANSLATED = Rule(
    "translation-untranslated",
    Level.MAY,
    "A translation is the source text, word for word.",
    waivable=False,
)
RULES = (
    TRANSLATION_CHANGES_A_NUMBER,
    TRANSLATION_CHANGES_A_UNIT,
    TRANSLATION_LOSES_A_NEGATION,
    TRANSLATION_UNTRANSLATED,
)


def compared(
    entry: Entry, message: Message, written_in: str, language: str
) -> Iterator[Finding]:
    """What differs that must not, and what does not differ that should.

    Args:
        entry: The translation.
        message: The source text.
        written_in: The source's language, a BCP 47 tag.
        language: The translation's.
    """
    shown = short(message.text)
    source = (Mark(message.at, "the source text"),)
    yield from _numbers(entry, message, shown)
    before, after = units(message.text, written_in), units(entry.text, language)
    if before and after - before:
        yield Finding(
            TRANSLATION_CHANGES_A_UNIT,
            f"The translation of {shown} gives a time in {_listed(after - before)}; "
            f"the source has {_listed(before)}.",
            Mark(entry.at, f"in {_listed(after - before)}"),
            source,
            remedy="give the time in the unit of the source text",
        )
    asked, kept = prohibitions(message.text, written_in, entry.text, language)
    if kept < asked:
        yield Finding(
            TRANSLATION_LOSES_A_NEGATION,
            f"The translation of {shown} "
            + ("says no less often than the source text." if kept else "forbids nothing."),
            Mark(
                entry.at,
                f"words that say no: {kept}; needed: {asked}"
                if kept
                else "no word that says no",
            ),
            source,
            remedy="say in the translation what must not be done",
        )
    if folded(entry.text) == message.text and any(map(str.isalpha, message.text)):
        yield Finding(
            TRANSLATION_UNTRANSLATED,
            f"The translation of {shown} is the source text.",
            Mark(entry.at),
            remedy="translate it, or leave it if the two languages share these words",
        )


def _numbers(entry: Entry, message: Message, shown: str) -> Iterator[Finding]:
    """Figures that the translation lacks or adds."""
    before, after = numbers(message.text), numbers(entry.text)
    if before == after:
        return
    lost, added = before - after, after - before
    words = [f"lacks {', '.join(sorted(lost.elements()))}"] if lost else []
    words += [f"adds {', '.join(sorted(added.elements()))}"] if added else []
    yield Finding(
        TRANSLATION_CHANGES_A_NUMBER,
        f"The translation of {shown} {' and '.join(words)}.",
        Mark(entry.at, " and ".join(words)),
        (Mark(message.at, "the source text"),),
        remedy="write the same figures in both texts, in the digits of either language",
    )


def _listed(found: set[str]) -> str:
    return " and ".join(f"{unit}s" for unit in sorted(found))


def short(text: str) -> str:
    """A text in quotation marks, cut so that a message stays on one line."""
    return f"“{text}”" if len(text) <= 48 else f"“{text[:47].rstrip()}…”"
