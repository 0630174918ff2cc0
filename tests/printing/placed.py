"""What may be wrong with where things lie on a poster, told in words: nothing, or a list."""

from __future__ import annotations

from collections.abc import Iterator

from compiler.model.protocol import Activity, Part, Step
from compiler.products.boxes import BlockBox
from compiler.products.poster import Made, Poster
from compiler.products.sheet import Order
from tests.printing.making import plain
from tests.printing.posters import NEAR, ink, named, printed

Edges = tuple[float, float, float, float]
"""Left, top, right, bottom, in millimetres."""
NESTED = {"path", "column", "part", "stretch", "rail", "step", "band", "caution", "ways", "way"}
NESTED |= {"answer", "join", "area", "door", "foot", "head", "notices", "text", "beside"}
NESTED |= {"sign", "number", "where", "duty", "dates", "trace", "code", "name", "whose"}
"""Boxes of these classes lie inside one another or apart, never across."""


def faults(order: Order, made: Made) -> list[str]:
    """All that is wrong with a poster, or with what is said in its place."""
    found = made.poster
    slugs = [finding.rule.slug for finding in made.findings]
    if found is None:
        due = "sheet-overfull" if parts_of(order) else "empty-part"
        return [] if slugs == [due] else [f"no poster, but {slugs}"]
    missed = min(found.report.leads.minutes, found.report.details.minutes) < 15.99
    told = [] if (slugs == ["text-too-small"]) == missed else [f"told {slugs}"]
    checks = (on_one_page, outside, on_top, out_of_cell, across, foot_below, unsaid)
    return told + [
        f"{check.__name__}: {fault}" for check in checks for fault in check(order, found)
    ]


def edges(box: BlockBox) -> Edges:
    return box.left, box.top, box.left + box.width, box.bottom


def within(inner: Edges, outer: Edges) -> bool:
    return (
        inner[0] >= outer[0] - NEAR
        and inner[1] >= outer[1] - NEAR
        and inner[2] <= outer[2] + NEAR
        and inner[3] <= outer[3] + NEAR
    )


def laid_over(one: Edges, other: Edges) -> bool:
    across = min(one[2], other[2]) - max(one[0], other[0])
    down = min(one[3], other[3]) - max(one[1], other[1])
    return across > NEAR and down > NEAR


def blocks(found: Poster) -> list[BlockBox]:
    return [
        box
        for box in found.blocks
        if "draft" not in box.classes and box.element not in {"html", "body"}
    ]


def on_one_page(order: Order, found: Poster) -> Iterator[str]:
    del order
    if {box.page for box in (*found.texts, *found.blocks)} != {1}:
        yield "more than one page"


def outside(order: Order, found: Poster) -> Iterator[str]:
    """Every word and every box lies within the margins."""
    del order
    paper, margin = found.plan.paper, found.plan.margin
    page = margin, margin, paper.width - margin, paper.height - margin
    for text in printed(found):
        if not within(ink(text), page):
            yield text.text
    for box in blocks(found):
        if not within(edges(box), page):
            yield f"{box.element} {box.classes}"


def on_top(order: Order, found: Poster) -> Iterator[str]:
    """No words lie on others."""
    del order
    lines = sorted(((ink(text), text.text) for text in printed(found)), key=lambda x: x[0][1])
    for i, (one, words) in enumerate(lines):
        for other, others in lines[i + 1 :]:
            if other[1] > one[3]:
                break
            if laid_over(one, other):
                yield f"{words} | {others}"


def out_of_cell(order: Order, found: Poster) -> Iterator[str]:
    """Words stay inside the smallest box that holds their middle: cell, row, frame, column."""
    del order
    boxes = sorted(
        ((edges(b), b) for b in blocks(found)), key=lambda x: x[1].width * x[1].height
    )
    for text in printed(found):
        left, top, right, bottom = ink(text)
        x, y = (left + right) / 2, (top + bottom) / 2
        home = next((e, b) for e, b in boxes if e[0] <= x <= e[2] and e[1] <= y <= e[3])
        if not within((left, top, right, bottom), home[0]):
            yield f"{text.text!r} in {home[1].element} {home[1].classes}"


def across(order: Order, found: Poster) -> Iterator[str]:
    """Of two boxes one holds the other, or they lie apart. A band alone crosses its rail."""
    del order
    own = [(edges(b), b) for b in blocks(found) if NESTED & set(b.classes)]
    own.sort(key=lambda x: x[0][1])
    for i, (one, box) in enumerate(own):
        for other, beside in own[i + 1 :]:
            if other[1] > one[3]:
                break
            if not laid_over(one, other) or within(one, other) or within(other, one):
                continue
            if not _band_on_rail(box, beside):
                yield f"{box.classes} | {beside.classes}"


def _band_on_rail(*boxes: BlockBox) -> bool:
    """Bands, and what stands in them, may lie across the rail and the body beside it."""
    kinds = {name for box in boxes for name in box.classes}
    return "rail" in kinds and bool(kinds & {"band", "sign"})


def foot_below(order: Order, found: Poster) -> Iterator[str]:
    del order
    boxes = named(found)
    for name, box in boxes.items():
        if name.startswith("column-") and box.bottom > boxes["foot"].top:
            yield name


def unsaid(order: Order, found: Poster) -> Iterator[str]:
    """All words of the protocol stand on the sheet, in the order of the path."""
    text = plain("".join(text.text for text in printed(found)))
    at = 0
    for words in wanted(order):
        place = text.find(plain(words), at)
        if place < 0:
            yield words
        else:
            at = place + len(plain(words))


def wanted(order: Order) -> Iterator[str]:
    """Every word that the sheet must print, in order."""
    yield order.protocol.title
    for part in parts_of(order):
        yield part.title
        yield from part.introduction
        for step in part.steps:
            yield from _words(step)
    yield order.clinic.name
    yield order.clinic.contact
    yield order.code


def parts_of(order: Order) -> list[Part]:
    """The parts asked for, in the order of the sheet."""
    doffing = [p for p in order.protocol.parts if p.begin.activity is Activity.DOFFING]
    others = [p for p in order.protocol.parts if p.begin.activity is not Activity.DOFFING]
    return {"donning": others, "doffing": doffing}.get(order.parts, others + doffing)


def _words(step: Step) -> Iterator[str]:
    yield step.lead
    yield step.detail
    yield from step.cautions
    for branch in step.fork.branches if step.fork else ():
        yield branch.lead
        yield branch.detail
        for inner in branch.steps:
            yield from _words(inner)
