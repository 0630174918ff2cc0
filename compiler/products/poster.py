"""The wall poster: one page, donning beside doffing, in the largest type that the page can hold."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from functools import cached_property
from math import atan2, degrees

from compiler.findings import Finding
from compiler.layout.cutting import cut
from compiler.layout.fitting import Stack
from compiler.layout.fonts import Faces, faces_for
from compiler.layout.letters import letter_height
from compiler.layout.paper import PAPERS, Paper, paper_named
from compiler.products.boxes import BlockBox, TextBox
from compiler.products.html import (
    fill,
    pictogram_rules,
    qr_address,
    rail_rules,
    visible,
    with_values,
)
from compiler.products.pdf import About, Laid, Press
from compiler.products.pictograms import PICTOGRAMS, mirrored
from compiler.products.poster_fit import (
    FOOT_GAP,
    PATHS_GAP,
    Fitter,
    Limits,
    Page,
    Plan,
    foot_block,
    head_block,
    limits_for,
)
from compiler.products.poster_parts import Column, columns_of, measures_for
from compiler.products.poster_pieces import WAY_PADDING
from compiler.products.poster_report import PosterReport, report_on, too_small, overfull
from compiler.products.sheet import Imprint, Order, imprint
from compiler.products.sheet_rules import engine_findings, font_findings
from compiler.products.theme import Theme, theme_named
from compiler.products.typesetting import BOLD, Scale, Typesetter, scale_for

ATTEMPTS = 6
SHRINK = 0.988
"""Between two attempts, should a layout turn out taller than its estimate."""


@dataclass(frozen=True, slots=True)
class Poster:
    """A finished poster."""

    pdf: bytes
    html: str
    css: str
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
    theme = theme_named(order.theme)
    faces = faces_for(order.words.tag)
    work = _Work(order, theme, faces)
    at = order.protocol.at
    plan = work.fitter.best(work.papers)
    if plan is None:
        return Made(None, (overfull(work.fitter, work.papers, order),))
    findings = [*too_small(work.fitter, plan, order)]
    html = work.html(plan)
    blocked = [*font_findings(faces, visible(html), at)]
    if blocked:
        return Made(None, (*findings, *blocked))
    press = Press(cut(faces, visible(html), visible(html)), {"theme": theme.folder})
    for attempt in range(1, ATTEMPTS + 1):
        css = work.css(plan)
        laid = press.layout(html, css)
        if _fits(laid):
            break
        plan = work.fitter.settled(plan.paper, plan.base * SHRINK)
        html = work.html(plan)
    else:
        return Made(None, (*findings, overfull(work.fitter, work.papers, order)))
    made = order.protocol.valid_from
    written = press.write(
        laid, About(order.protocol.title, order.words.tag, made, work.imprint.about)
    )
    blocked = [*engine_findings(written.obstacles, at)]
    if blocked:
        return Made(None, (*findings, *blocked))
    report = report_on(plan, work.fitter.limits, work.scale, work.letter, order, attempt)
    return Made(
        Poster(written.pdf, html, "\n".join(css), plan, report, laid.texts, laid.blocks),
        tuple(findings),
    )


class _Work:
    """Everything about one poster that does not depend on the type size."""

    def __init__(self, order: Order, theme: Theme, faces: Faces) -> None:
        self.order, self.theme, self.faces = order, theme, faces
        reading = order.clinic.reading
        self.scale: Scale = scale_for(theme, order.words.tag, reading)
        self.letter = letter_height(faces)
        self.imprint: Imprint = imprint(order)
        self.typesetter = Typesetter(faces, self.scale, order.words.tag)
        self.measures = measures_for(theme, self.scale)
        paper = paper_named(order.paper or order.clinic.paper) or PAPERS["A4"]
        both = (paper.portrait, paper.landscape)
        only = {"portrait": both[:1], "landscape": both[1:]}
        self.papers: tuple[Paper, ...] = only.get(order.orientation, both)
        columns = columns_of(order, self.typesetter, self.measures)
        limits: Limits = limits_for(reading, self.letter, self.scale)
        self.fitter = Fitter(theme, self._page(columns), limits)

    def _page(self, columns: tuple[Column, ...]) -> Page:
        said, set_ = self.imprint, self.typesetter
        name = Stack((set_.title(said.title), set_.detail(said.about)))
        whose = Stack((set_.detail(said.clinic, BOLD), set_.detail(said.own_name)))
        notices = set_.detail(" · ".join(said.notices), BOLD) if said.notices else None
        duty = Stack(
            (
                set_.detail(said.caution, BOLD),
                set_.detail(said.clinic),
                set_.detail(said.contact),
            )
        )
        dates = Stack(
            tuple(
                set_.detail(words)
                for words in (said.title, said.edition, said.valid_from, said.review_by)
            )
        )
        paper = set_.detail(self._size(self.papers[-1]))
        trace = Stack((set_.detail(said.code), paper, set_.detail(said.own_name)))
        code = self.theme.number("poster/code")
        return Page(
            head_block(name, whose, notices), columns, foot_block(code, duty, dates, trace)
        )

    def _size(self, paper: Paper) -> str:
        say = self.order.words.say
        side = say("portrait" if paper.upright else "landscape")
        return f"{say('Page size')}: {paper.name}, {side}"

    def html(self, plan: Plan) -> str:
        """The document at a plan's widths."""
        return fill(
            self.theme,
            "poster.html",
            self.imprint.direction,
            {
                "sheet": self.imprint,
                "qr": qr_address(self.order.link),
                "paper": self._size(plan.paper),
                "turned": self._turned(),
                "columns": [
                    {
                        "width": round(width, 3),
                        "parts": [part.shown(width) for part in column.parts],
                    }
                    for column, width in zip(self.fitter.page.columns, plan.widths, strict=True)
                ],
            },
        )

    def css(self, plan: Plan) -> Sequence[str]:
        """The theme's style sheet with its values, and the sizes of this plan."""
        return self._style, with_values(SIZES, _sizes(plan, self._draft_size(plan))) + _airs(
            plan
        )

    @cached_property
    def _style(self) -> str:
        base = (self.theme.folder / "poster.css").read_text(encoding="utf-8")
        values = {**self.theme.colours, **self._lengths()}
        rules = pictogram_rules(PICTOGRAMS), rail_rules(self.theme)
        return "\n".join((with_values(base, values), *rules))

    def _lengths(self) -> dict[str, str | float]:
        scale, m = self.scale, self.measures
        code = self.theme.number("poster/code")
        start = m.rail + m.indent
        return {
            "family": self.faces.families,
            "lead": scale.lead,
            "title": scale.title,
            "text line height": f"{scale.text_line:.4f}",
            "lead line height": f"{scale.lead_line / scale.lead:.4f}",
            "title line height": f"{scale.title_line / scale.title:.4f}",
            "rail": m.rail,
            "indent": m.indent,
            "over rail": -start,
            "number": m.number,
            "sign": m.sign,
            "sign column": m.sign + m.gap,
            "narrow sign": m.narrow_sign,
            "narrow column": m.narrow_sign + m.gap,
            "narrow beat column": WAY_PADDING + m.narrow_sign + m.gap,
            "beat sign": m.beat_sign,
            "beat start": start + m.number,
            "beat column": start + m.before_text,
            "slim number": m.slim_number,
            "slim start": start,
            "slim column": start + m.slim_number,
            "gap": m.gap,
            "drop": m.drop,
            "between": m.between,
            "code": code,
            "code column": code + 1.2,
        }

    def _draft_size(self, plan: Plan) -> float:
        """As large as the word can be across the sheet."""
        word = self.imprint.draft
        if not word:
            return 1.0
        long = (plan.paper.width**2 + plan.paper.height**2) ** 0.5 / plan.base
        return min(0.66 * long / self.typesetter.width(word, 1.0, BOLD), long / 5)

    def _turned(self) -> frozenset[str]:
        if self.imprint.direction != "rtl":
            return frozenset()
        return frozenset(name for name in PICTOGRAMS if mirrored(name))


SIZES = """
@page { size: var(--page-width) var(--page-height); margin: var(--margin); }
html { font-size: var(--base); }
.paths { height: var(--room); }
.draft { font-size: var(--draft-size); transform: rotate(var(--draft-angle)); }
"""
"""All that changes from one layout to the next."""


def _sizes(plan: Plan, draft_size: float) -> dict[str, str | float]:
    paper = plan.paper
    return {
        "page width": f"{paper.width}mm",
        "page height": f"{paper.height}mm",
        "margin": f"{plan.margin:.3f}mm",
        "base": f"{plan.base:.4f}mm",
        "room": plan.room,
        "draft size": draft_size,
        "draft angle": f"-{degrees(atan2(paper.height, paper.width)):.1f}deg",
    }


def _airs(plan: Plan) -> str:
    return "".join(
        f"#column-{i} .step > * {{ padding-block: {air:.3f}rem; }}\n"
        for i, air in enumerate(plan.airs, start=1)
    )


def _fits(laid: Laid) -> bool:
    """Whether there is one page, and the paths end above its foot."""
    if laid.pages != 1:
        return False
    boxes = {block.name: block for block in laid.blocks if block.name}
    foot = boxes["foot"].top
    return all(box.bottom <= foot for name, box in boxes.items() if name.startswith("column-"))
