"""Lays sheets out and writes them as tagged PDF; the only file that knows the PDF engine."""

from __future__ import annotations

import logging
from collections.abc import Callable, Iterator, Mapping, Sequence
from contextlib import contextmanager
from dataclasses import dataclass, field
from datetime import date
from functools import lru_cache
from pathlib import Path

from compiler.layout.cutting import CutFace
from compiler.layout.fonts import Obstacle
from compiler.products.bare_fontconfig import Engine, no_installed_fonts
from compiler.products.boxes import MILLIMETRES, BlockBox, TextBox, boxes_of
from compiler.products.line_drawing import Lines, WrongFontError
from compiler.products.pango_lines import MissingLetterError
from compiler.products.repairs import draw_background_once, finish
from compiler.products.shelf import BASE, FONTS, RefusedError, Shelf

with no_installed_fonts():
    import weasyprint
    from weasyprint import draw as drawing
    from weasyprint.css.counters import CounterStyle
    from weasyprint.draw import text as text_drawing
    from weasyprint.text.ffi import pango
    from weasyprint.text.fonts import (
        FontConfiguration,
        get_hb_object_data,
        get_pango_font_hb_face,
    )
    from weasyprint.text.line_break import get_log_attrs
    from weasyprint.urls import URLFetcherResponse

LOGGER = logging.getLogger("weasyprint")
"""Where the engine complains. We listen, and add what we find ourselves."""
VARIANT = "pdf/ua-1"
"""Tagged for screen readers: ISO 14289-1:2014, PDF/UA-1."""


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
    code: str = ""
    """The check code, as `wallward trace` looks for it in a file."""


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
    """All that the engine complained of; each means that the sheet must not be printed."""
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

    Fonts, parsed style sheets, the last HTML and pictures are kept from one layout to the next,
    which saves about a third of the time of the second.
    """

    def __init__(
        self,
        faces: Sequence[CutFace],
        folders: Mapping[str, Path | tuple[Path, ...]],
        painted: Callable[[str], str] = str,
    ) -> None:
        """`folders["theme"]` is where relative addresses in HTML and CSS lead.

        Other folders are reached by name, `/set/pictures/door.png` for `folders["set"]`.
        `painted` gives pictograms the colours of the theme.
        """
        if not faces:
            raise ValueError("a sheet needs a cut face; the engine dies without any font")
        fonts = {_file_name(face): face.data for face in faces}
        if len(fonts) < len(faces):
            # the engine would set text in one file and draw it with the other
            raise ValueError("two cut faces have the same family and weight")
        self._fetcher = _Fetcher(Shelf(dict(folders), fonts, painted))
        self._fonts = FontConfiguration()
        self._counters = CounterStyle()
        self._pictures: dict[str, object] = {}
        self._last: tuple[str, Engine] | None = None
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
        with _complaints(self._fetcher) as heard:
            document = self._read(html).render(
                font_config=self._fonts,
                counter_style=self._counters,
                stylesheets=sheets,
                cache=self._pictures,
                pdf_variant=VARIANT,
            )
        if heard:
            self._pictures = {}  # a picture that failed must be complained of each time
        pages = document.pages
        texts, blocks = boxes_of(pages)
        return Laid(
            pages=len(pages),
            page_sizes=tuple((p.width * MILLIMETRES, p.height * MILLIMETRES) for p in pages),
            used_heights=tuple(_used_height(page) for page in pages),
            texts=texts,
            blocks=blocks,
            obstacles=tuple(dict.fromkeys((*obstacles, *heard))),
            document=document,
        )

    def write(self, laid: Laid, about: About) -> Written:
        """The laid sheet as PDF/UA-1. The same sheet gives the same bytes."""
        document: Engine = laid.document
        document.fonts = {}  # a font that was written once has been cut to what was in it
        said = document.metadata
        said.title, said.lang, said.generator = about.title, about.language, about.maker
        said.description = about.subject or None
        said.keywords = [f"check code {about.code}"] if about.code else []
        said.created = said.modified = about.made.isoformat() if about.made else None
        with _complaints(self._fetcher) as heard, _our_hand():
            pdf: bytes = document.write_pdf(pdf_variant=VARIANT, finisher=finish)
        obstacles = tuple(dict.fromkeys((*laid.obstacles, *heard)))
        return Written(b"" if obstacles else pdf, obstacles)

    def _read(self, html: str) -> Engine:
        if self._last is None or self._last[0] != html:
            source = weasyprint.HTML(
                string=html, base_url=BASE, url_fetcher=self._fetcher, media_type="print"
            )
            self._last = html, source
        return self._last[1]

    def _parsed(self, text: str) -> tuple[object, tuple[Obstacle, ...]]:
        if text not in self._sheets:
            with _complaints(self._fetcher) as heard:
                sheet = weasyprint.CSS(
                    string=text,
                    base_url=BASE,
                    url_fetcher=self._fetcher,
                    font_config=self._fonts,
                    counter_style=self._counters,
                )
            self._sheets[text] = sheet, tuple(heard)
        return self._sheets[text]


class _Fetcher:
    """The engine's door to the shelf. It remembers what it refused; the engine may not say."""

    _fail_on_errors = False

    def __init__(self, shelf: Shelf) -> None:
        self._shelf = shelf
        self.refused: dict[str, Obstacle] = {}

    def __call__(self, address: str) -> URLFetcherResponse:
        try:
            data, kind = self._shelf.read(address)
        except RefusedError as error:
            shown = address.removeprefix("file:///")[:80]
            self.refused[address] = Obstacle(
                f"The sheet may not use {shown}: {error}.",
                "keep pictures and styles in the theme or the protocol set",
            )
            raise
        return URLFetcherResponse(address, data, {"Content-Type": kind})


class _Listener(logging.Handler):
    def __init__(self) -> None:
        super().__init__(logging.WARNING)
        self.heard: list[str] = []

    def emit(self, record: logging.LogRecord) -> None:
        self.heard.append(record.getMessage())


@contextmanager
def _complaints(fetcher: _Fetcher) -> Iterator[list[Obstacle]]:
    """Collects what the engine logs as a warning or worse, and what it was refused."""
    listener, obstacles = _Listener(), list[Obstacle]()
    fetcher.refused.clear()
    LOGGER.addHandler(listener)
    try:
        yield obstacles
    finally:
        LOGGER.removeHandler(listener)
    obstacles.extend(fetcher.refused.values())
    obstacles.extend(
        Obstacle(f"The PDF engine says: {' '.join(message.split()).rstrip('.')}.")
        for message in listener.heard
        if not any(address in message for address in fetcher.refused)
    )


@contextmanager
def _our_hand() -> Iterator[None]:
    """Draws text by our own hand, so that it can be searched, copied and read out.

    Background pictures too, so that the file is small.
    """
    draw_text_by_engine: Callable[..., list[Engine]] = text_drawing.draw_first_line
    draw_background_by_engine: Callable[..., None] = drawing.draw_background_image
    lines = Lines(lambda font: get_hb_object_data(get_pango_font_hb_face(font)))

    def draw(
        stream: Engine, textbox: Engine, overflow: str, ellipsis: str, matrix: Engine
    ) -> list[Engine]:
        if textbox.text.strip():
            if overflow == "ellipsis" or ellipsis != "none":
                LOGGER.error("the end of %r may be cut off", textbox.text)
            layout = textbox.pango_layout
            pango.pango_layout_set_single_paragraph_mode(layout.layout, True)
            try:
                lines.draw(stream, layout, textbox.style["font_weight"], matrix)
            except MissingLetterError as missing:
                letter = missing.args[0]
                LOGGER.error("no font has %s (U+%04X)", letter, ord(letter))
            except WrongFontError as wrong:
                LOGGER.error("%s", wrong)
        return []  # no letters that are pictures

    def draw_background(stream: Engine, layer: Engine, style: Engine) -> None:
        if not draw_background_once(stream, layer, style):
            draw_background_by_engine(stream, layer, style)

    text_drawing.draw_first_line = draw
    drawing.draw_background_image = draw_background
    try:
        yield
    finally:
        text_drawing.draw_first_line = draw_text_by_engine
        drawing.draw_background_image = draw_background_by_engine


def _used_height(page: Engine) -> float:
    return float(page._page_box.children[0].margin_height() * MILLIMETRES)


def _file_name(face: CutFace) -> str:
    ending = "otf" if face.data[:4] == b"OTTO" else "ttf"
    return f"{face.family.replace(' ', '-')}-{face.weight}.{ending}"


def _font_rule(face: CutFace) -> str:
    return (
        f'@font-face {{ font-family: "{face.family}"; font-weight: {face.weight};'
        f' src: url("/{FONTS}/{_file_name(face)}") }}\n'
    )


@lru_cache(maxsize=4096)
def word_ends(word: str) -> frozenset[int]:
    """The letters of a word in an undivided script before which the engine may end a line."""
    marks = get_log_attrs(word, None)
    return frozenset(i for i in range(1, len(word)) if marks[i].is_line_break)
