"""Pictures of sheets, read back by Pillow and held against the PDF they are made from."""

import io

import pypdfium2
import pytest
import zxingcpp
from PIL import Image

from compiler.layout.paper import PAPERS
from compiler.products.picture import GREY, LONGEST, png
from tests.printing.making import SENTENCES, lay
from tests.printing.making import write as write_pdf
from tests.printing.posters import LINK, ink, printed, sheet


def opened(data: bytes) -> Image.Image:
    picture = Image.open(io.BytesIO(data))
    picture.load()
    return picture


@pytest.mark.parametrize(
    ("paper", "dots"), [("A4", 150), ("A2", 150), ("A1", 4000 / 841 * 25.4)]
)
def test_size_and_dots(paper, dots):
    """Millimetres by ISO 216, pixels and dots as Pillow reads them: 150 to the inch, or 4000 long."""
    picture = opened(png(sheet("rapid-entry", paper=paper).pdf))
    found = picture.info["dpi"]
    assert found == pytest.approx((dots, dots), rel=0.001)
    size = [round(side / dots * 25.4) for side in picture.size]
    assert sorted(size) == pytest.approx([PAPERS[paper].width, PAPERS[paper].height], abs=1)
    assert max(picture.size) <= LONGEST
    assert (picture.format, picture.mode) == ("PNG", "RGB")


def test_it_is_the_sheet_pixel_for_pixel():
    """The same library draws it through Pillow: what we pack ourselves must be the same."""
    pdf = sheet("rapid-entry", "ar", paper="A4").pdf
    picture = opened(png(pdf, 100))
    drawn = pypdfium2.PdfDocument(pdf)[0].render(scale=100 / 72).to_pil().convert("RGB")
    assert picture.tobytes() == drawn.tobytes()


def test_there_is_ink_where_the_words_are_and_white_at_the_margins():
    found = sheet("rapid-entry", "hi", paper="A4")
    picture = opened(png(found.pdf)).convert("L")
    dots = 150 / 25.4
    for text in printed(found):
        box = picture.crop(tuple(round(edge * dots) for edge in ink(text)))
        assert min(box.tobytes()) < 140 < max(box.tobytes()), text.text
    margin = round((found.plan.margin - 1) * dots)
    edge = picture.crop((0, 0, picture.width, margin))
    assert set(edge.tobytes()) == {255}


def test_the_code_reads_from_a_screen():
    found = sheet("spore-contact-room", paper="A4")
    codes = zxingcpp.read_barcodes(opened(png(found.pdf, 100)))
    assert [code.text for code in codes] == [LINK]


def test_pages_stand_below_one_another():
    _, laid = lay(
        "en", SENTENCES["en"], "p { break-after: page } p:last-child { break-after: auto }"
    )
    assert laid.pages == 2
    pdf = write_pdf(
        "en", SENTENCES["en"], "p { break-after: page } p:last-child { break-after: auto }"
    ).pdf
    picture = opened(png(pdf, 72)).convert("L")
    one = opened(png(write_pdf("en", SENTENCES["en"][:1]).pdf, 72))
    gap = picture.height - 2 * one.height
    assert gap == 7
    assert set(picture.crop((0, one.height, picture.width, one.height + gap)).tobytes()) == {
        GREY
    }


def test_the_same_sheet_gives_the_same_picture():
    pdf = sheet("rapid-entry", paper="A4").pdf
    assert png(pdf) == png(pdf)
