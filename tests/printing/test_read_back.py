"""What is printed reads back, letter by letter: by pdfium (Chrome) and pdftotext (poppler)."""

from __future__ import annotations

import io
from contextlib import nullcontext

import pikepdf
import pypdfium2
import pytest
from babel import Locale
from PIL import Image, ImageChops, ImageFilter

from compiler.layout.cutting import CutFace, cut
from compiler.layout.fonts import faces_for
from compiler.products import pdf as printing
from compiler.products.pdf import About, Press, Written
from tests.printing.making import (
    HERE,
    LANGUAGES,
    READERS,
    SENTENCES,
    page,
    pdfium,
    plain,
    style,
    write,
)


@pytest.mark.parametrize("reader", READERS)
@pytest.mark.parametrize("language", SENTENCES)
def test_text_reads_back_as_it_was_written(language: str, reader: str) -> None:
    """In the normal form of `plain`: NFKC, no white space, no format characters; in order."""
    written = write(language, SENTENCES[language])
    assert written.obstacles == ()
    assert plain(READERS[reader](written.pdf)) == plain("".join(SENTENCES[language]))


@pytest.mark.parametrize("language", SENTENCES)
def test_bold_reads_back_too(language: str) -> None:
    written = write(language, SENTENCES[language], "p { font-weight: 700 }")
    assert plain(pdfium(written.pdf)) == plain("".join(SENTENCES[language]))


@pytest.mark.parametrize("language", LANGUAGES)
def test_every_language_prints_its_own_words(language: str) -> None:
    """Words: names of months and weekdays from CLDR (Unicode), as Babel brings them."""
    locale = Locale.parse(language, sep="-")
    words = [*locale.months["format"]["wide"].values(), *locale.days["format"]["wide"].values()]
    written = write(language, words)
    assert written.obstacles == ()
    for read in READERS.values():
        assert sorted(plain(read(written.pdf))) == sorted(plain("".join(words)))


@pytest.mark.parametrize("reader", READERS)
def test_brackets_read_back_up_to_their_direction(reader: str) -> None:
    """Readers disagree on which way a bracket faces from right to left, so that is folded."""
    sentence = "افرك الأصابع (كلّها) بالمطهر"
    turned = str.maketrans("()", "||")
    written = write("ar", [sentence])
    read = plain(READERS[reader](written.pdf)).translate(turned)
    assert read == plain(sentence).translate(turned)


@pytest.mark.parametrize("language", ["ar", "hi"])
def test_the_engine_alone_would_not_read_back(
    language: str, monkeypatch: pytest.MonkeyPatch
) -> None:
    """So the test above can fail: without our hand, joined and reordered letters go wrong."""
    monkeypatch.setattr(printing, "_our_hand", nullcontext)
    written = write(language, SENTENCES[language])
    for read in READERS.values():
        assert plain(read(written.pdf)) != plain("".join(SENTENCES[language]))


def _two_files_of_one_family() -> Written:
    """The trap of the engine: glyphs placed by the second file are drawn from the first."""
    faces = faces_for("zh-Hans")
    first, second = "清洁双手", "触摸门之前"
    files = [cut(faces, text, "")[0] for text in (first, second)]
    given = [CutFace(f"File {i}", 400, f.data, f.source) for i, f in enumerate(files)]
    rules = "".join(
        f'@font-face {{ font-family: "One"; src: url("/fonts/File-{i}-400.otf");'
        f" unicode-range: {', '.join(f'U+{ord(c):X}' for c in text)} }}"
        for i, text in enumerate((first, second))
    )
    press = Press(given, {"theme": HERE})
    laid = press.layout(page("zh-Hans", first + second), [rules, 'body { font-family: "One" }'])
    return press.write(laid, About("t", "zh-Hans"))


def test_letters_drawn_from_the_wrong_file_are_found(monkeypatch: pytest.MonkeyPatch) -> None:
    """We refuse to write it; the engine alone does not, and then the text reads back wrong."""
    refused = _two_files_of_one_family()
    assert refused.pdf == b""
    assert "One has two font files in one weight" in refused.obstacles[0].message

    monkeypatch.setattr(printing, "_our_hand", nullcontext)
    printed = _two_files_of_one_family()
    assert printed.obstacles == ()
    assert plain(pdfium(printed.pdf)) != "清洁双手触摸门之前"


def _bold_arabic(cuts: tuple[CutFace, ...]) -> Written:
    press = Press(cuts, {"theme": HERE})
    html = page("ar", f"<p>{ALPHABET} <b>نظّف</b></p>")
    return press.write(press.layout(html, [style(faces_for("ar"))]), About("t", "ar"))


ALPHABET = "ابتثجحخدذرزسشصضطظعغفقكلمنهويءآأؤإئىة"


def test_bold_letters_are_bold_however_few_there_are() -> None:
    """The engine prefers a regular file that has a whole alphabet to a bold one with part of it."""
    faces = faces_for("ar")
    written = _bold_arabic(cut(faces, ALPHABET, "نظّف"))
    with pikepdf.open(io.BytesIO(written.pdf)) as pdf:
        names = {str(thing.BaseFont)[8:] for thing in pdf.objects if "/ToUnicode" in thing}
    assert names == {"Wallward-Main", "Wallward-Main-Bold"}

    refused = _bold_arabic((*cut(faces, ALPHABET, ""), *cut(faces, "", "نظّف")))
    assert refused.pdf == b""
    assert "Wallward Main is not there in weight 700" in refused.obstacles[0].message


def test_no_cut_faces_or_two_of_one_family_and_weight_are_refused() -> None:
    """Pango ends the process when it finds no font at all."""
    with pytest.raises(ValueError, match="needs a cut face"):
        Press([], {})
    face = cut(faces_for("en"), "a", "")[0]
    with pytest.raises(ValueError, match="same family and weight"):
        Press([face, face], {})


def _picture(pdf: bytes) -> Image.Image:
    document = pypdfium2.PdfDocument(pdf)
    picture = document[0].render(scale=3).to_pil().convert("L")
    document.close()
    return picture


@pytest.mark.parametrize("language", ["en", "zh-Hans", "ar", "hi", "th", "ur"])
def test_our_hand_draws_what_the_engine_would(
    language: str, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Pictures by pdfium, 216 dots an inch: only edges of letters differ, by less than 3 dots.

    Most of the difference is the engine's: it takes 1000 of Pango's units for a pixel where
    there are 1024, and so sets raised marks 2 % too high.
    """
    ours = _picture(write(language, SENTENCES[language]).pdf)
    monkeypatch.setattr(printing, "_our_hand", nullcontext)
    theirs = _picture(write(language, SENTENCES[language]).pdf)
    ink = sum(theirs.histogram()[:128])
    difference = ImageChops.difference(ours, theirs)
    thick = difference.filter(ImageFilter.MinFilter(3))
    assert ink > 5000
    assert sum(difference.histogram()[128:]) < 0.04 * ink
    assert sum(thick.histogram()[64:]) == 0
