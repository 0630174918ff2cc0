"""Numbers found in texts of any script."""

import unicodedata

import pytest
from hypothesis import given
from hypothesis import strategies as st

from compiler.wording.numbers import folded, numbers

SAME = [
    ("Rub 20 to 30 seconds.", "افرك من ٢٠ إلى ٣٠ ثانية."),
    ("Rub 20 to 30 seconds.", "२० से ३० सेकंड तक रगड़ें।"),
    ("Rub 20 to 30 seconds.", "揉搓 20～30 秒。"),
    ("Rub 20 to 30 seconds.", "揉搓２０至３０秒。"),
    ("From 1.5 m.", "Desde 1,5 m."),
    ("From 1.5 m.", "من مسافة ١٫٥ م."),
    ("10,000 ppm", "10.000 ppm"),
    ("10,000 ppm", "10\u202f000 ppm"),
    ("10,000 ppm", "١٠٬٠٠٠ جزء"),
    ("A 95 % filter for 8 hours", "过滤 8 小时，95 %"),
    ("No figures", "Sin cifras"),
]
DIFFERENT = [
    ("Rub 20 to 30 seconds.", "افرك من ٢٠ إلى ٤٠ ثانية."),
    ("Rub 20 to 30 seconds.", "२० से २० सेकंड तक रगड़ें।"),
    ("Rub 20 to 30 seconds.", "Frote de 20 a 300 segundos."),
    ("Rub 20 to 30 seconds.", "Frote hasta que se seque."),
    ("Twice: 5 and 5.", "Dos veces: 5."),
    ("1.5 m", "15 m"),
    ("0.5 %", "5 %"),
    ("10,000 ppm", "1000 ppm"),
    ("Wait.", "Espere 5 minutos."),
]


@pytest.mark.parametrize(("source", "translation"), SAME)
def test_same_numbers(source, translation):
    assert numbers(source) == numbers(translation)


@pytest.mark.parametrize(("source", "translation"), DIFFERENT)
def test_other_numbers(source, translation):
    assert numbers(source) != numbers(translation)


ZEROS = [chr(n) for n in range(0x110000) if unicodedata.decimal(chr(n), -1) == 0]


@given(st.lists(st.integers(0, 99), max_size=5), st.sampled_from(ZEROS))
def test_every_script_of_unicode(values, zero):
    """The Unicode character database names the digits: every zero of every script."""
    local = {ord("0") + n: chr(ord(zero) + n) for n in range(10)}
    text = " – ".join(map(str, values))

    assert numbers(text.translate(local)) == numbers(text)


def test_folding_keeps_spaces_that_forbid_a_break():
    assert folded(" 20\u00a0s,\n  then \u3000go ") == "20\u00a0s, then \u3000go"
