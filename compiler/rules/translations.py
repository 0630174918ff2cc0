"""What is worth a look in translations: names, length, directions, hard sentences, reviews.

What makes a sheet unsafe is found where a text is replaced, in `model/translate.py`; here is
what a person has to judge. All findings stand in the translation files.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from compiler.findings import Finding, Level, Mark, Rule
from compiler.model.faithful import short
from compiler.rules.passages import Passage
from compiler.rules.wording_measures import hard_sentences, hardness
from compiler.source import Span
from compiler.wording.catalogue import Catalogue
from compiler.wording.cells import cells
from compiler.wording.directions import two_orders
from compiler.wording.glossary import Glossary, Term, glossary
from compiler.wording.portable import Entry
from compiler.wording.review import digest, review_line, review_of

ITEM_RENAMED = Rule(
    "item-renamed-in-translation",
    Level.MAY,
    "A translation calls a thing by another name than the clinic's translation does.",
    ("plain-language-2011",),
    waivable=False,
)
MUCH_LONGER = Rule(
    "translation-much-longer",
    Level.MAY,
    "A translation takes far more room than its source text.",
    ("w3c-text-size-2007",),
    waivable=False,
)
MIXES_DIRECTIONS = Rule(
    "translation-mixes-directions",
    Level.MAY,
    "A translation mixes directions of writing so that it can be read in two orders.",
    ("unicode-bidi",),
    waivable=False,
)
HARD_TO_READ = Rule(
    "translation-hard-to-read",
    Level.MAY,
    "A translation is hard to read by its sentences or by a formula made for its language.",
    (
        "govuk-sentence-2014",
        "plain-english-sentence",
        "szigriszt-1993",
        "kandel-moles-1958",
        "amstad-1978",
        "martins-1996",
        "oborneva-2006",
    ),
    waivable=False,
)
REVIEW_VOID = Rule(
    "review-void",
    Level.MAY,
    "A translation was edited after its review, so the review does not count.",
    waivable=False,
)
RULES = (ITEM_RENAMED, MUCH_LONGER, MIXES_DIRECTIONS, HARD_TO_READ, REVIEW_VOID)

EXPECTED = ((10, 3.0), (20, 2.0), (30, 1.8), (50, 1.6), (70, 1.7))
"""Longest text, and how many times longer its translation is expected to be at most."""
BEYOND = 1.3
"""What is expected of a long text."""
GENEROUS = 1.5
"""Only beyond so many times what is expected is told: those are averages."""
LEAST_CELLS = 12
"""Shorter translations are never told."""


@dataclass(frozen=True, slots=True)
class _Text:
    """One translation with its source text."""

    source: str
    entry: Entry

    @property
    def text(self) -> str:
        return self.entry.text


def checked(
    catalogue: Catalogue | None,
    clinic: Catalogue | None,
    fixed: Catalogue | None,
    language: str,
) -> Iterator[Finding]:
    """All findings of one translation file.

    Args:
        catalogue: The file of a protocol, or the clinic's own.
        clinic: The clinic's file, which names the things.
        fixed: The fixed words, which are reviewed with the clinic's; nothing for a protocol.
        language: Its BCP 47 tag.
    """
    if not catalogue:
        return
    texts = [_Text(e.source, e) for e in catalogue.entries.values() if e.usable]
    if catalogue is not clinic:
        yield from _renamed(texts, glossary(clinic, language))
    for text in texts:
        yield from _much_longer(text)
        yield from _mixed(text)
    yield from _hard(catalogue, texts, language)
    yield from _void(catalogue, fixed)


# --- names ------------------------------------------------------------------------------------


def _renamed(texts: list[_Text], names: Glossary) -> Iterator[Finding]:
    """One finding for each thing: the first text that calls it otherwise, then the others."""
    found: dict[str, tuple[Term, list[_Text]]] = {}
    for text in texts:
        for term in names.named_in(text.source):
            if not names.calls(term, text.text):
                found.setdefault(term.source, (term, []))[1].append(text)
    for term, those in found.values():
        yield Finding(
            ITEM_RENAMED,
            f"The translation of {short(those[0].source)} does not call the {term.source} "
            f"“{term.name}”.",
            Mark(those[0].entry.at, "another name"),
            (
                Mark(term.at, "the name"),
                *(Mark(text.entry.at, "here too") for text in those[1:4]),
            ),
            remedy="use the one name everywhere; if this is a form of it, write above the name "
            f"in clinic.po: # also: {_longest_word(those[0].text)}",
        )


def _longest_word(text: str) -> str:
    return max(text.split(), key=len).strip(".,;:!?।۔。“”«»")


# --- length -----------------------------------------------------------------------------------


def _much_longer(text: _Text) -> Iterator[Finding]:
    before, after = cells(text.source), cells(text.text)
    expected = next((most for longest, most in EXPECTED if before <= longest), BEYOND)
    if after > max(LEAST_CELLS, GENEROUS * expected * before):
        yield Finding(
            MUCH_LONGER,
            f"The translation of {short(text.source)} is {after / before:.1f} times as long.",
            Mark(text.entry.at, f"{after} letters wide, for {before}"),
            remedy="look whether it says more than the source text, and say it in fewer words",
        )


# --- directions -------------------------------------------------------------------------------


def _mixed(text: _Text) -> Iterator[Finding]:
    if unsure := two_orders(text.text):
        yield Finding(
            MIXES_DIRECTIONS,
            f"The translation of {short(text.source)} {unsure.what}.",
            Mark(text.entry.at),
            remedy=unsure.remedy,
        )


# --- reading ----------------------------------------------------------------------------------


def _hard(catalogue: Catalogue, texts: list[_Text], language: str) -> Iterator[Finding]:
    base = language.partition("-")[0].casefold()
    passages = [Passage(t.entry.context, t.text, t.entry.at, None) for t in texts]
    prose = [p for p in passages if p.kind in PROSE]
    for passage in prose:
        for sentence, said in hard_sentences(passage.text, base):
            yield Finding(
                HARD_TO_READ,
                f"This sentence has {said}.",
                Mark(_place_in(passage.at, sentence), said.partition(";")[0]),
                remedy="divide it, or leave out what the reader knows",
            )
    if said := hardness([p.text for p in prose], base):
        at = prose[0].at
        yield Finding(
            HARD_TO_READ,
            said,
            Mark(at, "the texts of this file, together"),
            remedy="divide the longest sentences, and use shorter words for the longest ones",
        )


PROSE = frozenset(("introduction", "lead", "detail", "caution", "branch", "branch detail"))
"""Kinds of texts that are sentences."""


def _place_in(at: Span, words: str) -> Span:
    """Where words stand in a translation; the whole of it if they are broken over lines."""
    found = at.source.text.find(words, at.start, at.end)
    return at.source.span(found, found + len(words)) if found >= 0 else at


# --- reviews ----------------------------------------------------------------------------------


def _void(catalogue: Catalogue, fixed: Catalogue | None) -> Iterator[Finding]:
    review = review_of(catalogue)
    if review is None:
        return
    if review.day is None:
        said = f"The review by {review.who} has no date."
    elif review.of != digest(catalogue, fixed):
        said = (
            f"The texts are not those that {review.who} reviewed on {review.day.isoformat()}."
        )
    else:
        return
    yield Finding(
        REVIEW_VOID,
        said,
        Mark(review_line(catalogue), "does not count"),
        remedy="have it reviewed as it is now, then run wallward translate --reviewed-by",
    )
