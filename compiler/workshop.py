"""Makes one sheet from one task. The only way to the PDF engine, used in worker processes."""

from __future__ import annotations

from compiler.check_code import shown
from compiler.collecting import without_collecting
from compiler.layout.fonts import Obstacle
from compiler.pipeline import Version
from compiler.products.card import card
from compiler.products.observer import observer
from compiler.products.outcome import Maker, Outcome
from compiler.products.page import page
from compiler.products.poster import poster
from compiler.products.review import review, words_review
from compiler.products.sheet import Order
from compiler.products.sheet_rules import engine_findings
from compiler.products.specimen import pictograms
from compiler.products.steps import steps
from compiler.products.tags import tags
from compiler.products.templates import TemplateFaultError
from compiler.storage import write_whole
from compiler.task import Sheet, Task
from compiler.wording.words import words


def make(task: Task) -> tuple[Sheet, dict[str, bytes]]:
    """Makes one sheet and writes its files whole; gives their bytes by ending, if any.

    Raises:
        OSError: when it cannot be written; the last good sheet is still there.
    """
    # a layout makes many objects and drops them all at once
    with without_collecting():
        outcome = _made(task)
    files = {task.ending(ending): data for ending, data in outcome.files.items()}
    if task.wish.form == "png":
        files = {ending: _as_picture(ending, data) for ending, data in files.items()}
    for ending, data in files.items():
        write_whole(task.path_of(ending), data)
    sheet = Sheet(task, outcome.findings, outcome.told, bool(files), layouts=outcome.layouts)
    return sheet, files


def _made(task: Task) -> Outcome:
    """The sheet, unless a template of the theme cannot be filled."""
    try:
        return MAKERS[task.kind.name](orders_of(task))
    except TemplateFaultError as fault:
        obstacle = Obstacle(f"The theme's template cannot be filled: {fault}.")
        at = task.version.protocol.at
        return Outcome(findings=tuple(engine_findings((obstacle,), at)))


def _as_picture(ending: str, data: bytes) -> bytes:
    """A PDF drawn as a picture; what is no PDF stays as it is."""
    # imported here because most sheets are never drawn
    from compiler.products.picture import png

    return png(data) if ending.endswith("png") else data


def _poster(orders: tuple[Order, ...]) -> Outcome:
    made = poster(orders[0])
    if made.poster is None:
        return Outcome(findings=made.findings)
    report = made.poster.report
    told = (
        f"{report.paper} {report.orientation}, leads to {report.leads.far:.1f} m, "
        f"details to {report.details.far:.1f} m"
    )
    return Outcome({"pdf": made.poster.pdf}, told, made.findings, report.layouts)


MAKERS: dict[str, Maker] = {
    "poster": _poster,
    "card": card,
    "observer": observer,
    "tags": tags,
    "steps": steps,
    "page": page,
    "review": review,
    "words": words_review,
    "pictograms": pictograms,
}
"""Who makes each kind of sheet of `model/sheet_kinds.py`."""


def orders_of(task: Task) -> tuple[Order, ...]:
    """What the sheet's maker is asked for: one order a language."""
    return tuple(
        _order(task, version, code, link)
        for version, code, link in zip(task.versions, task.codes, task.links, strict=True)
    )


def _order(task: Task, version: Version, code: str, link: str) -> Order:
    wish = task.wish
    return Order(
        protocol=version.protocol,
        clinic=version.clinic,
        kit=version.kit,
        words=words(version.language),
        code=shown(code),
        link=link,
        draft=wish.draft,
        reviewed=version.reviewed,
        paper=wish.paper,
        orientation=wish.orientation,
        parts=wish.parts,
        theme=wish.theme,
        card=wish.card,
        flip=wish.flip,
        written_in=version.sources,
    )
