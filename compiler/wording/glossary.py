"""What the things of a clinic are called in a language: its own `clinic.po`, as a glossary.

An entry there names an item, a place, an area or an agent once. Other lawful forms of the name,
such as a plural that begins otherwise, stand in a translator's comment above it:
`# also: guante, guantes`.
"""

from __future__ import annotations

import re
import unicodedata
from collections.abc import Iterable, Iterator
from dataclasses import dataclass, field
from math import ceil

from compiler.source import Span
from compiler.wording.catalogue import Catalogue

KINDS = ("item", "place", "area", "agent")
"""Kinds of texts in `clinic.po` that name a thing."""
ALSO = re.compile(r"also:\s*(.*)", re.IGNORECASE)
UNSPACED = ("zh", "ja", "th", "lo", "km", "my")
"""Languages whose words are not divided: names are looked for as they are, spaces aside."""
SHARE = 0.6
"""Of a word, how much from its beginning stays when it is inflected; no source, tried."""
SHORTEST = {"am": 2}
"""Letters of that beginning at least, where not three: Ethiopic signs are whole syllables."""
WORD = re.compile(r"(?:\b(?:ال|لل))?([^\W_](?:[^\W_]|[\u0900-\u0dff])*)")
"""A word, without the Arabic article; vowel signs of Indian scripts belong to it."""


@dataclass(frozen=True, slots=True)
class Term:
    """One thing and its name in a language."""

    source: str
    """What the clinic calls it."""
    name: str
    """What the translation calls it."""
    forms: tuple[str, ...]
    """Other lawful forms of that name."""
    at: Span


@dataclass(slots=True)
class Glossary:
    """The names of a clinic in one language."""

    language: str
    terms: tuple[Term, ...]
    """Longer source names first: "outer gloves" is not "gloves"."""
    _patterns: dict[str, re.Pattern[str]] = field(default_factory=dict)
    _stems: dict[str, list[tuple[str, ...]]] = field(default_factory=dict)
    _asked: dict[str, tuple[Term, ...]] = field(default_factory=dict)
    _hints: dict[str, str] = field(default_factory=dict)

    def named_in(self, text: str) -> tuple[Term, ...]:
        """The things that a source text names, each once; a longer name hides a shorter one."""
        if text not in self._asked:
            self._asked[text] = tuple(self._named(text.casefold()))
        return self._asked[text]

    def _named(self, left: str) -> Iterator[Term]:
        for term in self.terms:
            if term.source not in self._patterns:
                shape = rf"\b{re.escape(term.source.casefold())}(?:s|es)?\b"
                self._patterns[term.source] = re.compile(shape)
            if term.source.casefold() not in left:
                continue
            cut, count = self._patterns[term.source].subn(" ", left)
            if count:
                left = cut
                yield term

    def calls(self, term: Term, text: str) -> bool:
        """Whether a translation uses the name, as far as its spelling can tell.

        Inflected words count: what they have in common with the name is their beginning.
        """
        if term.source not in self._stems:
            self._stems[term.source] = [self._stem(form) for form in (term.name, *term.forms)]
        plain = _plain(text)
        if self._unspaced:
            plain = plain.replace(" ", "")
        return any(all(stem in plain for stem in stems) for stems in self._stems[term.source])

    def hint(self, text: str) -> str:
        """For a translator: the names that a text needs; empty if none."""
        if text not in self._hints:
            named = (f"{term.source} = {term.name}" for term in self.named_in(text))
            self._hints[text] = "; ".join(named)
        return self._hints[text]

    @property
    def _unspaced(self) -> bool:
        return self.language.partition("-")[0] in UNSPACED

    def _stem(self, name: str) -> tuple[str, ...]:
        """What of a name must be found: of its longest word the beginning."""
        plain = _plain(name)
        if self._unspaced:
            return (plain.replace(" ", ""),)
        longest = max(WORD.findall(plain), key=len, default=plain)
        least = SHORTEST.get(self.language.partition("-")[0], 3)
        return (longest[: max(least, ceil(SHARE * len(longest)))],)


def glossary(catalogue: Catalogue | None, language: str) -> Glossary:
    """The names that a clinic's file gives, as far as they are fit to print."""
    entries = catalogue.entries.values() if catalogue else ()
    terms = [
        Term(entry.source, entry.text, tuple(_forms(entry.notes)), entry.at)
        for entry in entries
        if entry.context in KINDS and entry.usable
    ]
    first = {term.source.casefold(): term for term in reversed(terms)}
    longest_first = sorted(first.values(), key=lambda term: (-len(term.source), term.source))
    return Glossary(language, tuple(longest_first))


def _forms(notes: Iterable[str]) -> Iterator[str]:
    for note in notes:
        if found := ALSO.match(note):
            yield from (form.strip() for form in found[1].split(",") if form.strip())


def _plain(text: str) -> str:
    """Small letters without accents and joiners, one space between words.

    Marks of Indian scripts are vowels and stay; those of Arabic and Latin letters go.
    """
    apart = unicodedata.normalize("NFKD", text.casefold())
    kept = (c for c in apart if not _dropped(c))
    return " ".join(unicodedata.normalize("NFC", "".join(kept)).split())


def _dropped(sign: str) -> bool:
    if sign < "\u0300":
        return False
    return (
        sign <= "\u036f" or "\u064b" <= sign <= "\u065f" or unicodedata.category(sign) == "Cf"
    )
