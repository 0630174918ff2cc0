"""Every kind of sheet in every language: letters, widths, lines and order are right.

The checks, each with its source, are in `checks.py`. Posters are of the example where it is
translated; elsewhere, and on the other kinds of sheets, a well-known text stands for the words:
see `foreign.py`.
"""

from __future__ import annotations

import io
import re
from dataclasses import replace

import pikepdf
import pytest

from compiler.layout import fonts
from compiler.layout.font_files import CJK, CORE
from compiler.layout.fonts import script_of
from compiler.model.sheet_kinds import SHEET_KINDS
from compiler.products import html
from compiler.workshop import MAKERS
from tests.printing import checks
from tests.printing.checks import (
    CHECKS,
    CONTACT,
    PAIRS,
    faults,
    lines_of,
    missing_glyphs,
    turned,
)
from tests.printing.compact import poster_sheet, sheet, wanted
from tests.printing.foreign import (
    ARTICLE,
    LANGUAGES,
    TEMPERATURE,
    contact_of,
    made_in,
    order_in,
)
from tests.printing.placed import faults as out_of_place

every_language = pytest.mark.parametrize("language", LANGUAGES)
PRINTED = [name for name in MAKERS if "pdf" in SHEET_KINDS[name].endings]
SCRIPTS = list({script_of(language): language for language in reversed(LANGUAGES)}.values())
"""One language of each script."""
SHEETS = [
    pytest.param(kind, language, id=f"{language}-{kind}")
    for language in LANGUAGES
    for kind in PRINTED
    # the specimen of the pictograms has fixed words only, and "words" has all of them
    if kind != "poster" and (kind != "pictograms" or language in SCRIPTS)
    if kind != "words" or language != "en"
]


@every_language
def test_a_poster_has_nothing_wrong(language):
    """Only its size may be told: made-up translations are no shorter than their source."""
    order, made = made_in(language)
    assert {finding.rule.slug for finding in made.findings} <= {"text-too-small"}
    found = poster_sheet(order, made.poster)

    assert out_of_place(order, made) == []
    assert faults(found) == []
    lines = [lines_of(found.texts, text) for text in wanted(found)]
    assert sum(len(each) > 1 for each in lines) > 5


@pytest.mark.parametrize(("kind", "language"), SHEETS)
def test_every_other_sheet_has_nothing_wrong(kind, language):
    assert faults(sheet(kind, language)) == []


def test_all_kinds_are_looked_at():
    """So that a new kind of sheet gets its row: what is read first, and where a number stands."""
    assert set(PRINTED) == set(PAIRS) | {"card", "words", "pictograms"}
    assert set(CONTACT) == set(PRINTED) - {"review", "pictograms"}
    assert {language for _, language in (each.values for each in SHEETS)} == set(LANGUAGES)


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


def test_the_texts_are_those_of_their_languages():
    """Each is written in the script that CLDR gives to the language; see `test_fonts.py`."""
    assert set(ARTICLE) == set(LANGUAGES)
    assert contact_of("fa").endswith(TEMPERATURE)


# --- each check can fail


def named(found) -> set[str]:
    return {fault.partition(":")[0] for fault in faults(found)}


def test_a_reversed_number_would_be_found(monkeypatch):
    """Without isolation the telephone number comes out turned."""
    monkeypatch.setattr(html, "TOGETHER", re.compile("(?!)"))

    assert list(turned(sheet("steps", "ar")))


def test_boxes_out_of_order_would_be_found():
    """A sheet from left to right, looked at as one from right to left, has all of it wrong."""
    for kind in PAIRS:
        found = sheet(kind, "en")
        with pytest.MonkeyPatch.context() as patch:
            patch.setattr(checks, "LEFTWARD", {"en"})
            assert ("misplaced" in named(found)) == (kind != "review"), kind
    mirrored = [replace(box, left=297 - box.left - box.width) for box in found.blocks]
    assert "misplaced" in named(replace(found, blocks=tuple(mirrored)))


def test_what_is_not_there_or_too_wide_or_ill_broken_would_be_found():
    found, other = sheet("steps", "en"), sheet("card", "ar")
    wide = tuple(replace(box, width=1.1 * box.width) for box in found.texts)
    text = "Rub until dry, 20 to 30 seconds."
    whole = next(box for box in found.texts if box.text.strip() == text)
    parted = (
        replace(whole, text=text[:6], width=100),
        replace(whole, text=text[6:], top=whole.top + 9),
    )

    assert "unread" in named(replace(found, order=other.order))
    assert "out_of_width" in named(replace(found, texts=wide))
    assert "ill_broken" in named(replace(found, texts=(*parted, *found.texts)))
    assert {check.__name__ for check in CHECKS} >= {"missing_glyphs", "turned", "misplaced"}


def test_a_glyph_that_is_missing_would_be_found():
    """Text operators of ISO 32000-1, 9.4.3, with the number of glyph 0 among others."""
    with pikepdf.open(io.BytesIO(sheet("steps", "en").pdf)) as pdf:
        pdf.pages[0].contents_add(b"BT <000000030000> Tj ET")
        spoilt = io.BytesIO()
        pdf.save(spoilt)
    found = replace(sheet("steps", "en"), files={"pdf": spoilt.getvalue()})

    assert list(missing_glyphs(found)) == ["2 glyphs are missing"]
