"""All of a poster that does not depend on its type size: words, measures, templates."""

from __future__ import annotations

from collections.abc import Sequence
from functools import cached_property
from math import atan2, degrees

from compiler.layout.fitting import Stack
from compiler.layout.fonts import Faces, script_of
from compiler.layout.letters import letter_height
from compiler.layout.paper import PAPERS, Paper, paper_named
from compiler.products.html import fill, qr_address, rail_rules, with_values
from compiler.products.pictograms import PICTOGRAMS, meaning, mirrored
from compiler.products.poster_fit import (
    DATES,
    DUTY,
    FOOT_GUTTER,
    Fitter,
    Page,
    Plan,
    foot_block,
    head_block,
    limits_for,
)
from compiler.products.poster_forks import WAY_PADDING
from compiler.products.poster_parts import Column, columns_of, measures_for
from compiler.products.sheet import Order, imprint
from compiler.products.theme import Theme
from compiler.products.typesetting import BOLD, Typesetter, scale_for

SPOKEN = ("portrait", "landscape", "Page size")
"""Fixed words that this file asks the catalogue for."""
SIZES = """
@page { size: var(--page-width) var(--page-height); margin: var(--margin); }
html { font-size: var(--base); }
.paths { height: var(--room); }
.duty { width: var(--duty); }
.dates { width: var(--dates); }
.draft { font-size: var(--draft-size); transform: rotate(var(--draft-angle)); }
"""
"""All that changes from one layout to the next."""


class PosterPage:
    """One poster, measured and ready to be fitted, and its document at any plan."""

    def __init__(self, order: Order, theme: Theme, faces: Faces) -> None:
        self.order, self.theme, self.faces = order, theme, faces
        reading = order.clinic.reading
        self.scale = scale_for(theme, order.words.tag, reading)
        self.letter = letter_height(faces)
        """Share of the type size that a capital, or a typical letter, is tall."""
        self.imprint = imprint(order)
        self.typesetter = Typesetter(faces, self.scale, order.words.tag)
        self.measures = measures_for(theme, self.scale, script_of(order.words.tag))
        self.papers = papers_for(order)
        columns = columns_of(order, self.typesetter, self.measures)
        limits = limits_for(reading, self.letter, self.scale)
        self.fitter = Fitter(theme, self._page(columns), limits)

    def variant(self, order: Order) -> Fitter:
        """The fitter of a slightly different order; what was shaped is not shaped again."""
        columns = columns_of(order, self.typesetter, self.measures)
        return Fitter(self.theme, self._page(columns), self.fitter.limits)

    def _page(self, columns: tuple[Column, ...]) -> Page:
        said, text = self.imprint, self.typesetter
        head = head_block(
            Stack((text.title(said.title), text.detail(said.about))),
            Stack((text.detail(said.clinic, BOLD), text.detail(said.own_name))),
            text.detail(" · ".join(said.notices), BOLD) if said.notices else None,
        )
        duty = (text.detail(said.caution, BOLD), *map(text.detail, (said.clinic, said.contact)))
        dates = (said.title, said.edition, said.valid_from, said.review_by)
        trace = (said.code, self.size_words(self.papers[-1]), said.own_name)
        foot = foot_block(
            self.theme.number("poster/code"),
            Stack(duty),
            Stack(tuple(map(text.detail, dates))),
            Stack(tuple(map(text.detail, trace))),
        )
        return Page(head, columns, foot)

    def size_words(self, paper: Paper) -> str:
        """The page size as the foot names it."""
        say = self.order.words.say
        side = say("portrait" if paper.upright else "landscape")
        return f"{say('Page size')}: {paper.name} · {side}"

    def html(self, plan: Plan) -> str:
        """The document at a plan's widths."""
        columns = zip(self.fitter.page.columns, plan.widths, strict=True)
        turned = self.imprint.direction == "rtl"
        return fill(
            self.theme,
            "poster.html",
            self.imprint.direction,
            {
                "sheet": self.imprint,
                "qr": qr_address(self.order.link),
                "paper": self.size_words(plan.paper),
                "meaning": {n: self.order.words.say(meaning(n)) for n in PICTOGRAMS},
                "turned": {name for name in PICTOGRAMS if turned and mirrored(name)},
                "columns": [
                    {
                        "width": round(width, 3),
                        "parts": [part.shown(width) for part in column.parts],
                    }
                    for column, width in columns
                ],
            },
        )

    def css(self, plan: Plan) -> Sequence[str]:
        """The theme's style sheet with its values, and the sizes of this plan."""
        return self._style, with_values(SIZES, self._sizes(plan)) + _airs(plan)

    @cached_property
    def _style(self) -> str:
        base = self.theme.css("poster.css")
        values = {**self.theme.colours, **self._lengths()}
        return "\n".join((with_values(base, values), rail_rules(self.theme)))

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
            "wide sign": m.wide_sign,
            "inner number": m.inner_number,
            "narrow column": m.narrow_sign + m.gap,
            "above beat start": WAY_PADDING,
            "above beat column": WAY_PADDING + m.narrow_sign + m.gap,
            "inner beat start": WAY_PADDING + m.inner_number,
            "inner beat column": WAY_PADDING + m.inner_number + m.narrow_sign + m.gap,
            "beat sign": m.beat_sign,
            "band line": m.band_line,
            "band above": m.band_padding[0],
            "band below": m.band_padding[1],
            "beat start": start + m.number,
            "beat column": start + m.before_text,
            "slim number": m.slim_number,
            "slim start": start,
            "slim column": start + m.slim_number,
            "gap": m.gap,
            "drop": m.drop,
            "between": m.between,
            "code": code,
            "code column": code + FOOT_GUTTER,
        }

    def _sizes(self, plan: Plan) -> dict[str, str | float]:
        paper = plan.paper
        inner = (paper.width - 2 * plan.margin) / plan.base
        foot = inner - self.theme.number("poster/code") - FOOT_GUTTER
        return {
            "duty": foot * DUTY,
            "dates": foot * DATES,
            "page width": f"{paper.width}mm",
            "page height": f"{paper.height}mm",
            "margin": f"{plan.margin:.3f}mm",
            "base": f"{plan.base:.4f}mm",
            "room": plan.room,
            "draft size": self._draft_size(plan),
            "draft angle": f"-{degrees(atan2(paper.height, paper.width)):.1f}deg",
        }

    def _draft_size(self, plan: Plan) -> float:
        """As large as the word can be from corner to corner."""
        word = self.imprint.draft
        if not word:
            return 1.0
        diagonal = (plan.paper.width**2 + plan.paper.height**2) ** 0.5 / plan.base
        width = self.typesetter.width(word, 1.0, BOLD)
        return float(min(0.66 * diagonal / width, diagonal / 5))


def papers_for(order: Order) -> tuple[Paper, ...]:
    """The paper upright and on its side, or only as it was asked for."""
    paper = paper_named(order.paper or order.clinic.paper) or PAPERS["A4"]
    both = (paper.portrait, paper.landscape)
    return {"portrait": both[:1], "landscape": both[1:]}.get(order.orientation, both)


def _airs(plan: Plan) -> str:
    return "".join(
        f"#column-{i} .step > * {{ padding-block: {air:.3f}rem; }}\n"
        for i, air in enumerate(plan.airs, start=1)
    )
