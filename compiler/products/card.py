"""Pocket cards: leads only, on as many folded panels as they need, many cards to a sheet."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from compiler.findings import Finding, Mark
from compiler.layout.cutting import cut
from compiler.layout.fonts import faces_for
from compiler.layout.imposition import Imposition, Strip, imposed, most_panels
from compiler.layout.legibility import AIM, FLOOR, reading_distance, required_height
from compiler.layout.letters import letter_height
from compiler.layout.paper import CARDS, PAPERS, Paper, desk_paper, paper_named
from compiler.products.card_page import CardPage
from compiler.products.html import visible
from compiler.products.imposed import impose
from compiler.products.outcome import Outcome
from compiler.products.pdf import About, Laid, Press
from compiler.products.sheet import Order
from compiler.products.sheet_rules import engine_findings, font_findings
from compiler.products.steps_listing import nothing_listed
from compiler.products.theme import theme_named
from compiler.products.weights import by_weight
from compiler.rules.sheet import CARD_OVERFULL

STEP = 0.92
"""From one size of type to the next smaller one."""


@dataclass(frozen=True, slots=True)
class Card:
    """A card as laid out: one panel a page."""

    laid: Laid
    panel: Paper
    size: float
    """Of leads, in millimetres."""
    front: int
    """How many pages belong to the front; the others are the back's."""

    @property
    def panels(self) -> int:
        """On each side."""
        return max(self.front, self.laid.pages - self.front)


def card(orders: tuple[Order, ...]) -> Outcome:
    """Lays out and writes one card: its panels for the screen, and sheets to print and cut."""
    order = orders[0]
    theme, at = theme_named(order.theme), order.protocol.at
    faces = faces_for(order.words.tag)
    if faces.obstacles:
        return Outcome(findings=tuple(font_findings(faces, "", at)))
    page = CardPage(order, theme, faces)
    if not page.sides:
        return Outcome(findings=(nothing_listed(order, "card"),))
    panel, paper = CARDS[order.card or order.clinic.card], _paper(order)
    html = page.html(panel, 0)
    if blocked := tuple(font_findings(faces, visible(html), at, order.written_in)):
        return Outcome(findings=blocked)
    regular, bold = by_weight(html, page.css(panel, 1.0))
    cuts = cut(faces, regular + page.digits, bold + page.digits)
    press = Press(cuts, {"theme": theme.folders}, theme.painted)
    bench = _Bench(page, press, panel, most_panels(paper, panel.width, panel.height))
    made = bench.best(order.clinic.reading.card, letter_height(faces))
    if made is None:
        return Outcome(findings=(_overfull(bench, paper),), layouts=bench.layouts)
    said = page.listed.sheet
    about = About(
        said.title, said.language, order.protocol.valid_from, said.about, code=order.code
    )
    written = press.write(made.laid, about)
    if blocked := tuple(engine_findings(written.obstacles, at)):
        return Outcome(findings=blocked, layouts=bench.layouts)
    strip = Strip(panel.width, panel.height, made.panels)
    plan = imposed(paper, strip, order.flip)
    assert plan  # most_panels has seen to it
    rtl = order.words.direction == "rtl"
    print_sheet = impose(written.pdf, sides(made, rtl), plan, order.words.tag)
    far = reading_distance(made.size * letter_height(faces))
    files = {"pdf": written.pdf, "print.pdf": print_sheet}
    return Outcome(files, _told(made, plan, far), layouts=bench.layouts)


def sides(made: Card, rtl: bool) -> tuple[list[int], list[int]]:
    """The pages on the front and on the back of a strip, from left to right; -1 stays white.

    Who unfolds it reads on from panel to panel, turns it over like the page of a book, and
    reads on; from the right where the script begins there.
    """
    pages = range(made.laid.pages)
    both = list(pages[: made.front]), list(pages[made.front :])
    for side in both:
        side += [-1] * (made.panels - len(side))
        if rtl:
            side.reverse()
    return both


@dataclass
class _Bench:
    """Tries sizes of type on one size of panel."""

    page: CardPage
    press: Press
    panel: Paper
    most: int
    """Panels a side that a sheet can hold."""
    layouts: int = 0
    imprint_on: int = -1

    def __post_init__(self) -> None:
        self.imprint_on = len(self.page.sides) - 1

    def best(self, distance: float, letter: float) -> Card | None:
        """The fewest panels at an easy size, larger if there is room, smaller if need be."""
        easy = required_height(distance, AIM) / letter
        least = required_height(distance, FLOOR) / letter
        for size in _downwards(easy, least):
            found = self.at(size)
            if found.panels <= self.most:
                return self._grown(found, easy) if size == easy else found
        return None

    def at(self, size: float) -> Card:
        """The card in one size of type; the imprint ends the front if that saves a panel."""
        found = self._laid(size, self.imprint_on)
        last = len(self.page.sides) - 1
        if self.imprint_on == last > 0 and found.front < found.panels and _apart(found.laid):
            other = self._laid(size, 0)
            if other.panels < found.panels:
                self.imprint_on = 0
                return other
        return found

    def _laid(self, size: float, imprint_on: int) -> Card:
        self.layouts += 1
        html = self.page.html(self.panel, imprint_on)
        laid = self.press.layout(html, self.page.css(self.panel, size))
        return Card(laid, self.panel, size, _front(laid))

    def _grown(self, found: Card, easy: float) -> Card:
        """The same panels in larger type, once the last ones are seen to be half empty."""
        most = self.page.theme.number("card/most")
        for factor in (most, (1 + most) / 2, (3 + most) / 4):
            larger = self.at(easy * factor)
            if larger.panels <= found.panels:
                return larger
        return found


def _downwards(size: float, least: float) -> Iterator[float]:
    while size > least * 1.001:
        yield size
        size *= STEP
    yield least


def _apart(laid: Laid) -> bool:
    """Whether the imprint has a panel to itself."""
    page = next(block.page for block in laid.blocks if block.name == "imprint")
    return not any(block.page == page and block.element == "li" for block in laid.blocks)


def _front(laid: Laid) -> int:
    """How many pages come before the back: those of the second side, or half of them all."""
    second = [block.page for block in laid.blocks if block.name == "side-2"]
    return min(second) - 1 if second else (laid.pages + 1) // 2


def _paper(order: Order) -> Paper:
    return desk_paper(paper_named(order.paper or order.clinic.paper) or PAPERS["A4"])


def _told(made: Card, plan: Imposition, far: float) -> str:
    panels = f"{made.panels} panel" + ("s" if made.panels > 1 else "")
    cards = f"{plan.cards} card" + ("s" if plan.cards > 1 else "")
    turned = "portrait" if plan.paper.upright else "landscape"
    return (
        f"{made.panel.name}, {panels} a side, leads to {far:.2f} m; "
        f"{cards} on {plan.paper.name} {turned}, both sides, turned on the {plan.edge} edge"
    )


def _overfull(bench: _Bench, paper: Paper) -> Finding:
    """More than the card holds, and which card would hold it."""
    order, at = bench.page.order, bench.page.order.protocol.at
    reading = order.clinic.reading.card
    least = required_height(reading, FLOOR) / letter_height(bench.page.faces)
    remedy = "print donning and doffing as two cards, or shorten the leads"
    found = bench.at(least)
    names = list(CARDS)
    for name in names[names.index(bench.panel.name) + 1 :]:
        panel = CARDS[name]
        larger = _Bench(bench.page, bench.press, panel, 0).at(least)
        if larger.panels <= most_panels(paper, panel.width, panel.height):
            remedy = f"print it as {name}, on {larger.panels} panels a side"
            break
    return Finding(
        CARD_OVERFULL,
        f"The {order.words.tag} card needs {found.panels} {bench.panel.name} panels a side at "
        f"the smallest legible size, and {paper.name} holds {bench.most}.",
        Mark(at),
        remedy=remedy,
    )
