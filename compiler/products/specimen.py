"""The pictograms on paper, each in its sizes, in grey and turned, to be shown to readers."""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import dataclass, replace
from functools import cached_property
from math import atan2, degrees
from urllib.parse import quote

from compiler.layout.contrast import grey_of
from compiler.layout.fonts import Faces, faces_for
from compiler.layout.legibility import type_size
from compiler.layout.letters import letter_height
from compiler.layout.paper import PAPERS, Paper, desk_paper, paper_named
from compiler.products.html import fill, with_values
from compiler.products.outcome import Outcome
from compiler.products.pages import Document, printed
from compiler.products.pictograms import PICTOGRAMS, meaning, mirrored
from compiler.products.sheet import Imprint, Order, imprint
from compiler.products.sheet_rules import font_findings
from compiler.products.steps_margins import Margins
from compiler.products.theme import Theme, theme_named
from compiler.products.typesetting import taller

TITLE = "Pictograms"
COLUMNS = ("12 mm", "Grey", "Turned", "25 mm", "Meaning", "Understood")
UNTESTED = "These pictograms have not been tested with readers."
HOW = "Show a drawing without its words, ask what it means, and tick whether it was understood."
SPOKEN = (TITLE, *COLUMNS, UNTESTED, HOW, "yes", "no", "Date", "Page size")
"""Fixed words that this file asks the catalogue for."""
SMALL, LARGE = 12, 25
"""Millimetres: the smallest use, and that of a poster."""
COLOUR = re.compile("#[0-9a-f]{6}|#fff(?![0-9a-f])")


def pictograms(orders: tuple[Order, ...]) -> Outcome:
    """One specimen sheet."""
    order = orders[0]
    theme, faces = theme_named(order.theme), faces_for(order.words.tag)
    if faces.obstacles:
        return Outcome(findings=tuple(font_findings(faces, "", order.protocol.at)))
    sheet = Specimen(order, theme, faces)
    laid, pdf, blocked = printed(sheet.document())
    if blocked or laid is None:
        return Outcome(findings=blocked, layouts=1)
    told = f"{sheet.paper.name}, {laid.pages} pages, {len(PICTOGRAMS)} pictograms, not tested"
    return Outcome({"pdf": pdf}, told, layouts=1)


@dataclass(frozen=True)
class Specimen:
    """One specimen sheet, before it is laid out."""

    order: Order
    theme: Theme
    faces: Faces

    @property
    def paper(self) -> Paper:
        """Office paper, upright."""
        wanted = paper_named(self.order.paper or self.order.clinic.paper) or PAPERS["A4"]
        return desk_paper(wanted).portrait

    @property
    def base(self) -> float:
        """Type size in millimetres."""
        return type_size(self.order.clinic.reading.card, letter_height(self.faces))

    @cached_property
    def said(self) -> Imprint:
        """Heading and footer: drawings belong to no protocol and to no edition of one."""
        said, title = imprint(self.order), self.order.words.say(TITLE)
        return replace(said, title=title, about="", edition="", valid_from="", review_by="")

    def document(self) -> Document:
        """The words and the style."""
        said, say = self.said, self.order.words.say
        margins = Margins(said, self.order.words, self.theme, self.paper, self.faces, self.base)
        html = fill(
            self.theme,
            "specimen.html",
            said.direction,
            {
                "sheet": said,
                "untested": say(UNTESTED),
                "how": say(HOW),
                "date": say("Date"),
                "columns": [say(column) for column in COLUMNS],
                "rows": [(name, say(meaning(name)), mirrored(name)) for name in PICTOGRAMS],
                "rtl": said.direction == "rtl",
                "answers": (say("yes"), say("no")),
                "size": f"{say('Page size')}: {self.paper.name}",
            },
        )
        css = self._css(margins)
        letters = margins.letters()
        return Document(self.order, self.theme, self.faces, html, css, letters, said.title)

    def _css(self, margins: Margins) -> Sequence[str]:
        of = self.theme.number
        line = of("observer/line") * taller(self.theme, self.order.words.tag)
        values: dict[str, str | float] = {
            **self.theme.colours,
            "family": self.faces.families,
            "line height": f"{line:.4f}",
            "title": of("steps/title"),
            "small": f"{SMALL}mm",
            "large": f"{LARGE}mm",
            "box": f"{of('observer/box')}mm",
        }
        angle = (
            f"transform: rotate(-{degrees(atan2(self.paper.height, self.paper.width)):.1f}deg)"
        )
        page = f"{margins.css()}.draft {{ {angle} }}\n"
        return with_values(self.theme.css("specimen.css"), values) + self._drawings(), page

    def _drawings(self) -> str:
        return "".join(self._drawing(name) for name in PICTOGRAMS)

    def _drawing(self, name: str) -> str:
        grey = quote(greyed(self.theme.pictogram(name)))
        return (
            f'.p-{name} {{ background-image: url("pictograms/{name}.svg"); }}\n'
            f'.p-{name}.grey {{ background-image: url("data:image/svg+xml,{grey}"); }}\n'
        )


def greyed(drawing: str) -> str:
    """A drawing as a printer without colour shows it: each paint as a grey as bright.

    >>> greyed('<path fill="#ff0000"/>')
    '<path fill="#7f7f7f"/>'
    """
    return COLOUR.sub(lambda found: grey_of(_long(found[0])), drawing)


def _long(colour: str) -> str:
    return colour if len(colour) == 7 else "#" + "".join(c * 2 for c in colour[1:])
