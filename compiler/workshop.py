"""Makes one sheet from one task. The only way to the PDF engine, used in worker processes."""

from __future__ import annotations

import gc
from collections.abc import Iterator
from contextlib import contextmanager

from compiler.check_code import shown
from compiler.products.poster import poster
from compiler.products.sheet import Order
from compiler.storage import write_whole
from compiler.task import Sheet, Task
from compiler.wording.words import words


def make(task: Task) -> tuple[Sheet, bytes]:
    """Makes one sheet and writes it whole; gives its bytes, or none if it could not be made.

    Raises:
        OSError: when it cannot be written; the last good sheet is still there.
    """
    with _without_collecting():
        made = poster(order_of(task))
    if made.poster is None:
        return Sheet(task, made.findings), b""
    write_whole(task.path, made.poster.pdf)
    return Sheet(task, made.findings, made.poster.report), made.poster.pdf


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


def order_of(task: Task) -> Order:
    """What the poster's maker is asked for."""
    version, wish = task.version, task.wish
    return Order(
        protocol=version.protocol,
        clinic=version.clinic,
        kit=version.kit,
        words=words(version.language),
        code=shown(task.code),
        link=_link(task),
        reviewed=version.reviewed,
        paper=wish.paper,
        orientation=wish.orientation,
        parts=wish.parts,
        theme=wish.theme,
    )


def _link(task: Task) -> str:
    """What the QR code holds: the clinic's address with the check code, or plain words."""
    version = task.version
    if version.clinic.link:
        return f"{version.clinic.link}{task.code}"
    return f"{version.clinic.name}, {version.protocol.title}, {task.code}"
