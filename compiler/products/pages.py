"""From a document to a finished PDF: fonts cut, laid out once, written; or what forbids it."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from compiler.findings import Finding
from compiler.layout.cutting import cut
from compiler.layout.fonts import Faces
from compiler.products.html import visible
from compiler.products.pdf import About, Laid, Press
from compiler.products.sheet import Order, imprint
from compiler.products.sheet_rules import engine_findings, font_findings
from compiler.products.theme import Theme
from compiler.products.weights import by_weight


@dataclass(frozen=True, slots=True)
class Document:
    """A sheet of one layout, ready to be printed."""

    order: Order
    theme: Theme
    faces: Faces
    html: str
    css: Sequence[str]
    margins: str = ""
    """What style sheets print in the margins: fonts are cut for these letters too."""
    title: str = ""
    """Where it is not that of the protocol."""


def printed(document: Document) -> tuple[Laid | None, bytes, tuple[Finding, ...]]:
    """The laid sheet and its PDF; no bytes and the reasons if it must not be printed."""
    order, html, css = document.order, document.html, document.css
    faces, at = document.faces, order.protocol.at
    text = visible(html) + document.margins
    if blocked := tuple(font_findings(faces, text, at, order.written_in)):
        return None, b"", blocked
    regular, bold = by_weight(html, css)
    cuts = cut(faces, regular + document.margins, bold + document.margins)
    press = Press(cuts, {"theme": document.theme.folders}, document.theme.painted)
    laid = press.layout(html, css)
    said = imprint(order)
    about = About(
        document.title or said.title,
        said.language,
        order.protocol.valid_from,
        "" if document.title else said.about,
        code=order.code,
    )
    written = press.write(laid, about)
    return laid, written.pdf, tuple(engine_findings(written.obstacles, at))
