"""What is measured in the words: long leads, long sentences, and a formula for the whole."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import dataclass

from compiler.findings import Finding, Level, Mark, Rule
from compiler.model.protocol import Protocol
from compiler.rules.passages import Passage, place_of
from compiler.wording.readability import (
    Count,
    amstad,
    counted,
    flesch_kincaid,
    kandel_moles,
    martins,
    oborneva,
    sentences,
    szigriszt_pazos,
    word_count,
)

LONG_LEAD = Rule(
    "long-lead",
    Level.MAY,
    "A lead has more words than one line of a pocket card holds.",
    ("iso-9241-303", "iso-7810"),
)
LONG_SENTENCE = Rule(
    "long-sentence",
    Level.MAY,
    "A sentence has more than 25 words.",
    ("govuk-sentence-2014",),
)
READING = Rule(
    "hard-to-read",
    Level.MAY,
    "The whole text is hard to read by a formula made for its language.",
    (
        "kincaid-1975",
        "epa-readability",
        "szigriszt-1993",
        "kandel-moles-1958",
        "amstad-1978",
        "martins-1996",
        "oborneva-2006",
        "plain-english-sentence",
    ),
)

LEAD_WORDS = 8
"""Words of a lead. A card of 85.6 mm leaves about 75 mm for a lead beside its number. Letters
that span 22 minutes of arc at 0.35 m have capitals of 2.24 mm, so signs of about 1.5 mm in
the bold of the sheets: some 48 a line, or eight English words."""
LEAD_SIGNS = {"zh": 22, "ja": 22, "th": 45, "km": 45, "lo": 45, "my": 45}
"""The same line in letters, where words are not divided: full-width signs are 3.1 mm wide."""
SENTENCE_WORDS = 25
SENTENCE_SIGNS = {"zh": 50, "ja": 60}
"""The same where words are not divided and sentences have a stop of their own; no source."""
LEAST_WORDS = 100
"""Below this a formula says nothing: it was made for samples of a hundred words."""
MEAN_SENTENCE = 20
"""Words a sentence on average where no formula is known: the upper end of the usual advice."""


@dataclass(frozen=True, slots=True)
class Norm:
    """A formula, and the score beyond which a text is told."""

    name: str
    score: Callable[[Count], float]
    limit: float
    grade: bool = False
    """Whether more is harder; else less is harder."""


NORMS = {
    # eighth grade: the upper bound of advice for the public, and generous for tired staff
    "en": Norm("Flesch-Kincaid", flesch_kincaid, 8, grade=True),
    # the scale made for this formula calls less than 55 somewhat hard
    "es": Norm("Szigriszt-Pazos", szigriszt_pazos, 55),
    # Flesch's own scale, which all of these carry over, calls less than 50 difficult
    "fr": Norm("Kandel and Moles", kandel_moles, 50),
    "de": Norm("Amstad", amstad, 50),
    "pt": Norm("Martins and others", martins, 50),
    "ru": Norm("Oborneva", oborneva, 50),
}


def measured(protocol: Protocol, texts: list[Passage], language: str) -> Iterator[Finding]:
    """All findings that rest on a count."""
    yield from long_leads(texts, language)
    yield from long_sentences(texts, language)
    yield from hard_to_read(protocol, texts, language)


def long_leads(texts: list[Passage], language: str) -> Iterator[Finding]:
    """Leads, of steps and of answers, that a card has to break."""
    signs = LEAD_SIGNS.get(language, 0)
    for passage in texts:
        if passage.kind not in ("lead", "branch"):
            continue
        count = len(passage.text) if signs else word_count(passage.text)
        limit = signs or LEAD_WORDS
        if count > limit:
            unit = "signs" if signs else "words"
            yield Finding(
                LONG_LEAD,
                f"The lead has {count} {unit}; a line of a pocket card holds {limit}.",
                Mark(place_of(passage, passage.text), f"{count} {unit}"),
                remedy="keep what to do in the lead, and move how to do it into the detail",
            )


def long_sentences(texts: list[Passage], language: str) -> Iterator[Finding]:
    """Sentences of anything but leads, which have their own rule."""
    for passage in texts:
        if passage.kind in ("lead", "branch"):
            continue
        for sentence, said in hard_sentences(passage.text, language):
            yield Finding(
                LONG_SENTENCE,
                f"This sentence has {said}.",
                Mark(place_of(passage, sentence), said.partition(";")[0]),
                remedy="divide it, or leave out what the reader knows",
            )


def hard_sentences(text: str, language: str) -> Iterator[tuple[str, str]]:
    """Sentences that are too long, each with how long it is."""
    signs = SENTENCE_SIGNS.get(language, 0)
    limit, unit = (signs, "signs") if signs else (SENTENCE_WORDS, "words")
    if (language in LEAD_SIGNS and not signs) or (not signs and text.count(" ") < limit):
        return
    for sentence in sentences(text):
        count = len(sentence) if signs else word_count(sentence)
        if count > limit:
            yield sentence, f"{count} {unit}; more than {limit} are hard to keep in mind"


def hard_to_read(protocol: Protocol, texts: list[Passage], language: str) -> Iterator[Finding]:
    """The score of the whole text, or its mean sentence where no formula is known."""
    if said := hardness([passage.text for passage in texts], language):
        count = counted((passage.text for passage in texts), language)
        yield Finding(
            READING,
            said,
            Mark(protocol.at, _of_what(count)),
            _longest(texts),
            remedy="divide the longest sentences, and use shorter words for the longest ones",
        )


def hardness(texts: list[str], language: str) -> str:
    """What a text as a whole scores if that is beyond the limit; nothing otherwise."""
    if language in LEAD_SIGNS:
        return ""
    count = counted(texts, language)
    if count.words < LEAST_WORDS:
        return ""
    norm = NORMS.get(language)
    if norm is None:
        mean = f"{count.sentence:.1f} words on average"
        said = f"Sentences have {mean}, more than {MEAN_SENTENCE}."
        return said if count.sentence > MEAN_SENTENCE else ""
    score = norm.score(count)
    hard = score > norm.limit if norm.grade else score < norm.limit
    kind, than = ("grade", "above") if norm.grade else ("reading ease", "below")
    said = f"The text has {kind} {score:.1f} by {norm.name}, {than} {norm.limit:g}."
    return said if hard else ""


def _of_what(count: Count) -> str:
    """Which of the two it is, long sentences or long words."""
    said = f"{count.sentence:.1f} words a sentence"
    return f"{said}, {count.word:.1f} syllables a word" if count.syllables else said


def _longest(texts: list[Passage]) -> tuple[Mark, ...]:
    """The longest sentence: where to begin."""
    found = [(sentence, passage) for passage in texts for sentence in sentences(passage.text)]
    sentence, passage = max(found, key=lambda pair: word_count(pair[0]))
    return (Mark(place_of(passage, sentence), "the longest sentence"),)
