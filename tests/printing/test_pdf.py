"""The PDF as a file: tagged, self-contained, the same everywhere; and what stops it being written."""

from __future__ import annotations

import hashlib
import io
import os
import re
import subprocess
import sys
from pathlib import Path

import pikepdf
import pytest

from compiler.layout.cutting import cut
from compiler.layout.fonts import faces_for
from compiler.products.pdf import About, Press, Written
from tests.printing.making import (
    HERE,
    LANGUAGES,
    MADE,
    SENTENCES,
    cut_for,
    lay,
    page,
    style,
    write,
)

PICTURE = (
    '<svg width="20mm" height="10mm" viewBox="0 0 20 10"><title>Hook</title>'
    '<path d="M0 0h20v10z"/></svg>'
)


def opened(written: Written) -> pikepdf.Pdf:
    assert written.obstacles == ()
    return pikepdf.open(io.BytesIO(written.pdf))


def fonts_in(pdf: pikepdf.Pdf) -> list[pikepdf.Object]:
    return [thing for thing in pdf.objects if _is(thing, "/Font") and "/ToUnicode" in thing]


def _is(thing: pikepdf.Object, kind: str) -> bool:
    return isinstance(thing, pikepdf.Dictionary) and thing.get("/Type") == kind


@pytest.mark.parametrize("language", ["en", "ar", "zh-Hans", "hi", "ur"])
def test_fonts_are_embedded_and_cut(language: str) -> None:
    """ISO 14289-1:2014 (PDF/UA-1), 7.21.4: all fonts used are embedded. Read by pikepdf."""
    with opened(write(language, SENTENCES[language])) as pdf:
        fonts = fonts_in(pdf)
        assert fonts
        for font in fonts:
            (below,) = font.DescendantFonts
            descriptor = below.FontDescriptor
            file = descriptor.get("/FontFile2") or descriptor.get("/FontFile3")
            assert len(file.read_bytes()) < 100_000
            assert re.match(r"/[A-Z]{6}\+Wallward-", str(font.BaseFont))


@pytest.mark.parametrize("language", ["en", "ar", "hi", "th", "ur"])
def test_every_glyph_means_something(language: str) -> None:
    """PDF/UA-1, 7.21.7: no glyph maps to nothing, U+0000, U+FEFF or U+FFFE."""
    with opened(write(language, SENTENCES[language])) as pdf:
        for font in fonts_in(pdf):
            table = font.ToUnicode.read_bytes().decode("ascii")
            meanings = re.findall(r"^<[0-9a-f]{4}> <([0-9a-f]*)>$", table, re.MULTILINE)
            assert meanings
            assert not {"", "0000", "feff", "fffe"} & set(meanings)


def test_the_file_says_what_it_is() -> None:
    """PDF/UA-1: 5 (identification), 7.1 (title shown, marked), 7.2 (language), 7.3 (figures)."""
    faces, cuts = cut_for("en", "Hook" + SENTENCES["en"][0])
    press = Press(cuts, {"theme": HERE})
    html = page("en", f"<h1>Hook</h1><p>{SENTENCES['en'][0]}</p><p>{PICTURE}</p>")
    laid = press.layout(html, [style(faces)])
    with opened(press.write(laid, About("Hand hygiene", "en-GB", MADE, "Poster"))) as pdf:
        xmp = pdf.Root.Metadata.read_bytes().decode()
        assert re.search(r"pdfuaid:part(=\"|>)1", xmp)
        assert pdf.Root.Lang == "en-GB"
        assert pdf.Root.MarkInfo.Marked
        assert pdf.Root.ViewerPreferences.DisplayDocTitle
        assert pdf.docinfo.Title == "Hand hygiene"
        assert pdf.docinfo.Subject == "Poster"
        assert str(pdf.docinfo.CreationDate).startswith("D:20261101")
        elements = [thing for thing in pdf.objects if _is(thing, "/StructElem")]
        assert {"/Document", "/H1", "/P", "/Figure"} <= {str(e.S) for e in elements}
        (figure,) = [element for element in elements if element.S == "/Figure"]
        assert figure.Alt == "Hook"
        # 20 by 10 mm in points, counted from the foot of the page
        (block,) = [b for b in laid.blocks if b.element == "svg"]
        left, foot, right, head = (float(x) / 72 * 25.4 for x in figure.A.BBox)
        assert (right - left, head - foot) == pytest.approx((20, 10), abs=0.01)
        assert (left, 210 - head) == pytest.approx((block.left, block.top), abs=0.01)


def test_a_sheet_without_a_date_has_none() -> None:
    press, laid = lay("en", ["Clean your hands."])
    with opened(press.write(laid, About("t", "en"))) as pdf:
        assert "/CreationDate" not in pdf.docinfo
        assert "/ModDate" not in pdf.docinfo


@pytest.mark.parametrize("language", LANGUAGES)
def test_qpdf_finds_no_fault(language: str, tmp_path: Path) -> None:
    file = tmp_path / "sheet.pdf"
    file.write_bytes(write(language, SENTENCES.get(language, ["Wash 1."])).pdf)
    checked = subprocess.run(["qpdf", "--check", file], capture_output=True, text=True)
    assert checked.returncode == 0, checked.stdout + checked.stderr


def test_a_dense_chinese_poster_is_small() -> None:
    """600 letters of detail, 250 of them different, and 150 of leads in bold: below 120 KB."""
    han = [chr(0x4E00 + 7 * i) for i in range(250)]
    details, leads = "".join(han * 3)[:600], "".join(han[:150])
    faces = faces_for("zh-Hans")
    press = Press(cut(faces, details, leads), {"theme": HERE})
    laid = press.layout(page("zh-Hans", f"<p>{details}</p><b>{leads}</b>"), [style(faces)])
    assert 10_000 < len(press.write(laid, About("t", "zh-Hans")).pdf) < 120_000


AGAIN = """
import hashlib
from tests.printing.making import SENTENCES, write
for language in ("ar", "zh-Hans", "hi"):
    print(hashlib.sha256(write(language, SENTENCES[language]).pdf).hexdigest())
"""


def test_the_same_sheet_has_the_same_bytes_in_any_surroundings(tmp_path: Path) -> None:
    """In a new process with other hashing, time zone, tongue, home, and temporary folder."""
    here = [
        hashlib.sha256(write(language, SENTENCES[language]).pdf).hexdigest()
        for language in ("ar", "zh-Hans", "hi")
    ]
    top = HERE.parent.parent
    surroundings = {
        "PATH": os.environ["PATH"],
        "PYTHONPATH": str(top),
        "PYTHONHASHSEED": "77",
        "TZ": "Pacific/Kiritimati",
        "LANG": "C.UTF-8",
        "LANGUAGE": "ja:ko",
        "HOME": str(tmp_path),
        "TMPDIR": str(tmp_path),
        "FONTCONFIG_FILE": "/nowhere/fonts.conf",
        "SOURCE_DATE_EPOCH": "1",
    }
    there = subprocess.run(
        [sys.executable, "-c", AGAIN],
        env=surroundings,
        cwd=tmp_path,
        capture_output=True,
        text=True,
        check=True,
    )
    assert there.stdout.split() == here
    assert there.stderr == ""
    assert list(tmp_path.iterdir()) == []  # and it cleans up after itself


def test_writing_twice_gives_the_same_bytes() -> None:
    press, laid = lay("ar", SENTENCES["ar"])
    about = About("t", "ar", MADE)
    again, same = lay("ar", SENTENCES["ar"])
    first = press.write(laid, about).pdf
    assert first == press.write(laid, about).pdf == again.write(same, about).pdf


def test_the_second_layout_is_as_good_as_the_first() -> None:
    """Fonts, styles and pictures are kept between them; what is drawn must not notice."""
    faces, cuts = cut_for("hi", "".join(SENTENCES["hi"]))
    html = page("hi", f"<p>{SENTENCES['hi'][0]}</p>")
    sizes = ["body { font-size: 9pt }", "body { font-size: 20pt }"]
    press, about = Press(cuts, {"theme": HERE}), About("t", "hi", MADE)
    press.layout(html, [style(faces), sizes[0]])
    kept = press.write(press.layout(html, [style(faces), sizes[1]]), about)
    fresh = Press(cuts, {"theme": HERE})
    alone = fresh.write(fresh.layout(html, [style(faces), sizes[1]]), about)
    assert kept == alone


STOPS = {
    "a letter that no font has": ("<p>Clean \U00010380</p>", "", "U+10380"),
    "a style that the engine does not know": ("<p>x</p>", "p { colour: red }", "colour"),
    "a style that is no style": ("<p>x</p>", "p { color: 12 }", "color"),
    "a picture without words for it": ('<img src="data:image/svg+xml,<svg/>">', "", "alt"),
    "a picture that is none": ('<img alt="x" src="data:image/png;base64,AAAA">', "", "image"),
    "a line that would be cut off": (
        "<p>Clean your hands</p>",
        "p { width: 9mm; overflow: hidden; text-overflow: ellipsis; white-space: nowrap }",
        "cut off",
    ),
}


@pytest.mark.parametrize("stop", STOPS)
def test_what_the_engine_only_logs_stops_the_sheet(stop: str) -> None:
    body, more, word = STOPS[stop]
    faces, cuts = cut_for("en", "Clean your hands x")
    press = Press(cuts, {"theme": HERE})
    written = press.write(
        press.layout(page("en", body), [style(faces, more)]), About("t", "en")
    )
    assert written.pdf == b""
    assert any(word in obstacle.message for obstacle in written.obstacles)
    assert all(obstacle.message.endswith(".") for obstacle in written.obstacles)


def test_boxes_lie_where_the_style_puts_them() -> None:
    """Millimetres by CSS 2.2, sections 8 and 10: margins, borders, widths."""
    faces, cuts = cut_for("en", "Clean your hands")
    press = Press(cuts, {"theme": HERE})
    rules = "div { margin: 5mm 0 0 7mm; border: 1mm solid; width: 50mm; height: 20mm } p { margin: 0 }"
    html = page(
        "en", '<div id="first" class="step beat"><p class="lead">Clean your hands</p></div>'
    )
    laid = press.layout(html, [style(faces, rules)])
    block = next(b for b in laid.blocks if b.name == "first")
    assert (block.element, block.classes, block.page) == ("div", ("step", "beat"), 1)
    assert (block.left, block.top, block.width, block.height) == pytest.approx((17, 15, 52, 22))
    (text,) = laid.texts
    assert (text.text, text.size, text.weight) == ("Clean your hands", pytest.approx(12), 400)
    assert (text.left, text.classes) == (pytest.approx(18), ("lead",))
    assert laid.pages == 1
    assert laid.page_sizes == (pytest.approx((148, 210)),)
    assert laid.used_heights == (pytest.approx(27),)
