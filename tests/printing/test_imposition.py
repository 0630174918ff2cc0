"""Cards on a sheet: the arithmetic of places, and front and back as they meet on real paper."""

from __future__ import annotations

import io
from functools import cache

import numpy
import pikepdf
import pypdfium2
import pytest
from hypothesis import given
from hypothesis import strategies as st

from compiler.layout.imposition import BLEED, MARK, UNPRINTABLE, Strip, imposed, most_panels
from compiler.layout.paper import CARDS, PAPERS
from compiler.products.card import card
from compiler.products.imposed import impose
from tests.printing.posters import order

DESKS = [PAPERS["A4"], PAPERS["Letter"]]
PER_MILLIMETRE = 20
EXACT = 0.1
"""Millimetres by which front and back may miss each other."""


def test_the_panels_have_the_sizes_of_the_standards():
    # ISO/IEC 7810:2019 gives ID-1 as 85.60 by 53.98 mm; ISO 216:2007 gives A7 and A6.
    sizes = {name: (card.height, card.width) for name, card in CARDS.items()}

    assert sizes == {"ID-1": (85.60, 53.98), "A7": (105, 74), "A6": (148, 105)}


strips = st.builds(
    Strip,
    st.sampled_from([card.width for card in CARDS.values()]),
    st.sampled_from([card.height for card in CARDS.values()]),
    st.integers(1, 6),
)


@given(strips, st.sampled_from(DESKS), st.sampled_from(["long", "short"]))
def test_cards_and_marks_stay_on_the_paper_and_off_each_other(strip, paper, edge):
    plan = imposed(paper, strip, edge)
    if plan is None:
        return
    width, height = strip.width, strip.panel_height
    for side in (plan.front, plan.back):
        assert len(side) == len(set(side)) == plan.cards
        for place in side:
            assert place.left - BLEED >= UNPRINTABLE
            assert place.left + width + BLEED <= plan.paper.width - UNPRINTABLE
            assert place.bottom - BLEED >= UNPRINTABLE
            assert place.bottom + height + BLEED <= plan.paper.height - UNPRINTABLE
        for a, b in ((a, b) for a in side for b in side if a != b):
            beside = abs(a.left - b.left) >= width + 2 * BLEED - 1e-6
            above = abs(a.bottom - b.bottom) >= height + 2 * BLEED - 1e-6
            assert beside or above, "the bleeds of two cards overlap"
    for line in plan.marks():
        xs, ys = zip(line.start, line.end, strict=True)
        assert min(xs) >= UNPRINTABLE
        assert max(xs) <= plan.paper.width - UNPRINTABLE
        assert min(ys) >= UNPRINTABLE
        assert max(ys) <= plan.paper.height - UNPRINTABLE
        for place in plan.front:
            outside = (
                max(xs) <= place.left - BLEED + 1e-6
                or min(xs) >= place.left + width + BLEED - 1e-6
                or max(ys) <= place.bottom - BLEED + 1e-6
                or min(ys) >= place.bottom + height + BLEED - 1e-6
            )
            assert outside, "a mark lies on a card or its bleed"


@pytest.mark.parametrize("paper", DESKS, ids=lambda paper: paper.name)
@pytest.mark.parametrize("name", CARDS)
def test_the_longest_strip_fits_and_one_panel_more_does_not(name, paper):
    panel = CARDS[name]
    most = most_panels(paper, panel.width, panel.height)

    assert imposed(paper, Strip(panel.width, panel.height, most), "long")
    assert imposed(paper, Strip(panel.width, panel.height, most + 1), "long") is None


def test_a_sheet_gives_as_many_cards_as_counting_by_hand_does():
    # By hand: 297 - 2 * (4 + 4 + 3) = 275 mm hold two strips of 2 * 53.98 mm with 6 mm between
    # them, and 210 - 22 = 188 mm hold two rows of 85.60 mm: four cards, lying. Upright 188 mm
    # hold one strip, and 275 mm hold three rows.
    plan = imposed(PAPERS["A4"], Strip(53.98, 85.60, 2), "long")

    assert (plan.columns, plan.rows, plan.paper.upright) == (2, 2, False)


@cache
def printed(size: str, flip: str, language: str = "en", paper: str = "A4"):
    made = card((order("rapid-entry", language, card=size, flip=flip, paper=paper),))
    assert made.findings == ()
    return drawn(made.files["print.pdf"])


def drawn(pdf: bytes):
    """Front and back as grey pictures."""
    scale = PER_MILLIMETRE * 25.4 / 72
    document = pypdfium2.PdfDocument(pdf)
    front, back = (
        page.render(scale=scale, grayscale=True).to_numpy().squeeze() for page in document
    )
    return front, back


def turned_over(back, flip: str):
    """The back as light shining through the sheet would show it from the front.

    A sheet turned about an upright edge swaps left and right; about a level one, top and bottom.
    """
    upright_edge_is_long = back.shape[0] > back.shape[1]
    about_an_upright_edge = upright_edge_is_long == (flip == "long")
    return back[:, ::-1] if about_an_upright_edge else back[::-1, :]


def runs(line) -> list[float]:
    """The middles of the dark stretches of a line of pixels, in millimetres."""
    edges = numpy.flatnonzero(numpy.diff(numpy.concatenate(([0], line.astype(int), [0]))))
    return [(a + b) / 2 / PER_MILLIMETRE for a, b in zip(edges[::2], edges[1::2], strict=True)]


@pytest.mark.parametrize("flip", ["long", "short"])
@pytest.mark.parametrize(("size", "paper"), [("ID-1", "A4"), ("A7", "Letter")])
def test_the_marks_of_front_and_back_meet(size, paper, flip):
    front, back = printed(size, flip, paper=paper)
    through = turned_over(back, flip)
    for axis in (0, 1):
        # marks are all that is dark beside the cards: look along lines that cross only marks
        marks = [
            runs(numpy.take(image, at, axis=axis) < 128)
            for image in (front, through)
            for at in mark_lines(front, axis)
        ]
        half = len(marks) // 2
        assert any(marks), "no marks were seen"
        for one, other in zip(marks[:half], marks[half:], strict=True):
            assert len(one) == len(other) > 0
            assert one == pytest.approx(other, abs=EXACT)


def mark_lines(image, axis: int) -> list[int]:
    """Where the first marks begin and the last end, seen from both edges of the paper."""
    dark = numpy.flatnonzero((image < 128).any(axis=1 - axis))
    inside = round(MARK / 2 * PER_MILLIMETRE)
    return [dark[0] + inside, dark[-1] - inside]


def grey_panels(width: float, height: float, count: int) -> bytes:
    """Panels that are grey to the end of their bleed, and black at the head."""
    points = 72 / 25.4
    with pikepdf.new() as pdf:
        for _ in range(count):
            size = ((width + 2 * BLEED) * points, (height + 2 * BLEED) * points)
            page = pdf.add_blank_page(page_size=size)
            fill = "{} g 0 {:.4f} {:.4f} {:.4f} re f"
            grey, black = fill.format(0.5, 0, *size), fill.format(0, size[1] - 40, *size)
            page.contents_add(f"{grey} {black}".encode())
        written = io.BytesIO()
        pdf.save(written)
        return written.getvalue()


@pytest.mark.parametrize("flip", ["long", "short"])
@pytest.mark.parametrize("count", [1, 2])
def test_the_cards_of_front_and_back_meet(flip, count):
    """The grey of a card ends with its bleed, 3 mm beyond the cut, in front and behind."""
    panel = CARDS["A7"]
    plan = imposed(PAPERS["A4"], Strip(panel.width, panel.height, count), flip)
    sides = list(range(count)), list(range(count, 2 * count))
    panels = grey_panels(panel.width, panel.height, 2 * count)
    front, back = drawn(impose(panels, sides, plan, "en"))
    through = turned_over(back, flip)
    for axis in (0, 1):
        ends = [runs_of_grey(image, axis) for image in (front, through)]
        assert len(ends[0]) == len(ends[1]) == 2, "the bleeds of neighbours touch"
        assert ends[0] == pytest.approx(ends[1], abs=EXACT)
    wide = numpy.diff(runs_of_grey(front, 0))[0]
    assert wide == pytest.approx(plan.columns * (count * panel.width + 2 * BLEED), abs=EXACT)


@pytest.mark.parametrize("flip", ["long", "short"])
@pytest.mark.parametrize("count", [1, 2, 3])
def test_a_card_turned_like_the_page_of_a_book_stays_upright(flip, count):
    panel = CARDS["ID-1"]
    plan = imposed(PAPERS["A4"], Strip(panel.width, panel.height, count), flip)
    sides = list(range(count)), list(range(count, 2 * count))
    front, back = drawn(
        impose(grey_panels(panel.width, panel.height, 2 * count), sides, plan, "en")
    )
    heads = [
        numpy.flatnonzero((image < 60).sum(axis=1) > 20 * PER_MILLIMETRE)
        for image in (front, turned_over(back, flip))
    ]

    assert len(heads[0]) > 0
    assert heads[0].tolist() == pytest.approx(heads[1].tolist(), abs=EXACT * PER_MILLIMETRE)


def test_each_card_shows_its_panels_just_as_they_are():
    made = card((order("high-consequence", "en", card="A7", paper="A4"),))
    panel, points = CARDS["A7"], 72 / 25.4
    document = pypdfium2.PdfDocument(made.files["pdf"])
    document[0].set_cropbox(0, 0, panel.width * points, panel.height * points)
    alone = document[0].render(scale=4, grayscale=True).to_numpy().squeeze()
    plan = imposed(PAPERS["A4"], Strip(panel.width, panel.height, 2), "long")
    sheet = pypdfium2.PdfDocument(made.files["print.pdf"])
    for place in plan.front:
        left, bottom = place.left * points, place.bottom * points
        sheet[0].set_cropbox(
            left, bottom, left + panel.width * points, bottom + panel.height * points
        )
        shown = sheet[0].render(scale=4, grayscale=True).to_numpy().squeeze()

        assert shown.shape == alone.shape
        assert numpy.mean((shown < 128) != (alone < 128)) < 0.02


def runs_of_grey(image, axis: int) -> list[float]:
    """Where grey begins and ends along an axis, in millimetres."""
    grey = (image < 160).sum(axis=axis) > 5 * PER_MILLIMETRE
    edges = numpy.flatnonzero(numpy.diff(numpy.concatenate(([0], grey.astype(int), [0]))))
    return [edge / PER_MILLIMETRE for edge in edges]


def test_either_edge_shows_the_same_back_one_upside_down():
    long, short = (printed("ID-1", flip)[1] < 128 for flip in ("long", "short"))

    assert numpy.mean(long[::-1, ::-1] != short) < 0.005, "the one is the other turned by half"
    assert numpy.mean(long != short) > 0.02


def test_the_printer_is_told_how_to_turn_the_sheet():
    for flip, name in (("long", "/DuplexFlipLongEdge"), ("short", "/DuplexFlipShortEdge")):
        made = card((order("rapid-entry", "en", card="A7", flip=flip),))
        with pikepdf.open(io.BytesIO(made.files["print.pdf"])) as pdf:
            assert pdf.Root.ViewerPreferences.Duplex == name
            assert pdf.Root.ViewerPreferences.PrintScaling == "/None"
