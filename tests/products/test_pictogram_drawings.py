"""The pictograms as drawn: every file is sound, and no two can be confused in print."""

from __future__ import annotations

import itertools
import re
import xml.etree.ElementTree as ElementTree
from pathlib import Path

import pypdfium2
import pytest
import weasyprint

from compiler.products.pictograms import PICTOGRAMS, mirrored

FOLDER = Path(__file__).parents[2] / "themes" / "default" / "pictograms"
NAMES = sorted(PICTOGRAMS)
SVG = "{http://www.w3.org/2000/svg}"

# Only what every engine draws alike: no text, no styles, no references, no effects.
ALLOWED = {
    "svg": {"viewBox"},
    "g": {
        "transform",
        "fill",
        "stroke",
        "stroke-width",
        "stroke-linecap",
        "stroke-linejoin",
    },
    "path": {"d", "fill", "stroke"},
    "rect": {"x", "y", "width", "height", "rx", "fill", "stroke"},
    "circle": {"cx", "cy", "r", "fill", "stroke"},
    "ellipse": {"cx", "cy", "rx", "ry", "fill", "stroke"},
    "polygon": {"points", "fill", "stroke"},
}
PAINTS = {"none", "#1b1b1b", "#fff", "#c9ced6"}

# 12 mm at 150 dots per inch: the smallest use, on the plainest office printer.
SIDE = 71

# How unlike two signs must be: the share of all inked pixels that only one of them inks,
# at the offset, up to one line's width each way, where they agree best. A print that
# spreads by SMUDGED makes a drawing up to 0.19 unlike itself, measured over the family, so
# a fifth is the least that survives a bad print. The share cannot be large: the wearer and
# the arrow are the same on purpose. Common practice, no source.
UNLIKE = 0.2
SMUDGED = "3.7"
LINE = 4

BODY = ("gown", "coverall", "apron", "clothing")
FACE = ("mask", "respirator", "powered-respirator", "goggles", "face-shield")
LOOKALIKES = [
    *((name, name.replace("-on", "-off")) for name in NAMES if name.endswith("-on")),
    *itertools.combinations([f"{garment}-on" for garment in BODY], 2),
    *itertools.combinations([f"{garment}-off" for garment in BODY], 2),
    *itertools.combinations([f"{garment}-on" for garment in FACE], 2),
    ("mask-off", "respirator-off"),
    ("goggles-off", "face-shield-off"),
    ("hood-on", "cap-on"),
    ("hood-off", "cap-off"),
    ("hood-on", "powered-respirator-on"),
    ("boots-on", "boot-covers-on"),
    ("boots-off", "boot-covers-off"),
    ("inner-gloves-on", "outer-gloves-on"),
    ("inner-gloves-off", "outer-gloves-off"),
    ("gloves-off", "inner-gloves-off"),
    ("handrub", "handwash"),
    ("handrub", "hygiene-on-gloves"),
    ("advice", "caution"),
]

# Lopsided drawings that stay as they are where reading runs from right to left, and why.
UNTURNED = {
    "handrub": "nothing moves along the line of reading",
    "handwash": "nothing moves along the line of reading",
    "hygiene-on-gloves": "nothing moves along the line of reading",
    "check": "a tick is drawn the same way in every script",
    "observer": "a tick is drawn the same way in every script",
    "assistant": "either person may stand on either side",
    "work": "a hand touches from either side",
    "wipe": "a hand wipes both ways",
    "bin": "an object without a direction",
    "mirror": "an object without a direction",
    "chair": "an object without a direction",
}


def svg_of(name: str) -> str:
    return (FOLDER / f"{name}.svg").read_text(encoding="utf-8")


def picture(svg: str, millimetres: float = 12.0) -> list[list[bool]]:
    """Rows of pixels, ink or not, as a printer without grey would set them."""
    page = (
        f"<style>@page{{size:{millimetres}mm;margin:0}}body{{margin:0}}img{{width:{millimetres}mm;"
        f"height:{millimetres}mm;display:block}}</style>"
        f"<img src='data:image/svg+xml,{svg.replace('#', '%23').replace(chr(39), '&apos;')}'>"
    )
    document = pypdfium2.PdfDocument(weasyprint.HTML(string=page).write_pdf())
    bitmap = document[0].render(scale=150 / 72, grayscale=True)
    width, stride, grey = bitmap.width, bitmap.stride, bytes(bitmap.buffer)
    rows = [
        [value < 128 for value in grey[y * stride : y * stride + width]]
        for y in range(bitmap.height)
    ]
    document.close()
    return rows


@pytest.fixture(scope="module")
def pictures() -> dict[str, list[list[bool]]]:
    return {name: picture(svg_of(name)) for name in NAMES}


def as_bits(rows: list[list[bool]], right: int = 0, down: int = 0) -> int:
    """The picture as one number, a bit a pixel, moved on a field with room around it."""
    field = SIDE + 4 * LINE
    bits = 0
    for y, row in enumerate(rows):
        for x, ink in enumerate(row):
            if ink:
                bits |= 1 << ((y + down + 2 * LINE) * field + x + right + 2 * LINE)
    return bits


def unlikeness(first: list[list[bool]], second: list[list[bool]]) -> float:
    one, field = as_bits(first), SIDE + 4 * LINE
    two = as_bits(second, -LINE, -LINE)
    return min(
        (one ^ moved).bit_count() / (one | moved).bit_count()
        for down in range(2 * LINE + 1)
        for right in range(2 * LINE + 1)
        if (moved := two << (down * field + right))
    )


def test_the_folder_holds_exactly_the_drawings_of_the_table():
    assert sorted(file.stem for file in FOLDER.iterdir()) == NAMES


@pytest.mark.parametrize("name", NAMES)
def test_a_file_is_small_and_uses_only_plain_shapes_and_three_paints(name):
    text = svg_of(name)
    root = ElementTree.fromstring(text)

    assert len(text.encode()) < 1600
    assert root.get("viewBox") == "0 0 64 64"
    for element in root.iter():
        kind = element.tag.removeprefix(SVG)
        assert element.tag.startswith(SVG)
        assert set(element.attrib) <= ALLOWED[kind]
        assert not (element.text or "").strip()
        assert not (element.tail or "").strip()
        assert {element.get("fill", "none"), element.get("stroke", "none")} <= PAINTS


@pytest.mark.parametrize("name", NAMES)
def test_there_is_one_line_weight(name):
    text = svg_of(name)

    assert re.findall(r'stroke-width="([^"]+)"', text) == ["3.2"]
    assert "scale" not in text


@pytest.mark.parametrize("name", NAMES)
def test_nothing_is_drawn_outside_the_view_box(name):
    text = svg_of(name)
    # The same scale with 16 units more to see on each side.
    rows = picture(text.replace("0 0 64 64", "-16 -16 96 96"), 18.0)
    edge = round(3 / 25.4 * 150)
    inked = [(x, y) for y, row in enumerate(rows) for x, ink in enumerate(row) if ink]

    assert min(min(spot) for spot in inked) >= edge - 1
    assert max(max(spot) for spot in inked) <= edge + SIDE


@pytest.mark.parametrize(("first", "second"), LOOKALIKES)
def test_signs_that_must_not_be_confused_differ_in_black_and_white(first, second, pictures):
    assert unlikeness(pictures[first], pictures[second]) >= UNLIKE


def test_any_two_signs_differ_more_than_a_sign_from_its_own_smudged_print(pictures):
    smudge = {
        name: unlikeness(rows, picture(svg_of(name).replace('"3.2"', f'"{SMUDGED}"')))
        for name, rows in pictures.items()
    }
    alike = [
        (first, second)
        for first, second in itertools.combinations(NAMES, 2)
        if unlikeness(pictures[first], pictures[second]) <= max(smudge[first], smudge[second])
    ]

    assert alike == []
    assert max(smudge.values()) < UNLIKE


@pytest.mark.parametrize("name", [name for name in NAMES if name.endswith("-on")])
def test_putting_on_has_a_solid_arrow_and_taking_off_an_open_one(name, pictures):
    def corner(sign: str) -> float:
        """The inked share of the upper right corner, where the arrow stands."""
        cells = [ink for row in pictures[sign][2:24] for ink in row[49:69]]
        return sum(cells) / len(cells)

    assert corner(name) > corner(name.replace("-on", "-off")) + 0.05


@pytest.mark.parametrize("name", NAMES)
def test_a_drawing_is_turned_only_if_turning_shows_and_a_lopsided_one_has_a_reason(
    name, pictures
):
    turned = unlikeness(pictures[name], [row[::-1] for row in pictures[name]])

    if mirrored(name):
        assert name not in UNTURNED
        assert turned > 0.05
    else:
        assert (turned > UNLIKE) == (name in UNTURNED)
