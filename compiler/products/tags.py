"""Tags for kept items, on label sheets: owner, wearings to count, and until when it rests."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from compiler.findings import Finding, Mark
from compiler.layout.fonts import Faces, faces_for
from compiler.layout.legibility import AIM, FLOOR, reading_distance, required_height
from compiler.layout.letters import letter_height
from compiler.layout.paper import PAPERS, Paper, desk_paper, paper_named
from compiler.model.clinic import LabelSheet
from compiler.model.kit import Item
from compiler.model.protocol import kept_items
from compiler.products.boxes import BlockBox
from compiler.products.html import fill, qr_address, with_values
from compiler.products.outcome import Outcome
from compiler.products.pages import Document, setting
from compiler.products.pdf import Laid
from compiler.products.pictograms import PICTOGRAMS
from compiler.products.poster_pieces import Shown
from compiler.products.sheet import Order, imprint
from compiler.products.sheet_rules import font_findings
from compiler.products.theme import Theme, theme_named
from compiler.products.typesetting import taller
from compiler.rules.sheet import TAG_OVERFULL

SPOKEN = (
    "Owner",
    "Number",
    "First worn",
    "Worn on",
    "Rest until",
    "Rest: {days}",
    "At most {number} wearings",
    "Keep: {place}",
    "Wipe: {agent}",
    "Throw it away if soiled, wet or damaged.",
    "Page size",
)
"""Fixed words that this file asks the catalogue for."""
DAY = 86_400
MOST_BOXES = 10
"""Wearings that are counted by boxes; more than these only by their number."""
A_ROW = 5
"""Boxes beside each other."""
STEP = 0.93
LINE_SHARE, BOX_SHARE = 0.15, 0.16
"""Of a label's height: on low labels one writes smaller."""


def tags(orders: tuple[Order, ...]) -> Outcome:
    """One sheet of labels."""
    order = orders[0]
    theme, faces = theme_named(order.theme), faces_for(order.words.tag)
    if faces.obstacles:
        return Outcome(findings=tuple(font_findings(faces, "", order.protocol.at)))
    sheet = TagSheet(order, theme, faces)
    if not sheet.items:
        return Outcome(told="nothing is kept, so there are no tags")
    letter = letter_height(faces)
    distance = order.clinic.reading.card
    least = required_height(distance, FLOOR) / letter
    size, layouts = required_height(distance, AIM) / letter * theme.number("tags/most"), 0
    typeset, blocked = setting(sheet.document(size))
    if typeset is None:
        return Outcome(findings=blocked)
    while True:
        size, layouts = max(size, least), layouts + 1
        laid = typeset.laid(sheet.css(size))
        over = _over(laid, order.clinic.labels)
        if laid.obstacles or not over:
            break
        if size <= least:
            return Outcome(findings=(_overfull(order, over),), layouts=layouts)
        size *= STEP
    roomy = typeset.laid(sheet.css(size, sheet.spare(laid)))
    if not roomy.obstacles and not _over(roomy, order.clinic.labels):
        laid = roomy
    pdf, blocked = typeset.written(laid)
    if blocked:
        return Outcome(findings=blocked, layouts=layouts)
    labels = order.clinic.labels
    far = reading_distance(size * letter)
    told = (
        f"{sheet.paper.name}, {labels.across} by {labels.down} labels of "
        f"{labels.width:g} x {labels.height:g} mm, words to {far:.2f} m"
    )
    return Outcome({"pdf": pdf}, told, layouts=layouts + 1)


@dataclass(frozen=True, slots=True)
class TagSheet:
    """One sheet of labels, before it is laid out."""

    order: Order
    theme: Theme
    faces: Faces

    @property
    def paper(self) -> Paper:
        """Label sheets are office paper, upright."""
        return desk_paper(
            paper_named(self.order.paper or self.order.clinic.paper) or PAPERS["A4"]
        )

    @property
    def items(self) -> tuple[tuple[Item, str], ...]:
        """Every item that the protocol keeps, in order, with the place where it is kept."""
        kept, known = kept_items(self.order.protocol), self.order.kit.items
        return tuple((known[item], place) for item, place in kept.items() if item in known)

    def document(self, size: float) -> Document:
        """The words and the style, in type of `size` millimetres."""
        said, say = imprint(self.order), self.order.words.say
        facts = (said.edition, said.valid_from, said.review_by)
        html = fill(
            self.theme,
            "tags.html",
            said.direction,
            {
                "sheet": said,
                "facts": [fact for fact in facts if fact],
                "rows": self._rows(),
                "size": f"{say('Page size')}: {self.paper.name}",
                "qr": qr_address(self.order.link),
                "say": {
                    "owner": say("Owner"),
                    "number": say("Number"),
                    "first": say("First worn"),
                    "worn": say("Worn on"),
                    "rest": say("Rest until"),
                    "damaged": say("Throw it away if soiled, wet or damaged."),
                },
                "cut": self.order.clinic.labels.at is None,
            },
        )
        return Document(self.order, self.theme, self.faces, html, self.css(size))

    def _rows(self) -> list[list[Shown | None]]:
        """The grid: the sheet's own label first, then the items in turn until it is full."""
        labels = self.order.clinic.labels
        tags = [self._tag(item, place) for item, place in self.items]
        cells = labels.across * labels.down
        filled: list[Shown | None] = [None]
        filled += [tags[i % len(tags)] for i in range(cells - 1)]
        return [filled[i : i + labels.across] for i in range(0, cells, labels.across)]

    def _tag(self, item: Item, place: str) -> Shown:
        words, clinic = self.order.words, self.order.clinic
        facts = []
        if item.at_most:
            facts.append(words.say("At most {number} wearings", number=item.at_most))
        if item.rest >= DAY:
            facts.append(words.say("Rest: {days}", days=words.days(item.rest // DAY)))
        if item.disinfect_with in clinic.agents:
            facts.append(
                words.say("Wipe: {agent}", agent=clinic.agents[item.disinfect_with].name)
            )
        if place in clinic.places:
            facts.append(words.say("Keep: {place}", place=clinic.places[place].name))
        return {
            "name": item.name,
            "sign": self._sign(item),
            "facts": facts,
            "counted": self._counted(item),
            "rests": item.rest > 0,
        }

    def _counted(self, item: Item) -> list[list[str]]:
        """The numbers of the wearings, a row of boxes each."""
        boxes = range(1, item.at_most + 1) if item.at_most <= MOST_BOXES else range(0)
        numbers = [self.order.words.number(n) for n in boxes]
        return [numbers[i : i + A_ROW] for i in range(0, len(numbers), A_ROW)]

    def _sign(self, item: Item) -> str:
        name = f"{item.kind.value.replace(' ', '-')}-on"
        return name if name in PICTOGRAMS else "hook"

    def spare(self, laid: Laid) -> float:
        """Millimetres by which each row to write in can grow on the fullest label."""
        fullest = max((box.height for box in _labels(laid)), default=0.0)
        rows = [1 + len(self._counted(item)) * (1 + (item.rest > 0)) for item, _ in self.items]
        most = self.theme.number("tags/roomy") - self.theme.number("tags/box")
        return max(0.0, min((self.order.clinic.labels.height - fullest) / max(rows), most))

    def css(self, size: float, more: float = 0.0) -> Sequence[str]:
        """The style, in type of `size` millimetres; only its last sheet depends on that.

        Lines and boxes to write in are `more` millimetres taller than the least.
        """
        css = self.theme.css("tags.css")
        labels, of = self.order.clinic.labels, self.theme.number
        line = of("tags/line") * taller(self.theme, self.order.words.tag)
        writing = min(of("tags/writing"), LINE_SHARE * labels.height)
        box = min(of("tags/box"), BOX_SHARE * labels.height)
        values: dict[str, str | float] = {
            **self.theme.colours,
            "family": self.faces.families,
            "line height": f"{line:.4f}",
            "name": of("tags/name"),
            "width": f"{labels.width}mm",
            "height": f"{labels.height}mm",
            "padding": f"{of('tags/padding')}mm",
            "between columns": f"{labels.between_columns}mm",
            "between rows": f"{labels.between_rows}mm",
            "sign": f"{of('tags/sign')}mm",
            "sign column": f"{of('tags/sign') + 1.5}mm",
            "code": f"{of('tags/code')}mm",
        }
        across = labels.across * labels.width + (labels.across - 1) * labels.between_columns
        page = (
            f"@page {{ size: {self.paper.width}mm {self.paper.height}mm; "
            f"margin: {labels.top}mm 0 0 0; }}\n"
            f"html {{ font-size: {size:.4f}mm; }}\n"
            f".lines > p {{ height: {writing + more:.2f}mm; }}\n"
            f".count td, .count th {{ height: {box + more:.2f}mm; }}\n"
            # labels lie where the paper has them, whichever way the language is read
            f".grid {{ margin-left: {labels.left}mm; width: {across}mm; }}\n"
        )
        rules = (
            f'.p-{name} {{ background-image: url("pictograms/{name}.svg"); }}'
            for name in sorted({self._sign(item) for item, _ in self.items})
        )
        return with_values(css, values), page + "\n".join(rules)


def _over(laid: Laid, labels: LabelSheet) -> float:
    """By how many millimetres the fullest label is too full."""
    if laid.pages != 1:
        return labels.height
    over = max((box.height - labels.height for box in _labels(laid)), default=0.0)
    return over if over > 0.01 else 0.0


def _labels(laid: Laid) -> Iterator[BlockBox]:
    return (block for block in laid.blocks if "inside" in block.classes)


def _overfull(order: Order, over: float) -> Finding:
    labels = order.clinic.labels
    return Finding(
        TAG_OVERFULL,
        f"The words of a tag in {order.words.tag} need a label {over:.0f} mm taller than "
        f"{labels.height:g} mm in the smallest legible type.",
        Mark(labels.at or order.clinic.at),
        remedy=f"use labels of at least {labels.height + over:.0f} mm, or shorter names",
    )
