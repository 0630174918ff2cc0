"""Every sheet in every language: all letters there, read back as written, broken and ordered well.

Where a protocol is not translated into a language, a well-known text stands for the words; see
`foreign.py`.
"""

from __future__ import annotations

import re
import unicodedata
from collections import Counter
from ctypes import c_double
from dataclasses import replace
from functools import lru_cache
from itertools import pairwise

import pypdfium2
import pytest

from compiler.layout import fonts
from compiler.layout.font_files import CJK, CORE
from compiler.layout.fonts import faces_for
from compiler.layout.shaping import Shaper
from compiler.model.protocol import every_step
from compiler.model.sheet_kinds import SHEET_KINDS
from compiler.products import html
from compiler.products.poster import poster
from compiler.workshop import MAKERS
from tests.printing.foreign import (
    ARTICLE,
    LANGUAGES,
    TEMPERATURE,
    contact_of,
    made_in,
    order_in,
    outcome_in,
    phone_in,
)
from tests.printing.making import LEFTWARD, pdfium, plain, poppler
from tests.printing.placed import faults
from tests.printing.posters import POINT, named, with_class

every_language = pytest.mark.parametrize("language", LANGUAGES)
PRINTED = [name for name in MAKERS if "pdf" in SHEET_KINDS[name].endings]
leftward = pytest.mark.parametrize("language", sorted(LEFTWARD))


def texts_of(order) -> list[str]:
    """Leads, details, cautions and answers of a protocol."""
    steps = [step for part in order.protocol.parts for step in every_step(part.steps)]
    found = [text for s in steps for text in (s.lead, s.detail, *s.cautions) if text]
    ways = [way for s in steps if s.fork for way in s.fork.branches]
    return found + [text for way in ways for text in (way.lead, way.detail) if text]


# --- letters ----------------------------------------------------------------------------------


@every_language
def test_the_poster_is_made_and_nothing_lies_wrong(language):
    """Only its size may be told: made-up translations are no shorter than their source."""
    order, made = made_in(language)

    assert {finding.rule.slug for finding in made.findings} <= {"text-too-small"}
    assert faults(order, made) == []


@every_language
def test_every_text_of_the_poster_reads_back(language):
    """By pdfium, in the normal form of `plain`: NFKC, no white space, no format characters.

    From right to left pdfium puts several numbers of one line, and marks at its end, in an order
    of its own; so there letters are compared in order, and all signs as a bag.
    """
    order, made = made_in(language)
    read = pdfium(made.poster.pdf)

    assert [text for text in texts_of(order) if not reads(text, read, language)] == []
    printed = "".join(box.text for box in made.poster.texts)
    assert Counter(plain(read.translate(AS_PRINTED))) == Counter(
        plain(printed.translate(AS_PRINTED))
    )


AS_PRINTED = str.maketrans({"\ufffe": "-", "(": "|", ")": "|"})
"""pdfium has a sign of its own for a hyphen that ends a line; readers disagree on which way a
bracket faces from right to left."""


def reads(text: str, whole: str, language: str) -> bool:
    """Whether a text stands in a text that was read back."""
    if language not in LEFTWARD:
        return plain(text.translate(AS_PRINTED)) in plain(whole.translate(AS_PRINTED))
    return _letters(text) in _letters(whole)


@lru_cache(maxsize=64)
def _letters(text: str) -> str:
    return "".join(sign for sign in plain(text) if sign.isalpha())


@pytest.mark.parametrize("kind", [kind for kind in PRINTED if kind != "poster"])
@every_language
def test_every_kind_of_sheet_reads_back(language, kind):
    """Leads, where a kind prints them; else the name of the clinic."""
    order, outcome = outcome_in(kind, language)
    assert "pdf" in outcome.files, [f.message for f in outcome.findings]
    # pdfium swaps lines of Nastaliq that reach into each other; poppler may vouch for them
    read = pdfium(outcome.files["pdf"]) + poppler(outcome.files["pdf"])
    leads = [s.lead for part in order.protocol.parts for s in every_step(part.steps)]
    wanted = leads if kind in LEADS else [order.clinic.name]

    assert [text for text in wanted if not reads(text, read, language)] == []


LEADS = ("card", "steps", "observer", "review")
"""Kinds of sheets that print the leads of a protocol."""


@pytest.mark.parametrize("kind", PRINTED)
@every_language
def test_without_the_fonts_of_a_language_there_is_a_finding_and_no_sheet(
    language, kind, monkeypatch
):
    """Chinese and Korean are in the one package, all others in the other."""
    package = CJK if language.partition("-")[0] in ("zh", "ko") else CORE
    find = fonts.find
    monkeypatch.setattr(
        fonts, "find", lambda f, *more: None if f.package == package else find(f, *more)
    )
    outcome = MAKERS[kind]((order_in(language),))

    assert outcome.files == {}
    assert {finding.rule.slug for finding in outcome.findings} == {"font-missing"}
    assert f"install it: apt-get install {package}" in {f.remedy for f in outcome.findings}


# --- lines ------------------------------------------------------------------------------------

NOT_FIRST = frozenset("、。，．：；？！）〕】》」』〉”’…%,.:;?!)]។៕።፣፤፡।॥؟،؛۔ๆฯะาำ")
"""Closing marks, and Thai signs that follow their consonant: none begins a line.

W3C, Requirements for Chinese Text Layout, section 3.1.9; Unicode Standard Annex 14, classes CL,
CP, EX, IS and CM; from memory.
"""
NOT_LAST = frozenset("（〔【《「『〈“‘([¿¡เแโใไ")
"""Opening marks, and Thai vowels written before their consonant: none ends a line."""


@every_language
def test_lines_end_where_the_script_allows(language):
    """Between words where words are divided; a word is broken only where it fits on no line."""
    order, made = made_in(language)
    shaper = Shaper(faces_for(language))
    undivided = language.partition("-")[0] in ("zh", "th", "ko")
    broken = 0
    for text in texts_of(order):
        lines = lines_of(made.poster, text)
        for before, after in pairwise(lines):
            broken += 1
            assert after.text[0] not in NOT_FIRST, (before, after)
            assert not unicodedata.category(after.text[0]).startswith("M"), (before, after)
            assert before.text[-1] not in NOT_LAST, (before, after)
            word = before.text.split()[-1]
            words = {*text.split(), *text.replace("-", "- ").split()}
            if not undivided and word not in words:
                whole = next(w for w in text.split() if word in w)
                wide = shaper.width(whole, before.size, before.weight) * POINT
                assert wide > before.width * 0.95, (before, after)
    assert broken > 5


def lines_of(found, text):
    """The lines that a text is set in, from its boxes, which come in reading order."""
    wanted = plain(text)
    boxes = [box for box in found.texts if box.text.strip()]
    for first in range(len(boxes)):
        lines = []
        for box in boxes[first:]:
            if lines and abs(lines[-1].top - box.top) < box.height / 3:
                joined = lines[-1].text + box.text
                lines[-1] = replace(box, text=joined, width=lines[-1].width + box.width)
            else:
                lines.append(box)
            so_far = plain("".join(line.text for line in lines))
            if so_far == wanted:
                return [replace(line, text=line.text.strip()) for line in lines]
            if not wanted.startswith(so_far):
                break
    return []


# --- from right to left -----------------------------------------------------------------------


@leftward
def test_steps_forks_and_rails_run_from_right_to_left(language):
    _, made = made_in(language)
    found = made.poster
    boxes = named(found)
    first, second = boxes["column-1"], boxes["column-2"]
    assert first.left > second.left + second.width
    for rail in with_class(found, "rail"):
        column = first if rail.left > first.left - 1 else second
        assert rail.left + rail.width == pytest.approx(column.left + column.width, abs=0.2)
    for step in with_class(found, "step"):
        inside = [b for b in found.blocks if _within(b, step)]
        number = next(b for b in inside if "number" in b.classes)
        text = next(b for b in inside if "text" in b.classes)
        assert number.left > text.left
    for ways in with_class(found, "ways", "beside"):
        answers = [way for way in with_class(found, "way") if _within(way, ways)]
        lefts = [way.left for way in answers if abs(way.top - ways.top) < 0.2]
        assert lefts == sorted(lefts, reverse=True)
        assert len(lefts) > 1


def _within(box, frame) -> bool:
    return (
        frame.left - 0.2 <= box.left <= frame.left + frame.width
        and frame.top - 0.2 <= box.top <= frame.bottom
    )


def _in_frame(text, frame) -> bool:
    """By the middle of the letters: boxes of tall scripts reach over their lines."""
    middle = text.top + text.height / 2
    return (
        frame.left - 0.2 <= text.left <= frame.left + frame.width
        and frame.top <= middle <= frame.bottom
    )


@every_language
def test_answers_side_by_side_begin_where_reading_begins(language):
    """From left to right, or from right to left, the frames hold the answers in their order."""
    order, made = made_in(language)
    found = made.poster
    steps = [step for part in order.protocol.parts for step in every_step(part.steps)]
    wanted = [[_letters(w.lead) for w in s.fork.branches] for s in steps if s.fork]
    rows = with_class(found, "ways", "beside")
    for ways in rows:
        answers = [box for box in with_class(found, "answer") if _within(box, ways)]
        top = min(box.top for box in answers)
        across = sorted(
            (box for box in answers if abs(box.top - top) < 0.2),
            key=lambda box: -box.left if language in LEFTWARD else box.left,
        )
        said = [
            _letters("".join(text.text for text in found.texts if _in_frame(text, box)))
            for box in across
        ]
        assert any(
            len(leads) == len(said)
            and all(text.startswith(lead) for text, lead in zip(said, leads, strict=True))
            for leads in wanted
        ), said
    assert rows


@every_language
def test_telephone_numbers_and_units_keep_their_order(language):
    """By the places of their letters, as pdfium gives them, read from left to right."""
    _, made = made_in(language)
    lines = seen_lines(made.poster.pdf)

    for wanted in (phone_in(language), TEMPERATURE):
        assert any("".join(wanted.split()) in line for line in lines), wanted


def seen_lines(pdf: bytes) -> list[str]:
    """The signs of each line by where they stand, from left to right, without white space."""
    document = pypdfium2.PdfDocument(pdf)
    page = document[0].get_textpage()
    signs = []
    for i in range(page.count_chars()):
        sign = page.get_text_range(i, 1)
        if sign.strip() and unicodedata.category(sign[0]) != "Cf":
            left, base = c_double(), c_double()
            pypdfium2.raw.FPDFText_GetCharOrigin(page, i, left, base)
            signs.append((base.value, left.value, sign))
    document.close()
    lines: list[list[tuple[float, float, str]]] = []
    for place in sorted(signs, key=lambda place: -place[0]):
        if lines and abs(lines[-1][0][0] - place[0]) < 4:
            lines[-1].append(place)
        else:
            lines.append([place])
    return ["".join(s for _, _, s in sorted(line, key=lambda p: p[1])) for line in lines]


def test_the_texts_are_those_of_their_languages():
    """Each is written in the script that CLDR gives to the language; see `test_fonts.py`."""
    assert set(ARTICLE) == set(LANGUAGES)
    assert contact_of("fa").endswith(TEMPERATURE)


def test_a_reversed_number_would_be_found(monkeypatch):
    """So the test above can fail: without isolation the telephone number comes out turned."""
    monkeypatch.setattr(html, "TOGETHER", re.compile("(?!)"))
    made = poster(order_in("ar"))
    lines = seen_lines(made.poster.pdf)

    assert not any("".join(phone_in("ar").split()) in line for line in lines)
