"""Readability: counts against a pronouncing dictionary, formulas against worked examples."""

from __future__ import annotations

from pathlib import Path

import pytest

from compiler.wording.readability import (
    Count,
    amstad,
    counted,
    flesch_kincaid,
    kandel_moles,
    martins,
    oborneva,
    sentences,
    syllables,
    szigriszt_pazos,
)


def pronounced() -> list[tuple[str, int, set[int]]]:
    """Word, how often it stands in the examples, and the numbers that count as right."""
    lines = (Path(__file__).parent / "pronounced.txt").read_text("utf-8").splitlines()
    rows = (line.split() for line in lines if not line.startswith("#"))
    return [(word, int(often), set(map(int, says.split("/")))) for word, often, says in rows]


def test_english_syllables_are_those_of_a_pronouncing_dictionary():
    """CMU Pronouncing Dictionary; at most one word in fifty may differ, and none is common."""
    rows = pronounced()
    wrong = [(word, often) for word, often, right in rows if syllables(word, "en") not in right]

    assert len(rows) > 250
    assert len(wrong) <= len(rows) // 50, wrong
    assert sum(often for _, often in wrong) <= sum(often for _, often, _ in rows) / 200, wrong


def test_the_words_that_tell_the_rules_apart():
    """Counts of the CMU Pronouncing Dictionary, for one word of each turn of the counter."""
    says = {
        "the": 1, "use": 1, "handle": 2, "care": 1, "soaked": 1, "folded": 2, "filled": 1,
        "sleeves": 1, "bandages": 3, "watches": 2, "technique": 2, "something": 2, "area": 3,
        "manual": 3, "material": 4, "special": 2, "drying": 2, "carrier": 3, "fluid": 2,
        "reuse": 2, "million": 2, "eyes": 1,
    }  # fmt: skip

    assert {word: syllables(word, "en") for word in says} == says


def test_a_sentence_with_a_published_grade():
    """Worked example of the article on these tests in Wikipedia: 13 words, 24 syllables, 11.3."""
    text = "The Australian platypus is seemingly a hybrid of a mammal and reptilian creature."
    count = counted([text], "en")

    assert count == Count(words=13, sentences=1, syllables=24)
    assert round(flesch_kincaid(count), 1) == 11.3


def test_a_text_with_published_counts():
    """The library textacy's own test text: 424 words, 19 sentences, 648 syllables, grade 11.1471."""
    assert flesch_kincaid(Count(424, 19, 648)) == pytest.approx(11.1471, abs=5e-5)


def test_short_plain_steps_go_below_grade_zero():
    """Nothing is cut off at the ends of a scale. By hand: 0.39 · 4 + 11.8 · 1 − 15.59."""
    count = counted(["Clean your hands.", "Put on the gown. Tie it at the back."], "en")

    assert count == Count(words=12, sentences=3, syllables=12)
    assert flesch_kincaid(count) == pytest.approx(-2.23)


@pytest.mark.parametrize(
    ("formula", "per_hundred"),
    [
        # Szigriszt-Pazos 1993 as legible.es gives it: 206.835 − 62.3 · S/P − P/F
        (szigriszt_pazos, lambda s, w: 206.835 - 0.623 * s - w),
        # Kandel and Moles 1958 in the form with syllables in a hundred words
        (kandel_moles, lambda s, w: 207 - 0.736 * s - 1.015 * w),
        # Amstad 1978 as leichtlesbar.ch gives it: 180 − ASL − 58.5 · ASW
        (amstad, lambda s, w: 180 - 0.585 * s - w),
    ],
    ids=["szigriszt-pazos", "kandel-moles", "amstad"],
)
def test_formulas_take_syllables_a_word_and_not_a_hundred_words(formula, per_hundred):
    """The mistake of many copies would put every text beyond either end of the scale."""
    count = Count(words=200, sentences=16, syllables=330)

    assert formula(count) == pytest.approx(per_hundred(165, 12.5))
    assert 40 < formula(count) < 100


@pytest.mark.parametrize(
    ("language", "says"),
    [
        # divided as the Ortografía of the Real Academia Española (2010) divides; from memory
        (
            "es",
            "país 2, leer 2, aéreo 4, paraguas 3, averiguáis 4, guion 1, construir 2, muy 1",
        ),
        ("es", "mayo 2, vergüenza 3, respirador 4, guantes 2, ciudad 2, quirúrgica 4"),
        # divided as Duden divides; from memory
        ("de", "Handschuhe 3, Atemschutzmaske 5, Desinfektion 5, Schutzkittel 3, Quelle 2"),
        ("de", "Bäume 2, Tiere 2, Brille 2"),
        # spoken French: a last e is mute; from memory
        ("fr", "masque 1, gants 1, blouse 1, visière 2, lunettes 2, désinfecter 4, réaliser 4"),
    ],
)
def test_syllables_of_other_languages(language, says):
    expected = dict(pair.split() for pair in says.split(", "))

    assert {word: str(syllables(word, language)) for word in expected} == expected


def test_a_language_without_a_counter_has_no_syllables():
    assert syllables("рука", "uk") == 0
    assert counted(["Помийте руки. Вийдіть"], "uk") == Count(3, 2, 0)


@pytest.mark.parametrize(
    ("text", "count"),
    [
        ("Go in", 1),
        ("Go in. Close the door.", 2),
        ("Keep 1.5 m away. Wait.", 2),
        ("Use a sign, e.g. a card. Wait.", 2),
        ("Is it wet? (Look closely.) Then wait...", 3),
        ("हाथ साफ़ करें। दस्ताने पहनें।", 2),
        ("", 0),
    ],
)
def test_where_sentences_end(text, count):
    """Common practice, no source."""
    assert len(sentences(text)) == count
    assert counted([text], "en").sentences == max(count, 1)


def test_a_list_without_stops_is_no_endless_sentence():
    assert counted(["Gloves", "Gown", "Mask"], "en").sentences == 3


def test_hostile_text_takes_no_longer_for_being_hostile():
    """Runs of stops, marks and letters are read once: else this would not end in an hour."""
    runs = ["." * 200_000, '."' * 100_000, "a" * 200_000, "ae" * 100_000 + "."]

    assert [counted([run], "en").words for run in runs] == [0, 0, 1, 1]
    assert [len(sentences(run)) for run in runs] == [1, 1, 1, 1]


# ---- Portuguese and Russian


def test_the_formula_for_portuguese_is_flesch_and_42_points():
    """Martins and others (1996) add 42 to Flesch's 206.835; some copies take it away."""
    count = Count(424, 19, 648)

    assert martins(count) == pytest.approx(206.835 + 42 - 1.015 * 424 / 19 - 84.6 * 648 / 424)
    assert martins(count) > 54.8901 + 41


def test_the_formula_for_russian_has_the_constants_of_a_general_library():
    """Textstat's table for "ru": 206.835, 1.3 and 60.1 (other copies of Oborneva: 1.52, 65.14)."""
    assert oborneva(Count(12, 3, 12)) == pytest.approx(206.835 - 1.3 * 4 - 60.1)
    assert oborneva(Count(100, 10, 250)) == pytest.approx(43.585)


@pytest.mark.parametrize(
    ("language", "word", "count"),
    [
        ("pt", "mãos", 1), ("pt", "luvas", 2), ("pt", "água", 2), ("pt", "sabão", 2),
        ("pt", "porta", 2), ("pt", "respirador", 4), ("pt", "quente", 2), ("pt", "saída", 3),
        ("pt", "não", 1), ("pt", "avental", 3), ("pt", "equipamento", 5), ("pt", "põe", 1),
        ("ru", "руки", 2), ("ru", "перчатки", 3), ("ru", "халат", 2), ("ru", "в", 1),
        ("ru", "ещё", 2), ("ru", "двадцать", 2), ("ru", "респиратор", 4),
    ],
)  # fmt: skip
def test_syllables_of_portuguese_and_russian(language, word, count):
    """Ordinary hyphenation, from memory; a Russian syllable has just one vowel."""
    assert syllables(word, language) == count
