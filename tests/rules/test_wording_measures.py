"""Lengths of leads and sentences, and whole texts by the formula made for their language.

Texts that must stay silent stand beside those that must be told.
"""

from __future__ import annotations

from math import radians, tan

import pytest

from compiler.model.protocol import Protocol
from compiler.rules.passages import Passage
from compiler.rules.wording_measures import LEAD_SIGNS, LEAD_WORDS, hard_to_read, long_leads
from compiler.source import Source
from tests.rules.texts import detail, lead, slugs, told


def test_a_lead_may_have_eight_words_and_no_more():
    assert slugs(lead("Take one two three four five six seven.")) == []
    assert slugs(lead("Take one two three four five six seven eight.")) == ["long-lead"]


def test_the_line_of_a_card_holds_eight_english_words():
    """From the sizes behind the number: ISO/IEC 7810, ID-1, 85.60 mm; ISO 9241-303, 22 minutes.

    Noto Sans Bold has capitals of 0.714 em; over the leads of the examples HarfBuzz measures
    0.492 em a sign and there are 5.54 signs a word, its space included.
    """
    capital = 2 * 350 * tan(radians(22 / 60) / 2)
    size = capital / 0.714
    room = 85.60 - 2 * 3 - 5

    assert int(room / (size * 0.492) / 5.54) == LEAD_WORDS == 8
    assert LEAD_SIGNS["zh"] <= int(room / size)
    assert LEAD_SIGNS["th"] <= int(room / (size * 0.492))


def bare_protocol() -> Protocol:
    source = Source("bare.md", "")
    return Protocol(
        "bare", "Bare", (), "", "", None, None, "", (), source, at=source.span(0, 0)
    )  # fmt: skip


def passage(kind: str, text: str) -> Passage:
    return Passage(kind, text, bare_protocol().at, None)


@pytest.mark.parametrize(("language", "most"), [("zh", 22), ("ja", 22), ("th", 45)])
def test_leads_without_spaces_are_counted_in_signs(language, most):
    assert list(long_leads([passage("lead", "手" * most)], language)) == []
    assert len(list(long_leads([passage("lead", "手" * (most + 1))], language))) == 1


def test_a_sentence_may_have_twenty_five_words_and_no_more():
    """Government Digital Service, Sentence length: why 25 words is our limit (2014)."""
    words = "Press " + "well " * 23

    assert slugs(detail(words + "down.")) == []
    assert slugs(detail(words + "down. " + words + "down.")) == []
    assert slugs(detail(words + "down now.")) == ["long-sentence"]


def test_the_long_sentence_itself_is_shown():
    words = "Press " + "well " * 25 + "down."
    (finding,) = told(detail(f"Wait. {words} Go on."))

    assert finding.at.span.text == words


HARD = "Appropriate decontamination necessitates comprehensive application. "


def test_a_hard_text_is_told_once_and_an_easy_one_is_not():
    assert slugs(detail(HARD * 20)) == ["hard-to-read"]
    assert slugs(detail("Press the strip to your nose. " * 20)) == []


def judged(text: str, language: str) -> bool:
    return bool(
        list(hard_to_read(bare_protocol(), [passage("detail", text.strip())], language))
    )


def test_a_text_below_a_hundred_words_is_not_judged():
    """The formulas were made for samples of a hundred words (Flesch 1948)."""
    assert not judged("Decontamination. " * 99, "en")
    assert judged("Decontamination. " * 100, "en")


def test_a_language_without_a_formula_has_its_sentences_counted():
    """Plain English Campaign: 15 to 20 words on average."""
    assert not judged(("Słowo " + "słowo " * 18 + "tak. ") * 6, "pl")
    assert judged(("Słowo " + "słowo " * 19 + "tak. ") * 6, "pl")


@pytest.mark.parametrize(
    ("language", "easy", "hard"),
    [
        (
            "es",
            "Lávese las manos con agua y jabón. Séquelas con una toalla de papel. ",
            "La descontaminación inmediata posterior a la eliminación del equipamiento "
            "constituye la intervención preventiva fundamental para profesionales. ",
        ),
        (
            "fr",
            "Lavez vos mains avec de l’eau et du savon. Mettez les gants. Fermez la porte. ",
            "La décontamination immédiate consécutive à l’élimination des équipements "
            "constitue l’intervention préventive fondamentale des professionnels. ",
        ),
        (
            "de",
            "Waschen Sie die Hände mit Wasser und Seife. Gehen Sie dann aus dem Raum. ",
            "Die unverzügliche Händedekontamination unmittelbar nach Beseitigung der "
            "Schutzausrüstung konstituiert die fundamentale Präventionsmaßnahme. ",
        ),
    ],
)
def test_plain_and_stilted_steps_fall_on_their_sides(language, easy, hard):
    """Our own sentences: the same thing said to a person and to a committee."""
    assert not judged(easy * 10, language)
    assert judged(hard * 10, language)
