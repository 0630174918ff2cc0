"""Plain text, Markdown, web page and PDF say the same, which is all that the protocol says."""

import unicodedata
from functools import cache

import pytest

from compiler.products.sheet import imprint
from tests.printing.making import pdfium
from tests.products.step_lists import (
    LISTS,
    bare,
    draft,
    made,
    out_of_order,
    page_of,
    read_markdown,
    read_page,
    sentences,
)

all_lists = pytest.mark.parametrize(("name", "language"), LISTS)


@cache
def forms(name: str, language: str) -> dict[str, str]:
    """The words of each form, as a reader of its own kind sees them."""
    files = made(name, language).files
    return {
        "text": files["txt"].decode(),
        "Markdown": read_markdown(files["md"].decode()),
        "page": read_page(page_of(name), language),
        "PDF": pdfium(files["pdf"]),
    }


def without_signs(text: str) -> str:
    return "".join(sign for sign in text if unicodedata.category(sign) != "Mn")


@all_lists
def test_each_form_says_every_sentence_in_order(name, language):
    wanted = sentences(draft(name, language).protocol)
    assert len(wanted) > 30
    for form, text in forms(name, language).items():
        if form == "PDF" and language == "ar":
            # pdfium gives a vowel sign after the full stop that follows it
            text, wanted = without_signs(text), list(map(without_signs, wanted))
        assert out_of_order(text, wanted) == [], form


@all_lists
def test_each_form_says_whose_it_is_which_and_that_it_is_no_approval(name, language):
    order = draft(name, language)
    said = imprint(order)
    duty = [said.caution, said.clinic, said.contact, said.title, said.about, said.own_name]
    trace = [said.edition, said.valid_from, said.review_by, said.code, said.draft]
    assert len(said.notices) == (1 if language == "en" else 2)
    for form, text in forms(name, language).items():
        for words in (*duty, *trace, *said.notices):
            # word by word: pdfium gives lines of both directions as they lie on the page
            for word in words.split() if form == "PDF" else [words]:
                assert bare(word.strip("().")) in bare(text), f"{words} in {form}"


@all_lists
def test_plain_text_and_markdown_say_nothing_else(name, language):
    """What is left without the protocol's and the sheet's own words has no letters."""
    order = draft(name, language)
    said, say = imprint(order), order.words.say
    head = [said.title, said.about, said.clinic, said.contact, said.own_name, said.draft]
    head += [*said.notices, said.caution, said.edition, said.valid_from, said.review_by]
    words = [*sentences(order.protocol), *head, said.code, say("Clean your hands")]
    words += [area.name for area in order.clinic.areas.values()]
    words += [say(f"{zone} area") for zone in ("clean", "transition", "contaminated")]
    words += say("Caution: {text}").split("{text}")
    for place in ("after", "before", "Go on with", "Go on with the hand hygiene before"):
        words += [say(f"{place} {{number}}", number=number) for number in range(1, 40)]
    for form in ("text", "Markdown"):
        text = bare(forms(name, language)[form])
        for sentence in sorted(map(bare, words), key=len, reverse=True):
            text = text.replace(sentence, "") if sentence else text
        assert [sign for sign in text if sign.isalpha()] == [], form
