"""The review sheet: each text beside its translation and its picture, with room for a mark."""

from __future__ import annotations

from dataclasses import replace
from functools import cache

import pytest

from compiler.layout.fonts import faces_for
from compiler.model.texts import clinic_messages, messages
from compiler.products.pages import printed
from compiler.products.review import ReviewSheet, review, words_review
from compiler.products.theme import theme_named
from compiler.wording.packaged import packaged
from compiler.wording.review import digest
from tests.printing.making import pdfium, plain
from tests.printing.posters import example, of

NAME = "rapid-entry"
LANGUAGES = ("es", "ar", "zh-Hans", "hi")
every_language = pytest.mark.parametrize("language", LANGUAGES)


def orders(language):
    """The protocol in a language and in English, as the workshop gives them."""
    protocol = next(p for p in example().protocols if p.name == NAME)
    files = (f"{language}/{NAME}.po", f"{language}/clinic.po")
    sources = tuple(example().sources[file] for file in files)
    foreign = of(example(), protocol, language, written_in=sources, paper="")
    return foreign, of(example(), protocol, "en", paper="")


@cache
def laid_in(language, shared):
    foreign, source = orders(language)
    faces = faces_for(language, "en")
    sheet = ReviewSheet(foreign, source, theme_named("default"), faces, shared)
    laid, pdf, findings = printed(sheet.document())
    assert findings == ()
    return laid, pdf


def rows(language, shared):
    """The words of each row of the tables, and the blocks in it."""
    laid, _ = laid_in(language, shared)
    found = []
    for row in (block for block in laid.blocks if block.element == "tr"):

        def inside(box, row=row):
            middle = box.top + box.height / 2
            return box.page == row.page and row.top <= middle <= row.bottom

        words = "".join(text.text for text in laid.texts if inside(text))
        found.append((plain(words), [block for block in laid.blocks if inside(block)]))
    return found


def pairs(language, shared):
    foreign, source = orders(language)
    if shared:
        given = clinic_messages(source.clinic, source.kit)
        told = clinic_messages(foreign.clinic, foreign.kit)
    else:
        given, told = messages(source.protocol), messages(foreign.protocol)
    return {(a.text, b.text) for a, b in zip(given, told, strict=True)}


@pytest.mark.parametrize("shared", [False, True], ids=["protocol", "words"])
@every_language
def test_each_text_and_its_translation_stand_in_one_row_with_a_box_to_tick(language, shared):
    found = rows(language, shared)

    for text, translation in pairs(language, shared):
        row = [
            blocks
            for words, blocks in found
            if plain(text) in words and same(translation, words)
        ]
        assert row, (text, translation)
        assert all(any("box" in block.classes for block in blocks) for blocks in row)


def same(text: str, words: str) -> bool:
    """In any order of the boxes: marks and numbers are set apart from right to left."""
    return all(plain(word) in words for word in text.split() if word.isalpha())


@every_language
def test_source_and_translation_stand_in_columns_of_their_own(language):
    """The source before the translation, in the order of the source's reading."""
    laid, _ = laid_in(language, False)
    heads = [t for t in laid.texts if t.text in ("Text", "Translation", "Right", "Correction")]
    first = [head for head in heads if head.page == 1]

    assert [head.text for head in sorted(first, key=lambda t: t.left)] == [
        "Text",
        "Translation",
        "Right",
        "Correction",
    ]


def test_the_picture_of_the_sheets_stands_beside_its_text():
    found = rows("es", False)
    (hands,) = [b for words, b in found if plain("Clean your hands.") in words][:1]

    assert any("p-handrub" in block.classes for block in hands)


@every_language
def test_the_fixed_words_are_all_there(language):
    words = [row for row, _ in rows(language, True)]
    for entry in packaged(language).entries.values():
        assert any(plain(entry.source) in row and same(entry.text, row) for row in words), entry


@pytest.mark.parametrize(("maker", "file"), [(review, NAME), (words_review, "clinic")])
def test_it_says_which_texts_are_reviewed_and_leaves_room_for_who(maker, file):
    """The hash is the one that `translate --reviewed-by` writes."""
    outcome = maker(orders("es"))
    text = pdfium(outcome.files["pdf"])
    fixed = packaged("es") if file == "clinic" else None

    assert f"{file}.po: {digest(example().translations['es', file], fixed)}" in text
    for field in ("Reviewed by", "Role", "Date", "Signature"):
        assert field in text
    assert "Follow your facility's policy." in text


def test_words_that_look_like_markup_are_only_words():
    foreign, source = orders("es")
    part = source.protocol.parts[0]
    step = replace(part.steps[0], lead="Wait <b>& {{ see }}</b>")
    spoilt = replace(
        source.protocol,
        parts=(replace(part, steps=(step, *part.steps[1:])), *source.protocol.parts[1:]),
    )
    outcome = review((foreign, replace(source, protocol=spoilt)))

    assert plain("Wait <b>& {{ see }}</b>") in plain(pdfium(outcome.files["pdf"]))
