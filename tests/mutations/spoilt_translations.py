"""Faults in translations, made on purpose in every language that the example is translated into.

A translator's slips, made mechanically in entries that are right: a figure changed, the word that
forbids lost, two entries swapped, a source text edited after it was translated.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Iterator
from dataclasses import dataclass, replace
from functools import cache
from itertools import islice, pairwise

from compiler.model.translate import translated
from compiler.rules.translations import checked
from compiler.wording.catalogue import Catalogue
from compiler.wording.languages import language as described
from compiler.wording.portable import Entry
from tests.printing.posters import example

LANGUAGES = ("es", "fr", "pt", "ar", "ur", "hi", "bn", "zh-Hans", "vi", "ru", "so", "am")
EACH = 40
"""Faults of each kind in each language."""

FORBIDS = re.compile(r"\b(?:do not|never)\b", re.IGNORECASE)
NOT = {
    "es": (r"\b[Nn]o ", "siempre "),
    "fr": (r"\b[Nn]e | pas\b|\b[Nn][’']", "toujours "),
    "pt": (r"\b[Nn]ão ", "sempre "),
    "ar": (r"\bو?لا ", "دائمًا "),
    "ur": (r"\bنہ ", "ہمیشہ "),
    "hi": (r"(?<!\S)(?:न|नहीं|मत) ", "हमेशा "),
    "bn": (r" না(?=[।,\s])", " সব সময়"),
    "zh-Hans": (r"请勿|切勿|勿|不要|不得|不可|不能|不", "必须"),
    "vi": (r"\b[Kk]hông được |\b[Kk]hông |\b[Đđ]ừng ", "luôn "),
    "ru": (r"\b[Нн]е ", "всегда "),
    "so": (r"\b[Hh]a ", "mar walba "),
    "am": (r"(?<!\S)አት|(?<!\S)አይ", "ሁልጊዜ "),
}
"""The plain particles that forbid, taken out of a text, and "always" in each language; from memory."""

Spoilt = tuple[str, dict[tuple[str, str], Entry | None]]
"""A protocol's name, and the entries to put in place of its own; nothing for an entry to drop."""


@dataclass(frozen=True, slots=True)
class Told:
    """How many faults of one kind in one language were made, and how many were told."""

    made: int
    found: int


def catalogues(tag: str) -> Iterator[tuple[str, Catalogue]]:
    for protocol in example().protocols:
        yield protocol.name, example().translations[tag, protocol.name]


def entries(tag: str) -> Iterator[tuple[str, Entry]]:
    for name, catalogue in catalogues(tag):
        yield from ((name, entry) for entry in catalogue.entries.values())


def _changed(name: str, entry: Entry, text: str) -> Spoilt:
    return name, {entry.key: replace(entry, text=text)}


def numbers(tag: str) -> Iterator[Spoilt]:
    """One figure more, ten times as much, gone, and another one in the language's own digits."""
    own = described(f"{tag}-u-nu-{OWN_DIGITS[tag]}" if tag in OWN_DIGITS else tag)
    for number in range(4):
        for name, entry in entries(tag):
            for figure in re.finditer(r"\d+", entry.text):
                value = int(figure[0])
                other = (str(value + 1), f"{value}0", "", own.localised(str(value + 5)))[number]
                text = entry.text[: figure.start()] + other + entry.text[figure.end() :]
                yield _changed(name, entry, text)


OWN_DIGITS = {"ar": "arab", "ur": "arabext", "hi": "deva", "bn": "beng"}
"""Languages with digits of their own, by the names of CLDR."""


def negations(tag: str) -> Iterator[Spoilt]:
    """The particle gone, "always" in its place, and the words of a step that forbids nothing."""
    pattern, always = NOT[tag]
    forbidding = [(n, e) for n, e in entries(tag) if FORBIDS.search(e.source)]
    plain = [
        e for _, e in entries(tag) if e.context == "detail" and not FORBIDS.search(e.source)
    ]
    for other in ("", always, "neighbour", "shortened"):
        for number, (name, entry) in enumerate(forbidding):
            text = re.sub(pattern, "" if other == "shortened" else other, entry.text)
            if other == "neighbour":
                text = re.sub(r"\d+", "", plain[number].text)
            elif other == "shortened":
                text = text[: len(text) * 2 // 3]
            if text != entry.text:
                yield _changed(name, entry, text)


def swaps(tag: str) -> Iterator[Spoilt]:
    """Two translations of one kind and file, one put where the other belongs."""
    for name, catalogue in catalogues(tag):
        for kind in ("lead", "detail", "caution", "branch"):
            same = [e for e in catalogue.entries.values() if e.context == kind]
            for one, other in pairwise(same):
                yield (
                    name,
                    {
                        one.key: replace(one, text=other.text),
                        other.key: replace(other, text=one.text),
                    },
                )


def stale(tag: str) -> Iterator[Spoilt]:
    """A translation of what the text said before: of another source text, or marked by a merge."""
    for number, (name, entry) in enumerate(entries(tag)):
        if number % 2:
            yield name, {entry.key: replace(entry, flags=("fuzzy",), previous="Before.")}
        else:
            old = replace(entry, source=f"{entry.source} Before.")
            yield name, {entry.key: None, old.key: old}


FAULTS: dict[str, Callable[[str], Iterator[Spoilt]]] = {
    "number changed": numbers,
    "negation lost": negations,
    "two entries swapped": swaps,
    "source edited since": stale,
}


@cache
def told(tag: str, fault: str) -> Told:
    """Makes the faults one by one and looks whether anything new is found."""
    made = found = 0
    every = list(FAULTS[fault](tag))
    step = max(1, len(every) // EACH)
    for name, changes in islice(every[::step], EACH):
        made += 1
        found += bool(_findings(tag, name, changes) - _told_before(tag, name))
    return Told(made, found)


@cache
def _told_before(tag: str, name: str) -> frozenset[tuple[str, str]]:
    return frozenset(_findings(tag, name, {}))


def _findings(tag: str, name: str, changes) -> set[tuple[str, str]]:
    """What a protocol's own translation file gives rise to, as in `pipeline.in_language`."""
    protocol = next(p for p in example().protocols if p.name == name)
    catalogue = example().translations[tag, name]
    kept = {**catalogue.entries, **changes}
    texts = replace(catalogue, entries={k: e for k, e in kept.items() if e})
    _, found = translated(protocol, texts, tag, "en")
    found += checked(texts, example().translations[tag, "clinic"], None, tag)
    return {(finding.rule.slug, finding.message) for finding in found}
