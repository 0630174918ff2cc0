"""The step list on paper: its document, and its style in type that can be read in the hand."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from functools import cached_property
from math import atan2, degrees

from compiler.layout.fonts import Faces
from compiler.layout.legibility import type_size
from compiler.layout.letters import letter_height
from compiler.layout.paper import PAPERS, Paper, desk_paper, paper_named
from compiler.products.html import fill, pictogram_rules, qr_address, with_values
from compiler.products.pages import Document
from compiler.products.pictograms import PICTOGRAMS, mirrored
from compiler.products.rails import running_rails
from compiler.products.sheet import Order
from compiler.products.steps_listing import (
    ListedBeat,
    ListedFork,
    ListedPart,
    ListedStretch,
    StepList,
    listed_stops,
)
from compiler.products.steps_margins import Margins
from compiler.products.theme import Theme
from compiler.products.typesetting import BOLD, REGULAR, Typesetter, scale_for, taller

SPOKEN = ("Page size",)
"""Fixed words that this file asks the catalogue for."""
MOST_BESIDE = 6
"""Stops in an answer, up to which answers stand side by side."""


class StepsSheet:
    """One step list, measured, and its document."""

    def __init__(self, order: Order, steps: StepList, theme: Theme, faces: Faces) -> None:
        self.order, self.steps, self.theme = order, steps, theme
        self.faces = faces
        chosen = paper_named(order.paper or order.clinic.paper) or PAPERS["A4"]
        self.paper: Paper = desk_paper(chosen)
        if order.orientation == "landscape":
            self.paper = self.paper.landscape
        self.letter = letter_height(faces)
        self.base = type_size(order.clinic.reading.card, self.letter)
        scale = scale_for(theme, order.words.tag, order.clinic.reading)
        self._typesetter = Typesetter(faces, scale, order.words.tag)
        said = self.steps.sheet
        self._margins = Margins(said, order.words, theme, self.paper, faces, self.base)

    def html(self) -> str:
        """The document."""
        said = self.steps.sheet
        say = self.order.words.say
        rtl = said.direction == "rtl"
        return fill(
            self.theme,
            "steps.html",
            said.direction,
            {
                "sheet": said,
                "facts": self.steps.facts,
                "parts": self.steps.parts,
                "beside": [fork for fork in self._forks() if _short(fork)],
                "size": f"{say('Page size')}: {self.paper.name}",
                "qr": qr_address(self.order.link),
                "turned": {name for name in PICTOGRAMS if rtl and mirrored(name)},
            },
        )

    def css(self) -> Sequence[str]:
        """The theme's style sheet with its values, and the page with its head and foot."""
        base = self.theme.css("steps.css")
        values = {**self.theme.colours, **self._lengths}
        drawings = pictogram_rules(PICTOGRAMS)
        page = f"{self._margins.css()}.draft {{ {self._draft()} }}\n"
        return with_values(base, values) + drawings + running_rails(
            self.theme, *self._rail
        ), page

    def document(self) -> Document:
        """Ready to be laid out and written."""
        return Document(
            self.order, self.theme, self.faces, self.html(), self.css(), self.margins()
        )

    def margins(self) -> str:
        """The words that the style sheet prints in the margins: fonts are cut for them too."""
        where = (f"{part.title}{stretch.area}" for part, stretch in self._stretches())
        return self._margins.letters() + "".join(where)

    def _stretches(self) -> Iterator[tuple[ListedPart, ListedStretch]]:
        return ((part, stretch) for part in self.steps.parts for stretch in part.stretches)

    def _forks(self) -> Iterator[ListedFork]:
        for part in self.steps.parts:
            for stop in listed_stops(part.stretches):
                if isinstance(stop, ListedFork):
                    yield stop

    @cached_property
    def _lengths(self) -> dict[str, str | float]:
        of = self.theme.number
        tall = taller(self.theme, self.order.words.tag)
        lead, rail, indent, gap = (of(f"steps/{n}") for n in ("lead", "rail", "indent", "gap"))
        number, sign = of("steps/number"), of("steps/sign")
        inner, inner_sign = of("steps/inner number"), of("steps/inner sign")
        return {
            "family": self.faces.families,
            "text line height": f"{of('type/lines/text') * tall:.4f}",
            "lead line height": f"{of('type/lines/lead') * tall:.4f}",
            "title line height": f"{of('type/lines/title') * tall:.4f}",
            "lead": lead,
            "title": of("steps/title"),
            "part": of("steps/part"),
            "rail": rail,
            "over": rail + indent,
            "back over": -rail - indent,
            "number": number,
            "sign": sign,
            "sign column": sign + gap,
            "beat sign": of("steps/beat sign"),
            "beat start": rail + indent + number,
            "beat column": rail + indent + number + sign + gap,
            "inner number": inner,
            "inner sign": inner_sign,
            "inner column": inner_sign + gap,
            "inner beat start": 0.6 + inner,
            "inner beat column": 0.6 + inner + inner_sign + gap,
            "place": self._place_width(),
            "code": of("steps/code"),
        }

    def _place_width(self) -> float:
        """Room for the widest "after 6"."""
        stops = (stop for part in self.steps.parts for stop in listed_stops(part.stretches))
        places = [stop.place for stop in stops if isinstance(stop, ListedBeat)]
        widths = [self._typesetter.width(place, 1.0, REGULAR) for place in places]
        return max(widths, default=0.0) + 1.4

    @property
    def _rail(self) -> tuple[str, bool]:
        """How wide the rail is, and whether the list is read from right to left."""
        return f"{self.theme.number('steps/rail')}rem", self.steps.sheet.direction == "rtl"

    def _draft(self) -> str:
        """Across the page, as large as it can be from corner to corner."""
        word = self.steps.sheet.draft
        if not word:
            return ""
        across, down = self.paper.width, self.paper.height
        diagonal = (across**2 + down**2) ** 0.5 / self.base
        size = min(0.66 * diagonal / self._typesetter.width(word, 1.0, BOLD), diagonal / 5)
        angle = degrees(atan2(down, across))
        return f"font-size: {size:.3f}rem; transform: rotate(-{angle:.1f}deg)"


def _short(fork: ListedFork) -> bool:
    """Whether the answers can stand side by side: few, and few steps in each."""
    return len(fork.ways) in {2, 3} and all(
        sum(1 for _ in listed_stops(way.stretches)) <= MOST_BESIDE
        and not any(isinstance(stop, ListedFork) for stop in listed_stops(way.stretches))
        for way in fork.ways
    )
