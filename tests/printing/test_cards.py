"""Pocket cards: what they say, in which size, and that nothing is cut off at an edge."""

from __future__ import annotations

import io
from functools import cache

import pikepdf
import pypdfium2
import pytest

from compiler.layout.fonts import faces_for
from compiler.layout.letters import letter_height
from compiler.layout.paper import CARDS
from compiler.model.protocol import every_step
from compiler.products.card import card
from compiler.products.sheet import CAUTION, imprint
from tests.printing.making import pdfium, plain, poppler
from tests.printing.posters import LANGUAGES as TAGS
from tests.printing.posters import NAMES, order

SHEETS = [
    (name, language, list(CARDS)[(i + j) % 3])
    for i, name in enumerate(NAMES)
    for j, language in enumerate(TAGS)
    if (i + j) % 2 == 0
]
all_cards = pytest.mark.parametrize(("name", "language", "size"), SHEETS)


@cache
def made(name, language, size, **wishes):
    found = card((order(name, language, card=size, draft=True, reviewed=False, **wishes),))
    assert found.findings == ()
    return found


def leads(name, language, size):
    for part in order(name, language, card=size).protocol.parts:
        yield from leads_of(part.steps)


def leads_of(steps):
    for step in steps:
        yield step.lead or step.detail
        for branch in step.fork.branches if step.fork else ():
            yield branch.lead or branch.answer
            yield from leads_of(branch.steps)


@all_cards
def test_every_lead_is_on_it_and_no_detail(name, language, size):
    # A pocket card prints the leads only: that is what leads are for.
    said = plain(pdfium(made(name, language, size).files["pdf"]))
    details = {
        plain(step.detail)
        for part in order(name, language).protocol.parts
        for step in every_step(part.steps)
        if step.lead and len(plain(step.detail)) > 20
    }

    missing = [lead for lead in leads(name, language, size) if bag(lead) - bag(said)]
    assert missing == []
    assert [detail for detail in details if detail in said] == []


def bag(text) -> set[str]:
    """The letters of a text: what no change of order by a reader can hide."""
    return {sign for sign in plain(text) if sign.isalnum()}


@pytest.mark.parametrize(("name", "size"), [("airborne-room", "ID-1"), ("rapid-entry", "A6")])
def test_the_leads_stand_in_the_order_of_the_protocol(name, size):
    for read in (pdfium, poppler):
        said, at = plain(read(made(name, "en", size).files["pdf"])), 0
        for lead in leads(name, "en", size):
            found = said.find(plain(lead), at)
            assert found >= 0, f"{lead!r} is missing or out of order"
            at = found + 1


@all_cards
def test_it_says_whose_it_is_and_what_it_is_not(name, language, size):
    wanted = order(name, language, card=size, draft=True, reviewed=False)
    said = imprint(wanted)
    for ending in ("pdf", "print.pdf"):
        text = bag(pdfium(made(name, language, size).files[ending]))
        for words in (
            said.title, said.clinic, said.contact, said.edition, said.valid_from,
            said.review_by, said.code, said.own_name, said.caution, *said.notices,
        ):  # fmt: skip
            assert not bag(words) - text, words
    if language == "en":
        text = plain(pdfium(made(name, language, size).files["pdf"]))
        for words in (CAUTION, said.code, said.edition, "Draft: not approved for use"):
            assert plain(words) in text


@all_cards
def test_leads_are_legible_at_the_card_s_distance(name, language, size):
    """16 minutes of arc (ISO 9241-303:2011): 0.35 m asks for letters 1.63 mm tall."""
    document = pypdfium2.PdfDocument(made(name, language, size).files["pdf"])
    sizes = set()
    for page in document:
        for item in page.get_objects(filter=[pypdfium2.raw.FPDF_PAGEOBJ_TEXT]):
            sizes.add(round(text_size(item), 2))
    # the third size from above, after titles and the word across the panel, is the leads'
    lead = max(size for size in sizes if size < max(sizes) / 1.2)

    assert lead / 72 * 25.4 * letter_height(faces_for(language)) >= 1.63


def text_size(item) -> float:
    size = pypdfium2.raw.c_float()
    pypdfium2.raw.FPDFTextObj_GetFontSize(item, size)
    a, b, *_ = item.get_matrix().get()
    return size.value * (a * a + b * b) ** 0.5


@all_cards
def test_nothing_is_set_over_the_edge_of_a_panel(name, language, size):
    panel = CARDS[size]
    found = card((order(name, language, card=size),))  # without the word DRAFT across it
    for page in pypdfium2.PdfDocument(found.files["pdf"]):
        text = page.get_textpage()
        for i in range(text.count_chars()):
            left, bottom, right, top = (x / 72 * 25.4 for x in text.get_charbox(i))
            assert left >= 2
            assert right <= panel.width - 2
            assert bottom >= 1.5
            assert top <= panel.height


@all_cards
def test_the_panels_are_tagged_and_the_sheet_claims_nothing(name, language, size):
    files = made(name, language, size).files
    with pikepdf.open(io.BytesIO(files["pdf"])) as pdf:
        assert pdf.Root.MarkInfo.Marked
        assert str(pdf.Root.Lang) == language
        assert "pdfuaid" in bytes(pdf.Root.Metadata.read_bytes()).decode()
    with pikepdf.open(io.BytesIO(files["print.pdf"])) as pdf:
        assert len(pdf.pages) == 2
        assert str(pdf.Root.Lang) == language
        assert "/Metadata" not in pdf.Root
        assert pdf.check_pdf_syntax() == []


def test_the_same_card_has_the_same_bytes():
    again = card((order("rapid-entry", "ar", card="A7", draft=True, reviewed=False),))

    assert again.files == made("rapid-entry", "ar", "A7").files


def test_one_part_alone_takes_both_sides():
    found = made("airborne-room", "en", "ID-1", parts="doffing")
    both = made("airborne-room", "en", "ID-1")

    assert len(pypdfium2.PdfDocument(found.files["pdf"])) < len(
        pypdfium2.PdfDocument(both.files["pdf"])
    )
    assert "Put on the coverall" not in pdfium(found.files["pdf"])


@pytest.mark.parametrize("language", ["en", "ar", "ur"])
def test_panels_follow_the_direction_of_reading(language):
    """The first panel is the leftmost one, or the rightmost where the script begins there."""
    files = made("rapid-entry", language, "A7").files
    title = imprint(order("rapid-entry", language)).title
    page = pypdfium2.PdfDocument(files["print.pdf"])[0]
    text = page.get_textpage()
    at = text.search(title.split()[0]).get_next()
    left = text.get_charbox(at[0])[0]
    places = page.get_width() / 2

    assert (left < places) == (language == "en")
