"""The specimen sheet: every pictogram, in its sizes, in grey, turned, with room for a test."""

import io
import re

import pikepdf
import pypdfium2
import pytest

from compiler.layout.fonts import faces_for
from compiler.model.sheet_kinds import SHEET_KINDS, Each
from compiler.products.pages import printed
from compiler.products.pictograms import PICTOGRAMS, meaning, mirrored
from compiler.products.specimen import (
    COLUMNS,
    LARGE,
    SMALL,
    UNTESTED,
    Specimen,
    greyed,
    pictograms,
)
from compiler.products.theme import theme_named
from compiler.wording.words import words
from tests.command.running import EXAMPLE, run_inside
from tests.products.step_lists import draft

LANGUAGES = ("en", "ar")


@pytest.fixture(scope="module", params=LANGUAGES)
def specimen(request):
    made = pictograms((draft("rapid-entry", request.param),))
    assert not made.findings
    document = pypdfium2.PdfDocument(made.files["pdf"])
    text = "\n".join(page.get_textpage().get_text_bounded() for page in document)
    return request.param, made.files["pdf"], " ".join(text.split())


def test_every_meaning_is_there_in_the_language_of_the_sheet(specimen):
    language, _, text = specimen
    if language == "ar":  # the reader gives letters in the order in which they are drawn
        letters = sorted(set(text))
        said = {words(language).say(meaning(name)) for name in PICTOGRAMS}
        assert len(said) == len(PICTOGRAMS)
        assert all(set(each) - set(letters) <= {" "} for each in said)
        return
    for name in PICTOGRAMS:
        assert meaning(name) in text


def test_it_says_that_nobody_has_tested_them(specimen):
    """ISO 9186-1 tests whether a sign is understood without words; these were not tested."""
    language, _, text = specimen
    if language == "en":
        assert UNTESTED in text
        assert text.count("yes") >= len(PICTOGRAMS) <= text.count(" no ")
        assert all(column in text for column in COLUMNS)
        assert "Training, fit testing and a trained observer come first" in text
        assert "Draft: not approved for use" in text
        assert "Edition" not in text, "a drawing belongs to no edition of a protocol"


def test_its_title_is_its_own(specimen):
    language, pdf, _ = specimen
    with pikepdf.open(io.BytesIO(pdf)) as document:
        assert str(document.docinfo["/Title"]) == words(language).say("Pictograms")
        assert str(document.Root.Lang) == language


def test_every_drawing_is_there_at_twelve_and_at_twenty_five_millimetres():
    """Twice in small, once more turned where direction matters, and once in large."""
    order = draft("rapid-entry", "en")
    sheet = Specimen(order, theme_named(), faces_for("en"))
    laid, _, _ = printed(sheet.document())
    boxes = [box for box in laid.blocks if {"small", "large"} & {*box.classes}]
    for name in PICTOGRAMS:
        drawn = [box for box in boxes if f"p-{name}" in box.classes]
        sizes = sorted(round(box.width, 2) for box in drawn)
        assert sizes == [SMALL] * (2 + mirrored(name)) + [LARGE]
        assert sum("turned" in box.classes for box in drawn) == mirrored(name)
        assert sum("grey" in box.classes for box in drawn) == 1
    assert (SMALL, LARGE) == (12, 25)


def test_greys_are_as_bright_as_the_colours_were():
    """Worked by hand from WCAG 2.2: red's luminance 0.2126 is the grey 0.4984 of sRGB, 127."""
    assert (
        greyed('<path fill="#ff0000" stroke="#fff"/>')
        == '<path fill="#7f7f7f" stroke="#ffffff"/>'
    )
    for name in PICTOGRAMS:
        drawn = greyed(theme_named().pictogram(name))
        for red, green, blue in re.findall("#(..)(..)(..)", drawn):
            assert red == green == blue


def test_it_is_made_only_when_asked_for_and_once_a_language(tmp_path, capsys):
    kind = SHEET_KINDS["pictograms"]
    assert (kind.each, kind.usual) == (Each.SET, False)
    ended = run_inside(
        capsys,
        "compile",
        EXAMPLE,
        "--into",
        tmp_path,
        "--product",
        "pictograms",
        "--language",
        "en",
    )
    assert ended.status == 0, ended.err
    assert [path.name for path in tmp_path.glob("*.pdf")] == ["pictograms-en.pdf"]
    assert sum(map(mirrored, PICTOGRAMS)) > 20
