"""Prohibitions in four languages.

The sentences are our own; that a lost "not" is the gravest fault of a medical translation is
common practice, no source.
"""

import pytest

from compiler.wording.negation import loses_a_negation

SOURCE = "Do not touch your face."
KEPT = [
    ("es", "No se toque la cara."),
    ("es", "Evite tocarse la cara."),
    ("ar", "لا تلمس وجهك."),
    ("ar", "امشِ ولا تلمس وجهك."),
    ("ar", "تجنب لمس وجهك."),
    ("ar", "احرص على عدم لمس وجهك."),
    ("zh-Hans", "不要触摸面部。"),
    ("zh-Hans", "切勿触摸面部。"),
    ("zh-Hant", "請勿觸摸臉部。"),
    ("hi", "अपने चेहरे को न छुएँ।"),
    ("hi", "चेहरा मत छुएँ।"),
    ("hi", "चेहरे को छूना नहीं।"),
]
LOST = [
    ("es", "Tóquese la cara con el norte."),
    ("ar", "المس وجهك بسلام خلال العمل."),
    ("zh-Hans", "触摸面部。"),
    ("hi", "अपने नए चेहरे को छूना।"),
]


@pytest.mark.parametrize(("tag", "text"), KEPT)
def test_kept(tag, text):
    assert not loses_a_negation(SOURCE, "en", text, tag)


@pytest.mark.parametrize(("tag", "text"), LOST)
def test_lost(tag, text):
    assert loses_a_negation(SOURCE, "en", text, tag)


def test_only_prohibitions_are_judged():
    assert not loses_a_negation("Rub until no soap is left.", "en", "Frote bien.", "es")
    assert not loses_a_negation(SOURCE, "en", "Touch.", "xx")
    assert loses_a_negation("Never shake it out.", "en", "Sacúdalo.", "es-MX")
