"""The trained observer's tick sheet: every step, with room for time, initials, breaches."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from math import atan2, degrees

from compiler.layout.fonts import Faces, faces_for
from compiler.layout.legibility import reading_distance, type_size
from compiler.layout.letters import letter_height
from compiler.layout.paper import PAPERS, Paper, desk_paper, paper_named
from compiler.products.html import fill, qr_address, with_values
from compiler.products.outcome import Outcome
from compiler.products.pages import Document, printed
from compiler.products.sheet import Order
from compiler.products.sheet_rules import font_findings
from compiler.products.steps_listing import StepList, nothing_listed, step_list
from compiler.products.steps_margins import Margins
from compiler.products.theme import Theme, theme_named
from compiler.products.typesetting import taller

FIELDS = ("Date", "Room", "Wearer", "Observer", "Start", "End")
"""What is filled in at the head of each part."""
COLUMNS = ("Step", "Done", "Time", "Initials", "Breach and site", "Note")
CONFIRM = "Confirm before the next step"
BREACH = "If you see a breach, say {stop} at once. Follow your facility's policy."
SPOKEN = ("Observer sheet", *FIELDS, *COLUMNS, CONFIRM, BREACH, "Signature", "Page size")
"""Fixed words that this file asks the catalogue for."""


def observer(orders: tuple[Order, ...]) -> Outcome:
    """One tick sheet."""
    order = orders[0]
    theme, faces = theme_named(order.theme), faces_for(order.words.tag)
    listed = step_list(order)
    if not listed.parts:
        return Outcome(findings=(nothing_listed(order, "tick sheet"),))
    if faces.obstacles:
        return Outcome(findings=tuple(font_findings(faces, "", order.protocol.at)))
    sheet = TickSheet(order, listed, theme, faces)
    laid, pdf, blocked = printed(sheet.document())
    if blocked or laid is None:
        return Outcome(findings=blocked, layouts=1)
    pages = f"{laid.pages} page" + ("s" if laid.pages > 1 else "")
    far = reading_distance(sheet.base * letter_height(faces))
    return Outcome(
        {"pdf": pdf}, f"{sheet.paper.name}, {pages}, steps to {far:.2f} m", layouts=1
    )


@dataclass(frozen=True, slots=True)
class TickSheet:
    """One tick sheet, before it is laid out."""

    order: Order
    listed: StepList
    theme: Theme
    faces: Faces

    @property
    def paper(self) -> Paper:
        """Office paper, upright unless asked for on its side."""
        desk = desk_paper(
            paper_named(self.order.paper or self.order.clinic.paper) or PAPERS["A4"]
        )
        return desk.landscape if self.order.orientation == "landscape" else desk.portrait

    @property
    def base(self) -> float:
        """Type size in millimetres."""
        return type_size(self.order.clinic.reading.card, letter_height(self.faces))

    def document(self) -> Document:
        """The words and the style."""
        said, say = self.listed.sheet, self.order.words.say
        stop = self.order.words.quote(say("stop"))
        margins = Margins(said, self.order.words, self.theme, self.paper, self.faces, self.base)
        where = (f"{p.title}{s.area}" for p in self.listed.parts for s in p.stretches)
        html = fill(
            self.theme,
            "observer.html",
            said.direction,
            {
                "sheet": said,
                "facts": self.listed.facts,
                "parts": self.listed.parts,
                "name": say("Observer sheet"),
                "fields": [say(field) for field in FIELDS],
                "columns": [say(column) for column in COLUMNS],
                "confirm": say(CONFIRM),
                "breach": say(BREACH, stop=stop),
                "signature": say("Signature"),
                "size": f"{say('Page size')}: {self.paper.name}",
                "qr": qr_address(self.order.link),
            },
        )
        letters = margins.letters() + "".join(where)
        css = self._css(margins)
        return Document(self.order, self.theme, self.faces, html, css, letters)

    def _css(self, margins: Margins) -> Sequence[str]:
        css = self.theme.css("observer.css")
        of, tall = self.theme.number, taller(self.theme, self.order.words.tag)
        values: dict[str, str | float] = {
            **self.theme.colours,
            "family": self.faces.families,
            "line height": f"{of('observer/line') * tall:.4f}",
            "title": of("steps/title"),
            "part": of("steps/part"),
            "row": f"{of('observer/row')}mm",
            "box": f"{of('observer/box')}mm",
            "code": of("steps/code"),
        }
        across, down = self.paper.width, self.paper.height
        angle = f"transform: rotate(-{degrees(atan2(down, across)):.1f}deg)"
        return with_values(css, values), f"{margins.css()}.draft {{ {angle} }}\n"
