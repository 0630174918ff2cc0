"""Language tags: their shape, and which of them have words for the sheets."""

from __future__ import annotations

import re

SUPPORTED = (
    "en", "es", "fr", "pt", "de", "pl", "uk", "ru", "ar", "fa", "ur", "hi", "bn", "zh-Hans",
    "zh-Hant", "vi", "tl", "so", "am", "th", "ko",
)  # fmt: skip

# BCP 47 (RFC 5646, section 2.1), as far as a clinic needs it: language, script, region.
_TAG = re.compile(r"([a-zA-Z]{2,3})(?:-([a-zA-Z]{4}))?(?:-([a-zA-Z]{2}|[0-9]{3}))?")


def canonical(tag: str) -> str:
    """The tag in the case that RFC 5646, section 2.1.1, recommends.

    >>> canonical("ZH-hans"), canonical("pt-br"), canonical("klingon script")
    ('zh-Hans', 'pt-BR', 'klingon script')
    """
    match = _TAG.fullmatch(tag)
    if match is None:
        return tag
    language, script, region = match.groups()
    parts = (language.lower(), script and script.title(), region and region.upper())
    return "-".join(part for part in parts if part)


def supported(tag: str) -> bool:
    """Whether the sheets have words in this language, or in the one it is a form of.

    >>> [supported(tag) for tag in ("pt-BR", "zh-Hans", "zh", "xx", "english")]
    [True, True, False, False, False]
    """
    if not _TAG.fullmatch(tag):
        return False
    parts = tag.split("-")
    return any("-".join(parts[:count]) in SUPPORTED for count in range(len(parts), 0, -1))
