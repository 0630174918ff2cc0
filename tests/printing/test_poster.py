"""The wall poster as it is printed: one page, every word, nothing outside, nothing on top."""

import io
from itertools import combinations

import pikepdf
import pypdfium2
import pytest
import zxingcpp

from compiler.layout.paper import PAPERS
from compiler.model.protocol import Hygiene, every_step
from compiler.products.poster import poster
from tests.printing.making import pdfium, plain
from tests.printing.posters import (
    CODE,
    LINK,
    NAMES,
    NEAR,
    POINT,
    SHEETS,
    ink,
    named,
    order,
    printed,
    sheet,
    small,
    some_sheets,
    with_class,
)


@some_sheets
def test_one_page_of_the_paper_asked_for(name, language):
    found = sheet(name, language)
    with pikepdf.open(io.BytesIO(found.pdf)) as document:
        assert len(document.pages) == 1
        left, bottom, right, top = map(float, document.pages[0].MediaBox)
    paper = PAPERS["A2"]
    assert sorted(((right - left) * POINT, (top - bottom) * POINT)) == pytest.approx(
        [paper.width, paper.height], abs=0.1
    )


@some_sheets
def test_nothing_leaves_the_page_or_its_margin(name, language):
    found = sheet(name, language)
    paper, margin = found.plan.paper, found.plan.margin
    edges = [(ink(text), text) for text in printed(found)]
    edges += [
        ((box.left, box.top, box.left + box.width, box.bottom), box)
        for box in found.blocks
        if "draft" not in box.classes and box.element not in {"html", "body"}
    ]
    for (left, top, right, bottom), box in edges:
        assert left >= margin - NEAR, box
        assert right <= paper.width - margin + NEAR, box
        assert top >= margin - NEAR, box
        assert bottom <= paper.height - margin + NEAR, box


@some_sheets
def test_no_words_lie_on_others(name, language):
    texts = printed(sheet(name, language))
    for one, other in combinations(texts, 2):
        a, b = ink(one), ink(other)
        across = min(a[2], b[2]) - max(a[0], b[0])
        down = min(a[3], b[3]) - max(a[1], b[1])
        assert across < NEAR or down < NEAR, (one.text, other.text)


@some_sheets
def test_the_paths_end_above_the_foot_and_fill_the_page(name, language):
    found = sheet(name, language)
    boxes = named(found)
    ends = [box.bottom for key, box in boxes.items() if key.startswith("column-")]
    assert max(ends) <= boxes["foot"].top
    assert boxes["foot"].top - max(ends) < found.plan.paper.height / 30


def test_the_estimate_is_good_enough_to_lay_out_twice_at_most():
    layouts = [sheet(name, language).report.layouts for name, language in SHEETS]
    assert sum(layouts) / len(layouts) <= 2


# --- the words --------------------------------------------------------------------------------


@pytest.mark.parametrize("language", ["en", "zh-Hans"])
@pytest.mark.parametrize("name", NAMES)
def test_every_word_of_the_protocol_is_on_the_wall(name, language):
    """Read back by pdfium. That scripts with shaping read back is tested for the writer."""
    wanted = order(name, language)
    text = plain(pdfium(sheet(name, language).pdf))
    for part in wanted.protocol.parts:
        for step in every_step(part.steps):
            for words in (step.lead, step.detail, *step.cautions):
                assert plain(words) in text
            for branch in step.fork.branches if step.fork else ():
                assert plain(branch.lead) in text
    says = wanted.words.say
    footer = [
        says(
            "Follow your facility's policy. Training, fit testing and a trained observer come first."
        ),
        wanted.clinic.name,
        wanted.clinic.contact,
        wanted.protocol.title,
        wanted.protocol.valid_from.isoformat(),
        wanted.protocol.review_by.isoformat(),
        CODE,
        wanted.words.own_name,
        "A2",
    ]
    for words in footer:
        assert plain(words) in text


@some_sheets
def test_hand_hygiene_is_never_lost(name, language):
    """As many bands as the protocol has phrases for hand hygiene, counted apart."""
    parts = order(name, language).protocol.parts
    phrases = [p for part in parts for step in every_step(part.steps) for p in step.phrases]
    wanted = sum(isinstance(phrase, Hygiene) for phrase in phrases)
    assert len(with_class(sheet(name, language), "band")) == wanted


def test_draft_and_unreviewed_are_said_and_nothing_else_moves():
    final, draft = sheet("rapid-entry"), sheet("rapid-entry", draft=True, reviewed=False)
    assert "DRAFT" not in pdfium(final.pdf)
    assert "DRAFT" in pdfium(draft.pdf)
    assert "Draft: not approved for use" in pdfium(draft.pdf)
    assert "Translation not yet reviewed" in pdfium(draft.pdf)
    assert len([text for text in draft.texts if "draft" in text.classes]) == 1


def test_draft_lies_under_the_words():
    """The pale word covers much of the sheet, and everything else is painted over it."""
    draft = sheet("rapid-entry", draft=True)
    painted = pdfium(draft.pdf)
    assert painted.index("DRAFT") < painted.index("Tern Island")
    picture = pypdfium2.PdfDocument(draft.pdf)[0].render(scale=1).to_pil().convert("L")
    tones = picture.histogram()
    pale = sum(tones[230:245])
    assert pale > 0.03 * sum(tones)


@pytest.mark.parametrize("paper", ["A4", "A2"])
@pytest.mark.parametrize("language", ["en", "ar"])
def test_the_qr_code_reads(paper, language):
    """Read by zxing at the resolution of an office scanner."""
    found = sheet("spore-contact-room", language, paper=paper)
    picture = pypdfium2.PdfDocument(found.pdf)[0].render(scale=150 / 72).to_pil()
    assert [code.text for code in zxingcpp.read_barcodes(picture)] == [LINK]


def test_markup_in_a_protocol_is_only_words():
    body = (
        (
            "\n# Off `doffing in bay`\n\n1. **Put on {{ 7 * 7 }} & more.** Not <b>bold</b> {% if %}."
            " `wear gown`\n2. **Take off the gown.** `remove gown` `discard gown`\n"
        )
        .replace("<b>", "\\<b>")
        .replace("</b>", "\\</b>")
    )
    text = plain(pdfium(poster(small(body)).poster.pdf))
    assert plain("Put on {{ 7 * 7 }} & more.") in text
    assert plain("Not <b>bold</b> {% if %}.") in text


def test_a_word_wider_than_its_column_stays_inside():
    word = "Desinfektionsmittelunverträglichkeitsbescheinigungsverfahren"
    answers = "".join(
        f"   - **{word}.** `if {answer}`\n     1. **{word}.** {word}\n"
        for answer in ("yes", "no")
    )
    body = f"\n# Off `doffing in bay`\n\n1. **Is it?** `decide size`\n{answers}"
    body += "2. **Put on.** `wear gown`\n3. **Take off.** `remove gown` `discard gown`\n"
    found = poster(small(body, paper="A4")).poster
    frames = with_class(found, "way")
    assert len(frames) == 2
    inside = [t for t in printed(found) if t.text.strip() and t.text.strip("-\u2010. ") in word]
    assert len(inside) >= 6
    for text in inside:
        assert any(
            f.left - NEAR <= text.left and text.left + text.width <= f.left + f.width + NEAR
            for f in frames
        ), text
