"""A pocket card's words and style: leads only, one panel a page, in one size of type."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from functools import cached_property
from urllib.parse import quote

from compiler.layout.fonts import Faces
from compiler.layout.imposition import BLEED
from compiler.layout.paper import Paper
from compiler.model.clinic import Zone
from compiler.model.protocol import Activity, Part
from compiler.products.html import fill, qr_address, with_values
from compiler.products.path import Row, Split, Stop, Stretch, path_of
from compiler.products.path_words import beat_lead, beat_place, ground, onward
from compiler.products.poster_pieces import Shown
from compiler.products.sheet import Order, imprint
from compiler.products.theme import Theme
from compiler.products.typesetting import taller

SPOKEN = ("Page size",)
"""Fixed words that this file asks the catalogue for."""
DIGITS = "0123456789"


@dataclass(frozen=True)
class CardPage:
    """One card, and its document at any size of type."""

    order: Order
    theme: Theme
    faces: Faces

    @property
    def sides(self) -> tuple[tuple[Part, ...], ...]:
        """What goes on the front and on the back; one side only if there is no more."""
        parts = self.order.protocol.parts
        doffing = tuple(p for p in parts if p.begin.activity is Activity.DOFFING)
        others = tuple(p for p in parts if p.begin.activity is not Activity.DOFFING)
        wanted = {"donning": (others,), "doffing": (doffing,)}
        return tuple(side for side in wanted.get(self.order.parts, (others, doffing)) if side)

    def html(self, panel: Paper, imprint_on: int) -> str:
        """The document; the imprint ends one of its sides, counted from 0."""
        say = self.order.words.say
        return fill(
            self.theme,
            "card.html",
            self.order.words.direction,
            {
                "sheet": imprint(self.order),
                "qr": qr_address(self.order.link),
                "size": f"{say('Page size')}: {panel.name}",
                "draft_style": self._draft_style(panel),
                "digits": "".join(map(self.order.words.number, range(10))),
                "sides": [[self._part(part) for part in side] for side in self.sides],
                "imprint_on": imprint_on,
                "first_here": self._part(self.sides[0][0])["here"] if self.sides else "",
            },
        )

    def _part(self, part: Part) -> Shown:
        stretches = self._stretches(path_of(part, self.order.clinic).stretches, part.title)
        here = stretches[0]["here"] if stretches else part.title
        return {"title": part.title, "stretches": stretches, "here": here}

    def css(self, panel: Paper, size: float) -> Sequence[str]:
        """The theme's style sheet, and the sizes of this card; `size` of leads in mm."""
        return self._style, self._sizes(panel, size)

    def _stretches(
        self, stretches: tuple[Stretch, ...], title: str, around: str = ""
    ) -> list[Shown]:
        """Those of a part, whose title heads the panels; or of an answer, without a title."""
        named = bool(title) or len(stretches) > 1
        return [
            self._stretch(stretch, title, around, named, door=i > 0)
            for i, stretch in enumerate(stretches)
            if stretch.stops or (i > 0 and title)
        ]

    def _stretch(
        self, stretch: Stretch, title: str, around: str, named: bool, door: bool
    ) -> Shown:
        area = ground(stretch, self.order.words)
        here = f"{title} · {area.name}" if title else around
        return {
            "here": here,
            "zone": area.zone.value,
            "area": area.name if named else "",
            "kind": area.kind,
            "door": door,
            "stops": [self._stop(stop, here) for stop in stretch.stops],
        }

    def _stop(self, stop: Stop, here: str) -> Shown:
        words = self.order.words
        if isinstance(stop, Row):
            return self._row(stop)
        if isinstance(stop, Split):
            return {
                "kind": "fork",
                "question": self._row(stop.question),
                "ways": [
                    {
                        "lead": way.lead or way.answer,
                        "stretches": self._stretches(way.stretches, "", here),
                        "onward": onward(way, words),
                    }
                    for way in stop.ways
                ],
            }
        return {
            "kind": "beat",
            "lead": beat_lead(stop, words),
            "place": beat_place(stop, words),
        }

    def _row(self, row: Row) -> Shown:
        # a step without a lead would leave a number that says nothing
        lead = row.lead or row.detail
        return {"kind": "row", "number": self.order.words.number(row.number), "lead": lead}

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
            "rail": unit.format(rail),
            "rail column": unit.format(rail + 1.2),
            "code": unit.format(code),
            "code column": unit.format(code + 1),
        }
        return with_values(css, values) + self._rails(rail)

    def _rails(self, width: float) -> str:
        """The rail in each kind of area, one tile under another down the panel."""
        return "".join(
            f'.stretch.{zone.value} {{ background-image: url("{self._tile(zone)}"); }}\n'
            for zone in Zone
        )

    def _tile(self, zone: Zone) -> str:
        colour = self.theme.colours[zone.value]
        edge = f"<path d='M.5 0V8M7.5 0V8' stroke='{colour}'/>"
        if self.theme.text(f"rail/{zone.value}/pattern") == "plain":
            shade = self.theme.colours[f"{zone.value} shade"]
            inside = f"<rect width='8' height='8' fill='{shade}'/>"
        else:
            line = 4 * self.theme.number(f"rail/{zone.value}/line")
            tile = 0.5 + self.theme.number(f"rail/{zone.value}/tile")
            strokes = "M-2 2L2 -2M-2 10L10 -2M6 10L10 6"
            if tile < 1.5:
                strokes += "M-2 6L6 -2M2 10L10 2"
            inside = f"<path d='{strokes}' stroke='{colour}' stroke-width='{line:.3g}'/>"
        svg = (
            "<svg xmlns='http://www.w3.org/2000/svg' viewBox='0 0 8 8' width='8' height='8'>"
            f"{inside}{edge}</svg>"
        )
        return f"data:image/svg+xml,{quote(svg)}"

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
        word = imprint(self.order).draft
        size = 1.25 * panel.width / max(len(word), 4)
        turn = "rotate(-52deg)"
        return (
            f"top: {panel.height * 0.3:.1f}mm; left: -{panel.width:.1f}mm; "
            f"width: {3 * panel.width - 2 * self.theme.number('card/margin'):.1f}mm; "
            f"font-size: {size:.2f}mm; transform: {turn};"
        )
