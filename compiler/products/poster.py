"""The wall poster: one page, donning beside doffing, in the largest type that fits."""

from __future__ import annotations

from dataclasses import dataclass

from compiler.findings import Finding, Mark
from compiler.layout.cutting import cut
from compiler.layout.fonts import faces_for
from compiler.model.read_parts import EMPTY_PART
from compiler.products.boxes import BlockBox, TextBox
from compiler.products.html import visible
from compiler.products.pdf import About, Laid, Press
from compiler.products.poster_fit import FOOT_GAP, Plan
from compiler.products.poster_page import PosterPage
from compiler.products.poster_remedies import overfull, too_small
from compiler.products.poster_report import PosterReport, report_on
from compiler.products.sheet import Order
from compiler.products.sheet_rules import engine_findings, font_findings
from compiler.products.theme import theme_named
from compiler.products.weights import by_weight

ATTEMPTS = 6
LITTLE = 0.2
"""Millimetres more than what a layout was too tall by: more of a page is tried next time."""
PARTS = {"donning": "putting on or for work", "doffing": "taking off", "both": "anything"}
"""What is on a poster, by what was asked for."""


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
    if not page.fitter.page.columns:
        return Made(None, (_part_not_there(order),))
    plan = page.fitter.best(page.papers)
    if plan is None:
        return Made(None, (overfull(page),))
    text = visible(page.html(plan))
    blocked = tuple(font_findings(faces, text, at, order.written_in))
    if blocked:
        return Made(None, blocked)
    regular, bold = by_weight(page.html(plan), page.css(plan))
    press = Press(cut(faces, regular, bold), {"theme": theme.folders}, theme.painted)
    laid, plan, layouts = _fitted(press, page, plan)
    if laid is None:
        return Made(None, (overfull(page),))
    made = order.protocol.valid_from
    title, tag = order.protocol.title, order.words.tag
    about = About(title, tag, made, page.imprint.about, code=order.code)
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
    spare = 0.0
    for layouts in range(1, ATTEMPTS + 1):
        laid = press.layout(page.html(plan), page.css(plan))
        if fits(laid):
            return laid, plan, layouts
        spare += excess(laid, plan) + LITTLE
        plan = page.fitter.closer(plan, spare)
    return None, plan, ATTEMPTS


def _part_not_there(order: Order) -> Finding:
    what = PARTS[order.parts]
    return Finding(
        EMPTY_PART,
        f"{order.protocol.title} has no part for {what}, so there is no poster of it.",
        Mark(order.protocol.at, "this protocol"),
        remedy="print the parts that it has: leave out --parts",
    )


def fits(laid: Laid) -> bool:
    """Whether there is one page, and the paths end above its foot."""
    if laid.pages != 1:
        return False
    foot = _named(laid, "foot")[0]
    return all(box.bottom <= foot.top for box in _columns(laid))


def excess(laid: Laid, plan: Plan) -> float:
    """Millimetres by which a layout that does not fit is too tall, as far as it tells."""
    paths, foot = _named(laid, "paths"), _named(laid, "foot")
    tall = sum(box.height for box in (*paths, *foot)) + FOOT_GAP * plan.base
    below = paths[0].top + tall - (plan.paper.height - plan.margin)
    if laid.pages == 1:
        return max(below, max(box.bottom for box in _columns(laid)) - foot[0].top)
    return max(below, 0.0)


def _named(laid: Laid, name: str) -> list[BlockBox]:
    """The box of that name, in pieces if it lies on several pages."""
    return [box for box in laid.blocks if box.name == name]


def _columns(laid: Laid) -> list[BlockBox]:
    return [box for box in laid.blocks if box.name.startswith("column-")]
