"""The catalogues of the sheets' fixed words that ship with the compiler."""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator
from functools import cache
from importlib.resources import files

from compiler.findings import Finding, Level, Mark, Rule
from compiler.source import Source, Span
from compiler.wording.catalogue import Catalogue, read_catalogue

LANGUAGE_WITHOUT_WORDS = Rule(
    "language-without-words",
    Level.MUST,
    "The fixed words of the sheets, cautions too, do not exist in a language of the clinic.",
    ("bcp-47",),
    waivable=False,
)
RULES = (LANGUAGE_WITHOUT_WORDS,)
FOLDER = files("compiler.wording") / "words"
REGION = re.compile(r"-(?:[A-Za-z]{2}|\d{3})$")


def packaged(tag: str) -> Catalogue | None:
    """The fixed words for a language; for a regional form those of the language itself.

    A script is never dropped: Traditional Chinese does not fall back to Simplified.
    """
    name = tag.partition("-u-")[0]
    for candidate in (name, REGION.sub("", name)):
        if candidate in languages_with_words() and candidate != "en":
            return _read(candidate)
    return None


@cache
def _read(tag: str) -> Catalogue:
    """A file that ships with the compiler."""
    text = (FOLDER / f"{tag}.po").read_text(encoding="utf-8").replace("\r\n", "\n")
    return read_catalogue(Source(f"words/{tag}.po", text))[0]


@cache
def languages_with_words() -> tuple[str, ...]:
    """Tags of the languages that have the fixed words; English is the source."""
    names = (file.name for file in FOLDER.iterdir() if file.name.endswith(".po"))
    return ("en", *sorted(name.removesuffix(".po") for name in names))


def has_words(tag: str) -> bool:
    """Whether a sheet in this language has all its fixed words."""
    return tag.partition("-")[0] == "en" or packaged(tag) is not None


def without_words(spoken: Iterable[tuple[str, Span]]) -> Iterator[Finding]:
    """A finding for each language whose sheets would carry their caution in English.

    Args:
        spoken: Each language with the place where the clinic names it.
    """
    known = ", ".join(languages_with_words())
    for tag, at in spoken:
        if has_words(tag):
            continue
        yield Finding(
            LANGUAGE_WITHOUT_WORDS,
            f"The fixed words of the sheets do not exist in {tag}.",
            Mark(at),
            remedy=f"choose from {known}, or add a words file for {tag}",
        )
