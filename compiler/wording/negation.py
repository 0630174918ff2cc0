"""Whether a prohibition survived translation: "do not touch" must not become "touch"."""

from __future__ import annotations

import re

FORBIDDING = {
    "en": re.compile(
        r"\b(?:do not|don[’']t|never|must not|may not|cannot|can[’']t)\b", re.IGNORECASE
    ),
    "es": re.compile(r"\b(?:no|nunca|jamás|prohibido)\b"),
}
"""Plain prohibitions in the languages that a source text may be in."""
NEGATION = {
    "en": re.compile(
        r"\b(?:not|\w+n[’']t|never|no|nothing|without|cannot|avoid)\b", re.IGNORECASE
    ),
    "es": re.compile(
        r"\b(?:no|nunca|jamás|sin|ni|nada|nadie|ning\w+|tampoco|evit\w+)\b", re.IGNORECASE
    ),
    # Prefixes "and", "then" and "with" are written together with the word.
    "ar": re.compile(
        r"(?:^|[\s،؛.:(«])[وفب]?(?:لا|ألا|ألّا|لن|لم|ليس\w*|دون|غير|عدم|تجنب\w*|تجنّب\w*|احذر\w*|"
        r"ممنوع|يمنع|يُمنع|يحظر|يُحظر|إياك)(?=$|[\s،؛.:!)»])"
    ),
    "zh": re.compile(r"[不勿别未无没莫免禁]|避"),
    # Devanagari vowel signs are no word characters, so words end at spaces and stops.
    "hi": re.compile(
        r"(?:^|[\s।,(“])(?:न|ना|नहीं|मत|बिना|बग़ैर|कभी न|मना|वर्जित|बचें|बचाएँ)(?=$|[\s।,;:!)”])"
    ),
}
"""How each language says no: wide, because a false alarm costs trust."""


def loses_a_negation(source: str, source_tag: str, text: str, tag: str) -> bool:
    """Whether the source forbids and the translation has no word that could.

    Languages without a table are not judged.

    >>> loses_a_negation("Do not touch it.", "en", "Toque el borde.", "es")
    True
    >>> loses_a_negation("Do not touch it.", "en", "No lo toque.", "es")
    False
    """
    forbidding = FORBIDDING.get(_base(source_tag))
    negation = NEGATION.get(_base(tag))
    if not (forbidding and negation and forbidding.search(source.casefold())):
        return False
    return not negation.search(text.casefold())


def _base(tag: str) -> str:
    """The language of a tag, without script and region."""
    return tag.partition("-")[0].casefold()
