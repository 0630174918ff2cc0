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


@dataclass(frozen=True, slots=True)
class Setting:
    """A document in a press with its fonts: laid out as often as need be, and written once."""

    document: Document
    press: Press

    def laid(self, css: Sequence[str]) -> Laid:
        """The sheet in a style like that of the document, in another size for instance."""
        return self.press.layout(self.document.html, css)

    def written(self, laid: Laid) -> tuple[bytes, tuple[Finding, ...]]:
        """The PDF; no bytes and the reasons if it must not be printed."""
        order, title = self.document.order, self.document.title
        said = imprint(order)
        about = About(
            title or said.title,
            said.language,
            order.protocol.valid_from,
            "" if title else said.about,
            code=order.code,
        )
        written = self.press.write(laid, about)
        return written.pdf, tuple(engine_findings(written.obstacles, order.protocol.at))


def setting(document: Document) -> tuple[Setting | None, tuple[Finding, ...]]:
    """The document with its fonts cut; nothing, and the reasons, if letters are missing."""
    order, html, css, faces = document.order, document.html, document.css, document.faces
    text = visible(html) + document.margins
    if blocked := tuple(font_findings(faces, text, order.protocol.at, order.written_in)):
        return None, blocked
    regular, bold = by_weight(html, css)
    cuts = cut(faces, regular + document.margins, bold + document.margins)
    press = Press(cuts, {"theme": document.theme.folders}, document.theme.painted)
    return Setting(document, press), ()


def printed(document: Document) -> tuple[Laid | None, bytes, tuple[Finding, ...]]:
    """The laid sheet and its PDF; no bytes and the reasons if it must not be printed."""
    found, blocked = setting(document)
    if found is None:
        return None, b"", blocked
    laid = found.laid(document.css)
    return laid, *found.written(laid)
