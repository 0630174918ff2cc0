"""Puts the panels of a card on sheets for an office printer: front, back, marks. Knows pikepdf.

The panels are drawn once and placed many times, so a sheet is hardly larger than one card. It
is made for paper: tags are lost, and the panels' own PDF is the one for screens and readers.
"""

from __future__ import annotations

import io
from collections.abc import Iterator, Sequence

import pikepdf
from pikepdf import Array, Dictionary, Name, Pdf

from compiler.layout.imposition import BLEED, Imposition, Line, Place

POINT = 72 / 25.4
"""PDF units in a millimetre (ISO 32000-1:2008, 8.3.2.3)."""
HAIR = 0.25
"""Width of a crop mark, in points."""
FLIPS = {"long": "/DuplexFlipLongEdge", "short": "/DuplexFlipShortEdge"}
"""How a sheet is turned over (ISO 32000-1:2008, table 150)."""


def impose(
    panels: bytes, sides: tuple[Sequence[int], Sequence[int]], plan: Imposition, language: str
) -> bytes:
    """The sheet as PDF of two pages. The same panels give the same bytes.

    Args:
        panels: A PDF with one panel a page, each with a bleed all around.
        sides: Which pages stand on the front and on the back of a strip, from left to right;
            -1 leaves a panel white.
        plan: Where the strips lie.
        language: BCP 47 tag of the text.
    """
    with Pdf.open(io.BytesIO(panels)) as source, Pdf.new() as sheet:
        pages = {
            number: sheet.copy_foreign(_form(source, number))
            for number in sorted({*sides[0], *sides[1]} - {-1})
        }
        for side, places in zip(sides, (plan.front, plan.back), strict=True):
            _add_page(sheet, pages, side, places, plan)
        sheet.Root.Lang = language
        sheet.Root.ViewerPreferences = Dictionary(
            DisplayDocTitle=True, Duplex=Name(FLIPS[plan.edge]), PrintScaling=Name("/None")
        )
        keys = (
            "/Title",
            "/Author",
            "/Subject",
            "/Keywords",
            "/Creator",
            "/CreationDate",
            "/ModDate",
        )
        for key in keys:
            if key in source.docinfo:
                sheet.docinfo[key] = str(source.docinfo[key])
        written = io.BytesIO()
        sheet.save(written, deterministic_id=True, object_stream_mode=_WHOLE)
        return written.getvalue()


_WHOLE = pikepdf.ObjectStreamMode.generate


def _form(source: Pdf, number: int) -> pikepdf.Object:
    """A page as a form XObject with its bleed."""
    page = source.pages[number]
    form = page.as_form_xobject()
    form.BBox = page.mediabox  # pikepdf gives the trim box, which would cut the bleed off
    left, bottom = page.mediabox[0], page.mediabox[1]
    form.Matrix = Array([1, 0, 0, 1, -left, -bottom])  # its corner is where it is put
    for key in ("/StructParents", "/StructParent"):
        if key in form:
            del form[key]
    return form


def _add_page(
    sheet: Pdf,
    pages: dict[int, pikepdf.Object],
    side: Sequence[int],
    places: Sequence[Place],
    plan: Imposition,
) -> None:
    box = [0, 0, plan.paper.width * POINT, plan.paper.height * POINT]
    content = [*_drawn(side, places, plan), *_marks(plan.marks())]
    forms = {f"/P{number}": pages[number] for number in side if number >= 0}
    page = Dictionary(
        Type=Name.Page,
        MediaBox=Array(box),
        Resources=Dictionary(XObject=Dictionary(forms)),
        Contents=sheet.make_stream("\n".join(content).encode()),
    )
    sheet.pages.append(pikepdf.Page(page))


def _drawn(side: Sequence[int], places: Sequence[Place], plan: Imposition) -> Iterator[str]:
    strip = plan.strip
    for place in places:
        yield "q"
        if place.upside_down:
            right, top = place.left + strip.width, place.bottom + strip.panel_height
            yield f"-1 0 0 -1 {_points(right, top)} cm"
        else:
            yield f"1 0 0 1 {_points(place.left, place.bottom)} cm"
        for rank, number in enumerate(side):
            if number < 0:
                continue
            # colour may run on beyond a cut, but not over a fold into the next panel
            before = BLEED if rank == 0 else 0
            after = BLEED if rank == len(side) - 1 else 0
            left = rank * strip.panel_width
            yield "q"
            yield (
                f"{_points(left - before, -BLEED)} "
                f"{_points(strip.panel_width + before + after, strip.panel_height + 2 * BLEED)}"
                " re W n"
            )
            yield f"1 0 0 1 {_points(left - BLEED, -BLEED)} cm /P{number} Do Q"
        yield "Q"


def _marks(lines: Iterator[Line]) -> Iterator[str]:
    yield f"q {HAIR} w 0 G"
    for line in lines:
        yield "[1.5 1.5] 0 d" if line.fold else "[] 0 d"
        yield f"{_points(*line.start)} m {_points(*line.end)} l S"
    yield "Q"


def _points(*lengths: float) -> str:
    return " ".join(f"{length * POINT:.4f}" for length in lengths)
