"""Which font draws what, how fonts are cut, and how tall letters are; fontTools is the judge."""

from __future__ import annotations

import io
import shutil
import statistics
import subprocess
from functools import cache
from pathlib import Path

import pytest
from babel import Locale
from fontTools.fontBuilder import FontBuilder
from fontTools.pens.boundsPen import BoundsPen
from fontTools.pens.ttGlyphPen import TTGlyphPen
from fontTools.ttLib import TTCollection, TTFont
from fontTools.ttLib.tables.TupleVariation import TupleVariation

from compiler.layout import font_files
from compiler.layout.cutting import cut
from compiler.layout.font_files import CJK, CORE, FACE_FILES, FaceFiles, FontFile, find
from compiler.layout.fonts import Face, Faces, faces_for, follows, missing_letters
from compiler.layout.letters import TYPICAL, capital_height, letter_height, x_height
from compiler.layout.shaping import Shaper
from tests.printing.making import LANGUAGES, SENTENCES

MIXED = "Hook 30 s, 37.5 % (N95) “x” – Ω я → ✓ • / 3‑5"


def words_of(language: str) -> str:
    """Names of months and weekdays, from CLDR (Unicode) as Babel brings them."""
    locale = Locale.parse(language, sep="-")
    return "".join(
        [*locale.months["format"]["wide"].values(), *locale.days["format"]["wide"].values()]
    )


@cache
def table(file: FontFile) -> TTFont:
    data = io.BytesIO(file.path.read_bytes())
    return TTFont(data, fontNumber=file.index, lazy=True)


@pytest.mark.parametrize("language", LANGUAGES)
def test_every_language_has_a_font_for_its_own_words(language: str) -> None:
    faces = faces_for(language)
    assert faces.obstacles == ()
    text = words_of(language) + "".join(SENTENCES.get(language, [])) + MIXED
    assert missing_letters(text, faces) == ()
    for face in faces.order[:1]:
        letters = table(face.regular).getBestCmap()
        assert all(ord(sign) in letters for sign in words_of(language) if sign.isalpha())


@pytest.mark.parametrize("language", LANGUAGES)
def test_a_face_has_the_same_letters_in_both_weights(language: str) -> None:
    """What is decided for one weight then holds for the other."""
    for face in faces_for(language).order:
        regular, bold = table(face.regular).getBestCmap(), table(face.bold).getBestCmap()
        assert regular.keys() == bold.keys()


def test_a_character_no_font_has_is_told_once() -> None:
    assert missing_letters("a\U00010380b\U00010380 \u200d", faces_for("en")) == ("\U00010380",)


@pytest.mark.parametrize(
    ("region", "language"), [("SC", "zh-Hans"), ("TC", "zh-Hant"), ("KR", "ko")]
)
def test_han_letters_are_those_of_the_region(region: str, language: str) -> None:
    main = faces_for(language).order[0]
    for file in (main.regular, main.bold):
        assert table(file)["name"].getDebugName(1) == f"Noto Sans CJK {region}"


@pytest.mark.parametrize("language", LANGUAGES)
def test_no_letter_is_in_two_cuts_of_a_weight(language: str) -> None:
    """Else the engine would choose, by the order of a list. White space is free to be in all."""
    text = words_of(language) + MIXED
    cuts = cut(faces_for(language), text, text)
    for weight in (400, 700):
        seen: set[int] = set()
        for face in (face for face in cuts if face.weight == weight):
            letters = set(TTFont(io.BytesIO(face.data)).getBestCmap())
            assert not seen & letters
            seen |= {code for code in letters if not follows(chr(code))}
        assert {ord(sign) for sign in text if not follows(sign)} <= seen


def test_european_letters_and_the_rest_are_shared_out_by_rule() -> None:
    def drawing(language: str) -> str:
        faces = faces_for(language)
        return "".join(faces.order[faces.drawn_by(sign) or 0].family[9] for sign in "aя5.→✓(")

    # M main, L Latin, S signs, A arrows: Noto Sans Arabic has digits and a full stop
    assert drawing("en") == "MMMMASM"
    assert drawing("ar") == "LLMMASL"
    assert drawing("hi") == "LLMMASM"
    assert drawing("th") == "LLLLASL"
    assert drawing("zh-Hans") == "MMMMMMM"
    # Noto Sans Ethiopic has a dieresis, which must not be parted from its European letter
    faces = faces_for("am")
    assert faces.drawn_by("\u0308") == faces.drawn_by("u") == 1


def test_cuts_keep_the_widths_of_the_font() -> None:
    faces = faces_for("hi")
    for face in cut(faces, SENTENCES["hi"][0], SENTENCES["hi"][0]):
        source, small = table(FontFile(face.source)), TTFont(io.BytesIO(face.data))
        for code, name in small.getBestCmap().items():
            assert small["hmtx"][name][0] == source["hmtx"][source.getBestCmap()[code]][0]


def test_cuts_are_small_and_the_same_each_time() -> None:
    faces, text = faces_for("zh-Hans"), "".join(SENTENCES["zh-Hans"])
    first, again = cut(faces, text, ""), cut(faces, text[::-1] * 2, "")
    assert first == again
    (face,) = first
    assert len(face.data) < 30_000 < face.source.stat().st_size
    assert cut(faces, "", "") == ()


def test_the_line_of_a_cut_is_the_one_of_the_table_and_its_checksums_hold() -> None:
    """OpenType 1.9: hhea and OS/2; fontTools reads them, and reckons the checksums anew."""
    files = FACE_FILES["Aran"]
    face = next(f for f in cut(faces_for("ur"), "نظّف", "") if f.family == "Wallward Main")
    data = io.BytesIO(face.data)
    font = TTFont(data, checkChecksums=2)
    above, below = (round(share * font["head"].unitsPerEm) for share in files.line)
    assert (font["hhea"].ascent, -font["hhea"].descent) == (above, below)
    system = font["OS/2"]
    assert (system.sTypoAscender, -system.sTypoDescender) == (above, below)
    assert (system.usWinAscent, system.usWinDescent) == (above, below)
    whole = table(FontFile(face.source))["hhea"]
    assert above + below == pytest.approx(whole.ascent - whole.descent, abs=2)


def test_numbers_between_nastaliq_letters_are_those_of_the_latin_face() -> None:
    """Its own are small, and its spaces so narrow that a telephone number runs together."""
    faces = faces_for("ur")
    drawn = [faces.order[faces.drawn_by(sign) or 0].script for sign in "0.K+س۔۲"]
    assert drawn == ["Latin"] * 4 + ["Aran"] * 3


def _variable_font(path: Path) -> None:
    """A font whose only letter is 500 units wide at weight 400, and 800 at 700."""
    pen = TTGlyphPen(None)
    pen.moveTo((0, 0))
    pen.lineTo((0, 700))
    pen.lineTo((400, 0))
    pen.closePath()
    build = FontBuilder(1000, isTTF=True)
    build.setupGlyphOrder([".notdef", "x"])
    build.setupCharacterMap({ord("x"): "x"})
    build.setupGlyf({".notdef": TTGlyphPen(None).glyph(), "x": pen.glyph()})
    build.setupHorizontalMetrics({".notdef": (500, 0), "x": (500, 0)})
    build.setupHorizontalHeader(ascent=800, descent=-200)
    build.setupNameTable({"familyName": "Odd", "styleName": "Regular"})
    build.setupOS2()
    build.setupPost()
    build.setupFvar([("wght", 400, 400, 700, "Weight")], [])
    wider = [(0, 0), (0, 0), (300, 0), (0, 0), (300, 0), (0, 0), (0, 0)]
    build.setupGvar({"x": [TupleVariation({"wght": (0, 1, 1)}, wider)]})
    build.save(path)


def test_a_variable_font_is_pinned_to_each_weight(tmp_path: Path) -> None:
    _variable_font(tmp_path / "Odd[wght].ttf")
    files = FaceFiles("Odd", CORE, "Odd")
    regular, bold = (find(files, weight, (tmp_path,)) for weight in (400, 700))
    assert regular is not None
    assert bold is not None
    odd = Faces("en", (Face("Odd", "Latin", regular, bold),))
    cuts = [TTFont(io.BytesIO(face.data)) for face in cut(odd, "x", "x")]
    assert ["fvar" in font for font in cuts] == [False, False]
    assert [font["hmtx"][font.getBestCmap()[ord("x")]][0] for font in cuts] == [500, 800]
    shaper = Shaper(odd)
    assert [shaper.width("x", 1000, weight) for weight in (400, 700)] == [500, 800]


@pytest.fixture
def bare_machine(monkeypatch: pytest.MonkeyPatch) -> None:
    """No font is installed anywhere."""
    monkeypatch.setattr(font_files, "DEBIAN", ())
    monkeypatch.setattr(font_files, "usual_folders", lambda: iter(()))
    font_files.find.cache_clear()
    font_files._installed.cache_clear()
    yield
    font_files.find.cache_clear()
    font_files._installed.cache_clear()


@pytest.mark.usefixtures("bare_machine")
@pytest.mark.parametrize(("language", "packages"), [("en", {CORE}), ("zh-Hans", {CORE, CJK})])
def test_missing_files_name_the_package(language: str, packages: set[str]) -> None:
    faces = faces_for(language)
    assert faces.order == ()
    remedies = " ".join(obstacle.remedy for obstacle in faces.obstacles)
    assert {package for package in (CORE, CJK) if package in remedies} == packages
    assert all(obstacle.message.endswith(" is not installed.") for obstacle in faces.obstacles)
    assert missing_letters("ab", faces) == ("a", "b")
    assert letter_height(faces) > 0


@pytest.mark.usefixtures("bare_machine")
def test_a_missing_bold_is_an_obstacle_too(tmp_path: Path) -> None:
    shutil.copy("/usr/share/fonts/truetype/noto/NotoSans-Regular.ttf", tmp_path)
    faces = faces_for("en", folders=(tmp_path,))
    assert [o.message for o in faces.obstacles] == [
        "The font Noto Sans in bold is not installed."
    ]


@pytest.mark.parametrize(
    ("package", "stem"), [(CORE, "NotoSans-Bold.ttf"), (CJK, "NotoSansCJK-Bold.ttc")]
)
def test_the_package_brings_the_file(package: str, stem: str) -> None:
    """By the package manager's own list."""
    listed = subprocess.run(["dpkg", "-L", package], capture_output=True, text=True, check=True)
    assert stem in {Path(line).name for line in listed.stdout.splitlines()}


def test_a_themes_own_fonts_come_first(tmp_path: Path) -> None:
    for style in ("Regular", "Bold"):
        shutil.copy(f"/usr/share/fonts/truetype/noto/NotoSans-{style}.ttf", tmp_path)
    main = faces_for("en", folders=(tmp_path,)).order[0]
    assert {main.regular.path.parent, main.bold.path.parent} == {tmp_path}


def test_a_face_of_a_collection_is_found_by_name_not_by_place(tmp_path: Path) -> None:
    """Releases of the collection differ in order."""
    collection = TTCollection()
    for region in ("TC", "SC"):
        _variable_font(tmp_path / "one.ttf")
        font = table(FontFile(tmp_path / "one.ttf", weight=len(collection.fonts)))
        font["name"].setName(f"Noto Sans CJK {region}", 1, 3, 1, 0x409)
        collection.fonts.append(font)
    (tmp_path / "one.ttf").unlink()
    collection.save(tmp_path / "NotoSansCJK-Regular.ttc")
    found = find(FACE_FILES["Hans"], 400, (tmp_path,))
    assert found == FontFile(tmp_path / "NotoSansCJK-Regular.ttc", 1, 400)


def _ink(file: FontFile, letter: str) -> tuple[float, float]:
    font = table(file)
    glyphs = font.getGlyphSet()
    pen = BoundsPen(glyphs)
    glyphs[font.getBestCmap()[ord(letter)]].draw(pen)
    return pen.bounds[1] / font["head"].unitsPerEm, pen.bounds[3] / font["head"].unitsPerEm


@pytest.mark.parametrize("language", ["en", "ar", "zh-Hans"])
def test_heights_of_european_letters_are_those_the_font_declares(language: str) -> None:
    """OS/2 table, sCapHeight and sxHeight (OpenType 1.9), of the face that draws Latin."""
    faces = faces_for(language)
    system = table(faces.order[faces.drawn_by("x") or 0].regular)["OS/2"]
    assert capital_height(faces) == pytest.approx(system.sCapHeight / 1000, abs=0.01)
    assert x_height(faces) == pytest.approx(system.sxHeight / 1000, abs=0.01)


def test_han_letters_fill_the_box_that_the_font_declares() -> None:
    """BASE table, icft less icfb: the edges of the ideographic character face (OpenType 1.9)."""
    font = table(faces_for("zh-Hans").order[0].regular)
    axis = font["BASE"].table.HorizAxis
    (record,) = [r for r in axis.BaseScriptList.BaseScriptRecord if r.BaseScriptTag == "hani"]
    places = [value.Coordinate for value in record.BaseScript.BaseValues.BaseCoord]
    edges = dict(zip(axis.BaseTagList.BaselineTag, places, strict=True))
    declared = (edges["icft"] - edges["icfb"]) / font["head"].unitsPerEm
    assert letter_height(faces_for("zh-Hans")) == pytest.approx(declared, abs=0.02)


def test_devanagari_letters_reach_the_headline_that_the_font_declares() -> None:
    """OS/2 table, sCapHeight: in this face where the headline ends."""
    declared = table(faces_for("hi").order[0].regular)["OS/2"].sCapHeight / 1000
    assert letter_height(faces_for("hi")) == pytest.approx(declared, abs=0.01)


@pytest.mark.parametrize("script", sorted(TYPICAL))
def test_letter_heights_are_the_ink_of_ordinary_letters(script: str) -> None:
    """Outlines measured by fontTools; Arabic from the base line, the others from foot to head."""
    language = {
        "Arab": "ar",
        "Aran": "ur",
        "Beng": "bn",
        "Deva": "hi",
        "Ethi": "am",
        "Hans": "zh-Hans",
    }
    language |= {"Hant": "zh-Hant", "Jpan": "ja", "Kore": "ko", "Thai": "th"}
    faces = faces_for(language[script])
    inks = [_ink(faces.order[0].regular, letter) for letter in TYPICAL[script]]
    heights = [top if script in {"Arab", "Aran"} else top - foot for foot, top in inks]
    assert letter_height(faces) == pytest.approx(statistics.median(heights), abs=0.002)


def test_every_script_with_a_face_has_a_measure() -> None:
    assert FACE_FILES.keys() - TYPICAL.keys() == {"Latin", "Signs", "Arrows"}
