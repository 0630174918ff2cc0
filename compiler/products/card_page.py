"""A pocket card's words and style: leads only, one panel a page, in one size of type."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from functools import cached_property

from compiler.layout.fonts import Faces
from compiler.layout.imposition import BLEED
from compiler.layout.paper import Paper
from compiler.model.protocol import Activity
from compiler.products.html import fill, qr_address, with_values
from compiler.products.rails import running_rails
from compiler.products.sheet import Order
from compiler.products.steps_listing import ListedPart, StepList, step_list
from compiler.products.theme import Theme
from compiler.products.typesetting import taller

SPOKEN = ("Page size",)
"""Fixed words that this file asks the catalogue for."""


@dataclass(frozen=True)
class CardPage:
    """One card, and its document at any size of type."""

    order: Order
    theme: Theme
    faces: Faces

    @cached_property
    def listed(self) -> StepList:
        """The steps in words."""
        return step_list(self.order)

    @property
    def sides(self) -> tuple[tuple[ListedPart, ...], ...]:
        """What goes on the front and on the back; one side only if there is no more."""
        doffing = tuple(p for p in self.listed.parts if p.activity == Activity.DOFFING.value)
        others = tuple(p for p in self.listed.parts if p.activity != Activity.DOFFING.value)
        return tuple(side for side in (others, doffing) if side)

    @property
    def digits(self) -> str:
        """What the style sheet counts panels with: fonts are cut for it too."""
        return "/" + "".join(map(self.order.words.number, range(10)))

    def html(self, panel: Paper, imprint_on: int) -> str:
        """The document; the imprint ends one of its sides, counted from 0."""
        say = self.order.words.say
        return fill(
            self.theme,
            "card.html",
            self.order.words.direction,
            {
                "sheet": self.listed.sheet,
                "facts": self.listed.facts,
                "qr": qr_address(self.order.link),
                "size": f"{say('Page size')}: {panel.name}",
                "draft_style": self._draft_style(panel),
                "sides": self.sides,
                "imprint_on": imprint_on,
            },
        )

    def css(self, panel: Paper, size: float) -> Sequence[str]:
        """The theme's style sheet, and the sizes of this card; `size` of leads in mm."""
        return self._style, self._sizes(panel, size)

    @cached_property
    def _style(self) -> str:
        css = self.theme.css("card.css")
        of, unit = self.theme.number, "{:.3f}mm"
        line = of("card/line") * taller(self.theme, self.order.words.tag)
        margin, rail, code = of("card/margin"), of("card/rail"), of("card/code")
        values: dict[str, str | float] = {
            **self.theme.colours,
            "family": self.faces.families,
            "line": f"{line:.4f}",
            "title": of("card/title"),
            "small": of("card/small"),
            "number": of("card/number"),
            "strip top": unit.format(-of("card/strip") - BLEED),
            "strip side": unit.format(-margin - BLEED),
            "strip height": unit.format(of("card/strip") + BLEED),
            "rail column": unit.format(rail + 1.2),
            "code": unit.format(code),
            "code column": unit.format(code + 1),
        }
        rails = running_rails(
            self.theme, unit.format(rail), self.order.words.direction == "rtl"
        )
        return with_values(css, values) + rails

    def _sizes(self, panel: Paper, size: float) -> str:
        of = self.theme.number
        margin, strip = of("card/margin"), of("card/strip")
        rtl = self.order.words.direction == "rtl"
        start, end = ("right", "left") if rtl else ("left", "right")
        small = size * of("card/small")
        head = (
            f"font-family: {self.faces.families}; font-weight: 700; font-size: {small:.4f}mm; "
            f"color: {self.theme.colours['ink']}; vertical-align: middle;"
        )
        return (
            f"@counter-style own {{ system: numeric; symbols: {self._symbols()}; }}\n"
            f"@page {{ size: {panel.width}mm {panel.height}mm; bleed: {BLEED}mm; "
            f"margin: {strip + 1:.3f}mm {margin:.3f}mm {margin:.3f}mm;\n"
            f"@top-{start} {{ content: string(here); text-align: {start}; {head} "
            "line-height: 1.05; width: 84% }\n"
            f'@top-{end} {{ content: counter(page, own) "/" counter(pages, own); '
            f"text-align: {end}; {head} direction: ltr; width: 16% }}\n"
            f"}}\nhtml {{ font-size: {size:.4f}mm; }}\n"
        )

    def _symbols(self) -> str:
        return " ".join(f'"{self.order.words.number(digit)}"' for digit in range(10))

    def _draft_style(self, panel: Paper) -> str:
        """The word DRAFT across a panel, as large as its width allows."""
        word = self.listed.sheet.draft
        size = 1.25 * panel.width / max(len(word), 4)
        turn = "rotate(-52deg)"
        return (
            f"top: {panel.height * 0.3:.1f}mm; left: -{panel.width:.1f}mm; "
            f"width: {3 * panel.width - 2 * self.theme.number('card/margin'):.1f}mm; "
            f"font-size: {size:.2f}mm; transform: {turn};"
        )
