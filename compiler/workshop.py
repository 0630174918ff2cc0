"""Makes one sheet from one task. The only way to the PDF engine, used in worker processes."""

from __future__ import annotations

import gc
from collections.abc import Iterator
from contextlib import contextmanager

from compiler.check_code import shown
from compiler.pipeline import Version
from compiler.products.card import card
from compiler.products.outcome import Maker, Outcome
from compiler.products.poster import poster
from compiler.products.sheet import Order
from compiler.storage import write_whole
from compiler.task import Sheet, Task
from compiler.wording.words import words


def make(task: Task) -> tuple[Sheet, dict[str, bytes]]:
    """Makes one sheet and writes its files whole; gives their bytes by ending, if any.

    Raises:
        OSError: when it cannot be written; the last good sheet is still there.
    """
    with _without_collecting():
        outcome = MAKERS[task.kind.name](orders_of(task))
    for ending, data in outcome.files.items():
        write_whole(task.path_of(ending), data)
    made = bool(outcome.files)
    sheet = Sheet(task, outcome.findings, outcome.told, made, layouts=outcome.layouts)
    return sheet, outcome.files


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
}
"""Who makes each kind of sheet of `model/sheet_kinds.py`."""


@contextmanager
def _without_collecting() -> Iterator[None]:
    """Puts off the search for cyclic garbage: a layout makes many objects and drops them all.

    The search again and again through a growing layout costs a fifth of the time.
    """
    was_on = gc.isenabled()
    gc.disable()
    try:
        yield
    finally:
        if was_on:
            gc.enable()


def orders_of(task: Task) -> tuple[Order, ...]:
    """What the sheet's maker is asked for: one order a language."""
    return tuple(
        _order(task, version, code)
        for version, code in zip(task.versions, task.codes, strict=True)
    )


def _order(task: Task, version: Version, code: str) -> Order:
    wish = task.wish
    return Order(
        protocol=version.protocol,
        clinic=version.clinic,
        kit=version.kit,
        words=words(version.language),
        code=shown(code),
        link=_link(version, code),
        draft=wish.draft,
        reviewed=version.reviewed,
        paper=wish.paper,
        orientation=wish.orientation,
        parts=wish.parts,
        theme=wish.theme,
        card=wish.card,
        flip=wish.flip,
    )


def _link(version: Version, code: str) -> str:
    """What the QR code holds: the clinic's address with the check code, or plain words."""
    if version.clinic.link:
        return f"{version.clinic.link}{code}"
    return f"{version.clinic.name}, {version.protocol.title}, {code}"
