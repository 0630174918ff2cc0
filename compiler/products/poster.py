"""The wall poster: one page, donning beside doffing, in the largest type that fits."""

from __future__ import annotations

from dataclasses import dataclass

from compiler.findings import Finding
from compiler.layout.cutting import cut
from compiler.layout.fonts import faces_for
from compiler.products.boxes import BlockBox, TextBox
from compiler.products.html import visible
from compiler.products.pdf import About, Laid, Press
from compiler.products.poster_fit import Plan
from compiler.products.poster_page import PosterPage
from compiler.products.poster_remedies import overfull, too_small
from compiler.products.poster_report import PosterReport, report_on
from compiler.products.sheet import Order
from compiler.products.sheet_rules import engine_findings, font_findings
from compiler.products.theme import theme_named
from compiler.products.weights import by_weight

ATTEMPTS = 6
SHRINK = 0.988
"""Between two attempts, should a layout turn out taller than its estimate."""


@dataclass(frozen=True, slots=True)
class Poster:
    """A finished poster."""

    pdf: bytes
    html: str
    css: str
    """The theme's style sheet with the sizes of this poster."""
    plan: Plan
    report: PosterReport
    texts: tuple[TextBox, ...]
    """Where every line of text lies, for those who check."""
    blocks: tuple[BlockBox, ...]


@dataclass(frozen=True, slots=True)
class Made:
    """A poster, if it could be made, and what was found on the way."""

    poster: Poster | None
    findings: tuple[Finding, ...]


def poster(order: Order) -> Made:
    """Lays out and writes one poster."""
    theme, at = theme_named(order.theme), order.protocol.at
    faces = faces_for(order.words.tag)
    if faces.obstacles:
        return Made(None, tuple(font_findings(faces, "", at)))
    page = PosterPage(order, theme, faces)
    plan = page.fitter.best(page.papers)
    if plan is None:
        return Made(None, (overfull(page),))
    text = visible(page.html(plan))
    blocked = tuple(font_findings(faces, text, at))
    if blocked:
        return Made(None, blocked)
    regular, bold = by_weight(page.html(plan), page.css(plan))
    press = Press(cut(faces, regular, bold), {"theme": theme.folder})
    laid, plan, layouts = _fitted(press, page, plan)
    if laid is None:
        return Made(None, (overfull(page),))
    made = order.protocol.valid_from
    about = About(order.protocol.title, order.words.tag, made, page.imprint.about)
    written = press.write(laid, about)
    blocked = tuple(engine_findings(written.obstacles, at))
    if blocked:
        return Made(None, blocked)
    report = report_on(plan, page.scale, page.letter, order.clinic.reading, layouts)
    css = "\n".join(page.css(plan))
    finished = Poster(written.pdf, page.html(plan), css, plan, report, laid.texts, laid.blocks)
    return Made(finished, tuple(too_small(page, plan)))


def _fitted(press: Press, page: PosterPage, plan: Plan) -> tuple[Laid | None, Plan, int]:
    """The layout that fits, its plan, and how many were needed: the estimate is verified."""
    for layouts in range(1, ATTEMPTS + 1):
        laid = press.layout(page.html(plan), page.css(plan))
        if fits(laid):
            return laid, plan, layouts
        plan = page.fitter.settled(plan.paper, plan.base * SHRINK)
    return None, plan, ATTEMPTS


def fits(laid: Laid) -> bool:
    """Whether there is one page, and the paths end above its foot."""
    if laid.pages != 1:
        return False
    boxes = {block.name: block for block in laid.blocks if block.name}
    columns = (box for name, box in boxes.items() if name.startswith("column-"))
    return all(box.bottom <= boxes["foot"].top for box in columns)
