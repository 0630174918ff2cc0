"""The step list as plain text: narrow, numbered as on the wall, and safe to send anywhere."""

import re
import unicodedata

import pytest
from hypothesis import given
from hypothesis import strategies as some

from compiler.model.protocol import Hygiene, every_step
from compiler.products.steps_text import WIDTH, wrapped
from tests.printing.posters import NAMES, sheet, small
from tests.products.step_lists import HOSTILE, LISTS, bare, draft, nested, text_of

all_lists = pytest.mark.parametrize(("name", "language"), LISTS)
STEP = re.compile(r"^ *(\d+)  \S")


def columns(line: str) -> int:
    """Cells of a terminal by Unicode Standard Annex 11 (wide is two) and Annex 44 (marks none)."""
    signs = [sign for sign in line if unicodedata.category(sign) not in {"Mn", "Me", "Cf"}]
    return sum(1 + (unicodedata.east_asian_width(sign) in "WF") for sign in signs)


def numbers(text: str) -> list[int]:
    return [int(found[1]) for line in text.splitlines() if (found := STEP.match(line))]


@all_lists
def test_no_line_is_wider_than_promised(name, language):
    lines = text_of(draft(name, language)).split("\n")
    assert max(map(columns, lines)) <= 72
    assert max(map(columns, lines)) > 60
    assert lines[-1] == ""
    assert all(line == line.rstrip() for line in lines)


@pytest.mark.parametrize("name", NAMES)
def test_steps_have_the_numbers_of_the_poster(name):
    """Read off the laid-out poster: its numbers, column by column."""
    text = text_of(draft(name, "en"))
    wall = [int(box.text) for box in sheet(name).texts if "number" in box.classes]
    assert numbers(text) == wall


@all_lists
def test_every_language_has_the_same_numbers_and_bands(name, language):
    """As many bands as the protocol has phrases for hand hygiene, counted apart."""
    text, source = (text_of(draft(name, tag)) for tag in (language, "en"))
    assert numbers(text) == numbers(source)
    found = [s for part in draft(name, language).protocol.parts for s in every_step(part.steps)]
    wanted = sum(isinstance(phrase, Hygiene) for step in found for phrase in step.phrases)
    assert sum(line.lstrip().startswith("*** ") for line in text.splitlines()) == wanted


def test_answers_are_indented_below_their_question():
    text = text_of(nested())
    depth = {line.strip(): len(line) - len(line.lstrip()) for line in text.splitlines() if line}
    assert depth["1  Which?"] < depth["- First."] == depth["- Second."]
    assert (
        depth["- First."] < depth["2  And which?"] < depth["- Inner 0."] < depth["3  Step 0."]
    )
    assert "! Caution: Not yet dry is not clean." in depth
    assert depth["Go on with 5"] == depth["- First."]


def test_numbers_and_codes_keep_their_order_from_right_to_left():
    """Isolates of Unicode Standard Annex 9, one level, closed in the line that opens them."""
    text = text_of(draft("airborne-room", "ar"))
    assert "\u20662026-11-01\u2069" in text
    assert "\u2066K7QD-M2XN\u2069" in text
    for line in text.splitlines():
        assert line.count("\u2066") == line.count("\u2069")
        assert "\u2066" not in line.partition("\u2066")[2].partition("\u2069")[0]
    directions = {sign for sign in text if unicodedata.category(sign) == "Cf"}
    assert directions <= {"\u2066", "\u2069"}
    assert not any(
        unicodedata.category(s) == "Cf" for s in text_of(draft("airborne-room", "en"))
    )


def test_words_of_markup_stay_words():
    text = text_of(small(HOSTILE))
    assert "<script>alert(1)</script>" in text
    assert "*Stars* and _lines_." in text


@given(some.text(some.characters(exclude_categories=("C", "Z")), max_size=300))
def test_wrapping_loses_nothing_and_keeps_the_width(text):
    lines = list(wrapped(text, "en", "12  ", "    "))
    assert all(columns(line) <= WIDTH for line in lines)
    assert bare("".join(lines)) == bare("12" + text)
