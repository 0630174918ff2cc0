"""What we change in the engine's PDF changes nothing that is seen, and each glyph is the right one."""

from __future__ import annotations

import io
import re
from contextlib import nullcontext
from pathlib import Path

import pikepdf
import pypdfium2
import pytest
from fontTools.cffLib import CFFFontSet
from fontTools.pens.boundsPen import BoundsPen
from fontTools.ttLib import TTFont
from PIL import Image, ImageChops

from compiler.layout.fonts import faces_for
from compiler.products import pdf as printing
from compiler.products.pdf import About, Press
from tests.printing.making import SENTENCES, cut_for, page, style, write

PICTURE = (
    '<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 64 64"><g fill="#c9ced6"'
    ' stroke="#1b1b1b" stroke-width="3"><path d="M12 32h40l-4 29h-32z"/></g>'
    '<circle cx="32" cy="16" r="9" fill="#b00020" opacity=".5"/></svg>'
)


def _outline_bounds(glyphs: object, name: str) -> tuple[int, ...] | None:
    pen = BoundsPen(glyphs)
    glyphs[name].draw(pen)
    return None if pen.bounds is None else tuple(round(edge) for edge in pen.bounds)


def _embedded(font: pikepdf.Object) -> tuple[object, list[str]]:
    """The glyphs of an embedded font, and their names by the number that the text uses."""
    descriptor = font.DescendantFonts[0].FontDescriptor
    if "/FontFile3" in descriptor:
        assert descriptor.FontFile3.Subtype == "/CIDFontType0C"
        fonts = CFFFontSet()
        fonts.decompile(io.BytesIO(descriptor.FontFile3.read_bytes()), None)
        top = fonts.topDictIndex[0]
        assert hasattr(top, "ROS")
        return top.CharStrings, _by_identifier(top.charset)
    file = TTFont(io.BytesIO(descriptor.FontFile2.read_bytes()))
    assert font.DescendantFonts[0].CIDToGIDMap == "/Identity"
    return file.getGlyphSet(), file.getGlyphOrder()


def _by_identifier(charset: list[str]) -> list[str]:
    """ISO 32000-1:2008, 9.7.4.2: a CID font's own charset leads from number to glyph."""
    names = {int(name.removeprefix("cid")): name for name in charset[1:]}
    return [names.get(number, ".notdef") for number in range(max(names) + 1)]


@pytest.mark.parametrize("language", ["en", "zh-Hans", "ko", "ar"])
def test_the_glyph_a_reader_looks_up_is_that_of_the_letter(language: str) -> None:
    """As the standard leads from text to glyph, not as lenient readers do.

    Judge: outlines of the installed font for the letter that the table of meanings names.
    """
    main = faces_for(language).order[0].regular
    source = TTFont(io.BytesIO(main.path.read_bytes()), fontNumber=main.index, lazy=True)
    letters, whole = source.getBestCmap(), source.getGlyphSet()
    compared = 0
    with pikepdf.open(io.BytesIO(write(language, SENTENCES[language]).pdf)) as pdf:
        for font in (thing for thing in pdf.objects if "/ToUnicode" in thing):
            if not str(font.BaseFont).endswith("Wallward-Main"):
                continue
            glyphs, names = _embedded(font)
            table = font.ToUnicode.read_bytes().decode("ascii")
            for code, meaning in re.findall(r"^<(\w{4})> <(\w{4})>$", table, re.MULTILINE):
                name = letters.get(int(meaning, 16))
                sign = chr(int(meaning, 16))
                if name is None or not sign.isalnum() or "\u0600" <= sign <= "\u06ff":
                    continue  # signs differ by language, and Arabic letters by what they join
                compared += 1
                drawn = _outline_bounds(glyphs, names[int(code, 16)])
                assert drawn == _outline_bounds(whole, name), sign
    assert compared >= 3


def _sheet(folder: Path, rules: str) -> bytes:
    (folder / "bin.svg").write_text(PICTURE, encoding="utf-8")
    faces, cuts = cut_for("en", "Bin")
    press = Press(cuts, {"theme": folder})
    boxes = "p { background-color: #eef; margin: 4mm; padding: 2mm; height: 16mm }"
    html = page("en", "<p>Bin</p>" * 5)
    laid = press.layout(html, [style(faces, f"{boxes} p {{ {rules} }}")])
    written = press.write(laid, About("t", "en"))
    assert written.obstacles == ()
    return written.pdf


def _picture(pdf: bytes) -> Image.Image:
    document = pypdfium2.PdfDocument(pdf)
    picture = document[0].render(scale=2).to_pil().convert("RGB")
    document.close()
    return picture


@pytest.mark.parametrize(
    "rules",
    [
        "background: #eef url(bin.svg) no-repeat 3mm 1mm / 14mm 14mm",
        "background: url(bin.svg) no-repeat right -5mm bottom -3mm / 14mm 14mm",
        "background: url(bin.svg) no-repeat center / 14mm 14mm; opacity: .4",
        "background: url(bin.svg) no-repeat 0 0 / 9mm 9mm; transform: rotate(8deg)",
        "background: url(bin.svg) no-repeat -3mm -3mm / 14mm 14mm content-box,"
        " url(bin.svg) no-repeat right / 5mm 5mm border-box",
        "background: url(bin.svg) 0 0 / 9mm 9mm",
        "background: url(bin.svg) repeat-x 0 0 / 9mm 9mm",
    ],
)
def test_background_pictures_look_as_the_engine_draws_them(
    rules: str, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    ours = _picture(_sheet(tmp_path, rules))
    monkeypatch.setattr(printing, "_our_hand", nullcontext)
    theirs = _picture(_sheet(tmp_path, rules))
    assert len(theirs.getcolors(1 << 20)) > 3
    most = max(high for _, high in ImageChops.difference(ours, theirs).getextrema())
    assert most <= 1  # of 255: rounding where colours are blended


def test_background_pictures_make_no_groups_of_the_size_of_the_page(tmp_path: Path) -> None:
    """Only the circle that is half transparent makes one, of its own size."""
    with pikepdf.open(
        io.BytesIO(_sheet(tmp_path, "background: url(bin.svg) no-repeat"))
    ) as pdf:
        frames = [
            [float(edge) for edge in thing.BBox]
            for thing in pdf.objects
            if isinstance(thing, pikepdf.Stream) and thing.get("/Subtype") == "/Form"
        ]
    assert all(right - left < 100 for left, _, right, _ in frames)
