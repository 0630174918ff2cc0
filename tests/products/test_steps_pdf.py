"""The step list on paper: legible in the hand, whole rows, every page with its head and foot."""

import io
import re
from collections import Counter
from functools import cache

import pikepdf
import pypdfium2
import pytest
import zxingcpp

from compiler.layout.fonts import faces_for
from compiler.layout.legibility import type_size
from compiler.layout.paper import PAPERS
from compiler.model.protocol import Hygiene, every_step
from compiler.products.pages import printed
from compiler.products.steps import steps
from compiler.products.steps_listing import step_list
from compiler.products.steps_sheet import StepsSheet
from compiler.products.theme import theme_named
from tests.printing.making import plain
from tests.printing.posters import CODE, LINK, order, small
from tests.products.step_lists import HOSTILE, draft, nested

LISTS = [("airborne-room", "en"), ("airborne-room", "ar"), ("rapid-entry", "zh-Hans")]
LISTS += [("high-consequence", "hi")]
some_lists = pytest.mark.parametrize(("name", "language"), LISTS)
NEAR = 0.3


def laid_out(wanted):
    """The boxes and the PDF of a list."""
    sheet = StepsSheet(wanted, step_list(wanted), theme_named(), faces_for(wanted.words.tag))
    laid, pdf, findings = printed(sheet.document())
    assert findings == ()
    return laid, pdf


@cache
def example(name, language):
    return laid_out(draft(name, language))


def pages_of(pdf):
    document = pypdfium2.PdfDocument(pdf)
    return [page.get_textpage().get_text_range() for page in document]


def test_details_are_large_enough_to_be_read_in_the_hand():
    """ISO 9241-303:2011: a letter of 22 minutes of arc; here from 0.4 m, by hand.

    0.4 m x tan(22') = 2.56 mm of letter; at 0.714 of the size that is 3.585 mm = 10.16 pt, so
    the least in use, 10.5 pt (3.704 mm), holds. From 0.6 m it is 3.84 mm and 5.38 mm.
    """
    assert type_size(0.35, 0.714) == pytest.approx(3.704, abs=0.001)
    assert type_size(0.60, 0.714) == pytest.approx(5.378, abs=0.01)


@some_lists
def test_nothing_is_set_smaller(name, language):
    laid, _ = example(name, language)
    sizes = [text.size for text in laid.texts if "draft" not in text.classes]
    assert min(sizes) >= 10.49


@some_lists
def test_pages_are_desk_paper_and_nothing_leaves_their_margins(name, language):
    laid, _ = example(name, language)
    a4 = PAPERS["A4"]
    assert all(
        size == pytest.approx((a4.width, a4.height), abs=0.1) for size in laid.page_sizes
    )
    for box in laid.blocks:
        if box.classes and "draft" not in box.classes:
            assert box.left >= 14 - NEAR, box
            assert box.left + box.width <= a4.width - 14 + NEAR, box
            assert box.bottom <= a4.height - 24, box


def test_letter_where_the_clinic_prints_on_north_american_paper():
    laid, _ = laid_out(order("rapid-entry", "en", paper="ANSI D"))
    assert laid.page_sizes[0] == pytest.approx((215.9, 279.4), abs=0.1)


@some_lists
def test_no_row_and_no_band_is_split_over_two_pages(name, language):
    """A box that is split is there twice; a row has one number, a band one lead."""
    laid, _ = example(name, language)
    found = [s for part in draft(name, language).protocol.parts for s in every_step(part.steps)]
    bands = sum(isinstance(phrase, Hygiene) for step in found for phrase in step.phrases)
    boxes = Counter(c for box in laid.blocks for c in box.classes if box.element == "div")
    numbers = [text for text in laid.texts if "number" in text.classes]
    assert boxes["step"] == len(numbers)
    assert boxes["band"] == bands
    assert laid.pages > 1


@some_lists
def test_short_answers_stand_side_by_side_and_whole(name, language):
    laid, _ = example(name, language)
    forks = [
        s for p in draft(name, language).protocol.parts for s in every_step(p.steps) if s.fork
    ]
    ways = [box for box in laid.blocks if "way" in box.classes]
    assert len(ways) == sum(len(step.fork.branches) for step in forks)
    for one, other in zip(ways[::2], ways[1::2], strict=True):
        assert one.page == other.page
        assert one.top == pytest.approx(other.top, abs=NEAR)
        left, right = sorted((one, other), key=lambda box: box.left)
        assert left.left + left.width < right.left


def test_long_answers_stand_below_one_another():
    laid, _ = laid_out(nested(4))
    ways = [box for box in laid.blocks if "way" in box.classes]
    first, *_, second = [box for box in ways if box.left == min(way.left for way in ways)]
    assert first.bottom <= second.top
    assert first.width == pytest.approx(second.width, abs=NEAR)


@pytest.mark.parametrize(("name", "language"), [("airborne-room", "en"), ("rapid-entry", "en")])
def test_each_page_has_its_foot_and_those_that_go_on_say_where(name, language):
    pages = pages_of(example(name, language)[1])
    for number, text in enumerate(pages, start=1):
        assert f"Page {number} of {len(pages)}" in text
        assert f"Check code {CODE}" in text
        assert plain("Follow your facility's policy. Training, fit testing") in plain(text)
        assert "Draft: not approved for use" in text
        assert "DRAFT" in text
        assert draft(name, language).protocol.title in text
        assert "Tern Island Health Post" in text


def test_a_page_that_goes_on_names_part_and_area():
    """Steps 10 to 12 of putting on stand on the second page, in the transition bay."""
    text = pages_of(example("airborne-room", "en")[1])[1]
    assert "Putting on · transition bay" in text


@some_lists
def test_words_lie_on_the_side_where_reading_begins(name, language):
    laid, _ = example(name, language)
    number = next(text for text in laid.texts if "number" in text.classes)
    lead = next(t for t in laid.texts if t.page == number.page and "lead" in t.classes)
    assert (number.left > lead.left) == (language == "ar")


@some_lists
def test_it_is_tagged_and_says_what_it_is(name, language):
    """ISO 14289-1:2014 (PDF/UA-1): language, title, marks, a tree, its own declaration."""
    with pikepdf.open(io.BytesIO(example(name, language)[1])) as pdf:
        assert str(pdf.Root.Lang) == language
        assert bool(pdf.Root.MarkInfo.Marked)
        assert pdf.Root.get("/StructTreeRoot")
        assert bool(pdf.Root.ViewerPreferences.DisplayDocTitle)
        with pdf.open_metadata() as about:
            assert about["pdfuaid:part"] == "1"
            assert about["dc:title"] == draft(name, language).protocol.title
        assert pdf.check_pdf_syntax() == []
        titles = {str(item.title) for item in pdf.open_outline().root[0].children}
        assert {part.title for part in draft(name, language).protocol.parts} <= titles


def test_head_and_foot_are_no_part_of_the_text_that_is_read_out():
    """ISO 14289-1, 7.8: running heads and feet are artifacts; the tree has each sentence once."""
    pdf = example("airborne-room", "en")[1]
    with pikepdf.open(io.BytesIO(pdf)) as document:
        for page in document.pages:
            content = pikepdf.parse_content_stream(page)
            depth = Counter(str(operator) for _, operator in content)
            assert depth["BDC"] + depth["BMC"] == depth["EMC"]
            kinds = [
                str(operands[0])
                for operands, operator in content
                if str(operator) in {"BDC", "BMC"}
            ]
            assert "/Artifact" in kinds


def test_the_code_is_on_the_first_page():
    page = pypdfium2.PdfDocument(example("airborne-room", "en")[1])[0]
    assert [code.text for code in zxingcpp.read_barcodes(page.render(scale=2).to_pil())] == [
        LINK
    ]


def test_words_of_markup_stay_words_in_margins_too():
    wanted = small(HOSTILE.replace("# Putting", '# "Put\\\\ting"', 1))
    _, pdf = laid_out(wanted)
    text = plain("".join(pages_of(pdf)))
    assert plain("<script>alert(1)</script>") in text
    assert re.search(r'"Put\\?ting"', text)


def test_parts_that_are_not_there_are_told():
    made = steps(
        (small("# On `donning in change room`\n\n1. **A.** b `handrub`\n", parts="doffing"),)
    )
    assert made.files == {}
    assert [finding.rule.slug for finding in made.findings] == ["empty-part"]


def test_same_bytes_every_time():
    one, other = (steps((draft("rapid-entry", "en"),)).files for _ in range(2))
    assert one == other
    assert list(one) == ["pdf", "txt", "md"]
