"""Lays sheets out and writes them as tagged PDF; the only file that knows the PDF engine."""

from __future__ import annotations

import logging

from collections.abc import Iterator, Mapping, Sequence
from contextlib import contextmanager
from dataclasses import dataclass, field
from datetime import date

from pathlib import Path
from typing import Any

from compiler.layout.cutting import CutFace
from compiler.layout.fonts import Obstacle
from compiler.products.actual_text import Pen
from compiler.products.bare_fontconfig import no_installed_fonts
from compiler.products.boxes import MILLIMETRES, POINTS, BlockBox, TextBox, boxes_of
from compiler.products.glyphs import DrawnFont, Glyph, drawn_font, outline
from compiler.products.pango_lines import MissingLetterError, clusters_of, runs_of
from compiler.products.shelf import BASE, FONTS, IN_PLACE, Shelf

with no_installed_fonts():
    import pydyf
    import weasyprint
    from weasyprint.css.counters import CounterStyle
    from weasyprint.draw import text as drawing
    from weasyprint.text.ffi import pango
    from weasyprint.text.fonts import FontConfiguration
    from weasyprint.urls import URLFetcher, URLFetcherResponse

LOGGER = logging.getLogger("weasyprint")
"""Where the engine complains; we listen, and add what we find."""


@dataclass(frozen=True, slots=True)
class About:
    """What a PDF says of itself."""

    title: str
    language: str
    """BCP 47 tag."""
    made: date | None = None
    """The edition's date, never today's."""
    subject: str = ""
    maker: str = "Wallward"


@dataclass(frozen=True, slots=True)
class Laid:
    """A sheet with every line in its place, ready to be written."""

    pages: int
    page_sizes: tuple[tuple[float, float], ...]
    """Width and height of each page, in millimetres."""
    used_heights: tuple[float, ...]
    """Height of the content of each page, in millimetres, page margins not counted."""
    texts: tuple[TextBox, ...]
    blocks: tuple[BlockBox, ...]
    obstacles: tuple[Obstacle, ...]
    """Everything the engine complained of; each one means that the sheet must not be printed."""
    document: object = field(repr=False, compare=False)
    """The engine's own."""


@dataclass(frozen=True, slots=True)
class Written:
    """A finished PDF, or what stood in its way."""

    pdf: bytes
    """Empty if there are obstacles, so that a faulty sheet cannot be printed by mistake."""
    obstacles: tuple[Obstacle, ...] = ()


class Press:
    """Lays out and writes sheets in one set of cut fonts; keep one for all layouts of a sheet.

    Fonts, parsed style sheets and pictures are kept from one layout to the next, which saves
    about a third of the time of the second.
    """

    def __init__(self, faces: Sequence[CutFace], folders: Mapping[str, Path]) -> None:
        """`folders["theme"]` is where relative addresses in HTML and CSS lead.

        Other folders are reached by name, `/set/pictures/door.png` for `folders["set"]`.
        """
        fonts = {_file_name(face): face.data for face in faces}
        self._fetcher = _Fetcher(Shelf(dict(folders), fonts))
        self._fonts = FontConfiguration()
        self._counters = CounterStyle()
        self._pictures: dict[str, object] = {}
        self._sheets: dict[str, tuple[object, tuple[Obstacle, ...]]] = {}
        self._font_rules = "".join(map(_font_rule, faces))

    def layout(self, html: str, css: Sequence[str] = ()) -> Laid:
        """Lays out a whole HTML document with style sheets in order, the last one strongest.

        Style sheets that were given before are not parsed again, so keep what changes between
        two layouts (type sizes) in a short one of its own, at the end.
        """
        obstacles: list[Obstacle] = []
        sheets = []
        for text in (self._font_rules, *css):
            sheet, complaints = self._parsed(text)
            sheets.append(sheet)
            obstacles.extend(complaints)
        with _complaints() as heard:
            source = weasyprint.HTML(
                string=html, base_url=BASE, url_fetcher=self._fetcher, media_type="print"
            )
            document = source.render(
                font_config=self._fonts,
                counter_style=self._counters,
                stylesheets=sheets,
                cache=self._pictures,
                pdf_variant="pdf/ua-1",
            )
        if heard:
            self._pictures = {}  # a picture that failed must be complained of each time
        pages = document.pages
        texts, blocks = boxes_of(pages)
        return Laid(
            pages=len(pages),
            page_sizes=tuple((p.width * MILLIMETRES, p.height * MILLIMETRES) for p in pages),
            used_heights=tuple(_used_height(p) for p in pages),
            texts=texts,
            blocks=blocks,
            obstacles=_distinct(obstacles, heard),
            document=document,
        )

    def write(self, laid: Laid, about: About) -> Written:
        """The laid sheet as PDF/UA-1. The same sheet gives the same bytes."""
        document = laid.document
        assert isinstance(document, weasyprint.Document)
        said = document.metadata
        said.title, said.lang, said.generator = about.title, about.language, about.maker
        said.description = about.subject or None
        said.created = said.modified = about.made.isoformat() if about.made else None
        with _complaints() as heard, _readable_text():
            pdf: bytes = document.write_pdf(pdf_variant="pdf/ua-1", finisher=_finish)
        obstacles = _distinct(laid.obstacles, heard)
        return Written(b"" if obstacles else pdf, obstacles)

    def _parsed(self, text: str) -> tuple[object, tuple[Obstacle, ...]]:
        if text not in self._sheets:
            with _complaints() as heard:
                sheet = weasyprint.CSS(
                    string=text,
                    base_url=BASE,
                    url_fetcher=self._fetcher,
                    font_config=self._fonts,
                    counter_style=self._counters,
                )
            self._sheets[text] = sheet, tuple(heard)
        return self._sheets[text]


class _Fetcher(URLFetcher):  # type: ignore[misc]
    """The engine's door to the shelf."""

    def __init__(self, shelf: Shelf) -> None:
        super().__init__()
        self._shelf = shelf

    def fetch(self, url: str, headers: object = None) -> URLFetcherResponse:
        del headers
        if url.startswith(IN_PLACE):
            return super().fetch(url)
        data, kind = self._shelf.read(url)
        return URLFetcherResponse(url, data, {"Content-Type": kind})


def _file_name(face: CutFace) -> str:
    ending = "otf" if face.data[:4] == b"OTTO" else "ttf"
    return f"{face.family.replace(' ', '-')}-{face.weight}.{ending}"


def _font_rule(face: CutFace) -> str:
    return (
        f'@font-face {{ font-family: "{face.family}"; font-weight: {face.weight};'
        f' src: url("/{FONTS}/{_file_name(face)}") }}\n'
    )


class _Listener(logging.Handler):
    def __init__(self) -> None:
        super().__init__(logging.WARNING)
        self.heard: list[Obstacle] = []

    def emit(self, record: logging.LogRecord) -> None:
        self.heard.append(Obstacle(f"The PDF engine says: {record.getMessage()}"))


@contextmanager
def _complaints() -> Iterator[list[Obstacle]]:
    """Collects what the engine logs as a warning or worse."""
    listener = _Listener()
    LOGGER.addHandler(listener)
    try:
        yield listener.heard
    finally:
        LOGGER.removeHandler(listener)


def _distinct(*lists: Sequence[Obstacle]) -> tuple[Obstacle, ...]:
    return tuple(dict.fromkeys(obstacle for several in lists for obstacle in several))


def _used_height(page: weasyprint.Page) -> float:
    root = page._page_box.children[0]
    return float(root.margin_height() * MILLIMETRES)


@contextmanager
def _readable_text() -> Iterator[None]:
    """Draws text by our own hand, so that it can be searched, copied and read out."""
    drawn_by_engine = drawing.draw_first_line
    fonts: dict[str, DrawnFont] = {}

    def draw(stream: Any, textbox: Any, overflow: str, ellipsis: str, matrix: Any) -> list[Any]:
        if textbox.text.strip():
            if overflow == "ellipsis" or ellipsis != "none":
                LOGGER.error("The end of %r would be cut off.", textbox.text)
            _draw_line(stream, textbox, matrix, fonts)
        return []  # no letters that are pictures

    drawing.draw_first_line = draw
    try:
        yield
    finally:
        drawing.draw_first_line = drawn_by_engine


def _draw_line(stream: Any, textbox: Any, matrix: Any, fonts: dict[str, DrawnFont]) -> None:
    layout = textbox.pango_layout
    pango.pango_layout_set_single_paragraph_mode(layout.layout, True)
    line, _ = layout.get_first_line()
    text = layout.text.encode()
    stream.set_text_matrix(*matrix.values)
    pen, left, shapes = Pen(), 0.0, []
    for run in runs_of(line):
        font, size = stream.add_font(run.item.analysis.font)
        if font.hash not in fonts:
            fonts[font.hash] = drawn_font(font.file_content, font.to_unicode, font.widths)
        drawn = fonts[font.hash]
        # the engine may open a font twice, and then writes the tables of the last
        font.to_unicode, font.widths = drawn.meanings, drawn.widths
        stream.set_font_size(font.hash, size)
        try:
            clusters, left = clusters_of(run, text, left)
        except MissingLetterError as missing:
            LOGGER.error("No font has the letter %r of %r.", missing.args[0], textbox.text)
            return
        stream.stream.extend(pen.write(drawn, size, clusters))
        shapes.extend((font.hash, drawn, size, glyph) for glyph in pen.outlines)
    if shapes:
        stream.end_text()
        for shape in shapes:
            _draw_outline(stream, matrix, *shape)
        stream.begin_text()


def _draw_outline(
    stream: Any, line: Any, name: str, font: DrawnFont, size: float, glyph: Glyph
) -> None:
    """A glyph as a shape that is not text; each shape is in the file once."""
    name = f"{name}{glyph.code}"
    if name not in stream._resources["XObject"]:
        upem = font.face.face.upem
        frame = pydyf.Array([-4 * upem, -4 * upem, 4 * upem, 4 * upem])
        extra = {"Type": "/XObject", "Subtype": "/Form", "BBox": frame}
        shape = pydyf.Stream([outline(font, glyph.code)], extra, compress=True)
        stream._resources["XObject"][name] = shape
    scale = size / font.face.face.upem
    left, top = line.values[4] + glyph.left, line.values[5] - glyph.rise
    with stream.stacked():
        stream.transform(a=scale, d=-scale, e=left, f=top)
        stream.draw_x_object(name)


def _finish(document: Any, pdf: Any) -> None:
    """Turns the places of figures into the PDF's own coordinates; the engine leaves them in pixels."""
    for item in pdf.objects:
        if isinstance(item, dict) and item.get("S") == "/Figure":
            page = document.pages[pdf.page_references.index(item["Pg"])]
            left, top, right, bottom = item["A"]["BBox"]
            item["A"]["BBox"][:] = [
                left * POINTS,
                (page.height - bottom) * POINTS,
                right * POINTS,
                (page.height - top) * POINTS,
            ]
