"""`labels:` of `clinic.yaml`: the sheet of labels that tags go on, by size and grid."""

from __future__ import annotations

import re

from compiler.model.clinic import LabelSheet
from compiler.model.form import Form
from compiler.model.measures import millimetres
from compiler.syntax.spelling import quoted

KEYS = (
    "across", "down", "width", "height", "left", "top", "between columns", "between rows",
)  # fmt: skip
SHORTEST = 25.0
"""Millimetres of a label's height below which nothing can be written on it."""


def read_labels(form: Form) -> LabelSheet:
    """The label sheet; our own grid when the clinic names none."""
    entry = form.value("labels")
    if entry is None:
        return LabelSheet()
    below, usual = form.below("labels", KEYS), LabelSheet()
    for key in ("across", "down", "width", "height"):
        if below.value(key) is None:
            below.missing(key, "3" if key in ("across", "down") else "63.5 mm")
    sheet = LabelSheet(
        across=below.measure("across", _count, "3", usual.across),
        down=below.measure("down", _count, "7", usual.down),
        width=below.measure("width", _size, "63.5 mm", usual.width),
        height=below.measure("height", _size, "38.1 mm", usual.height),
        left=below.measure("left", millimetres, "7.2 mm", 0.0),
        top=below.measure("top", millimetres, "15.1 mm", 0.0),
        between_columns=below.measure("between columns", millimetres, "2.5 mm", 0.0),
        between_rows=below.measure("between rows", millimetres, "0 mm", 0.0),
        at=entry.key_at,
    )
    across, down = extent(sheet)
    if across > 220 or down > 300:
        form.wrong(
            entry.key_at,
            f"The labels of {quoted('labels')} reach {across:.0f} by {down:.0f} mm, "
            "which no office paper is.",
            "measure the label sheet again: left + across x (width + between columns)",
        )
        return LabelSheet()
    return sheet


def extent(sheet: LabelSheet) -> tuple[float, float]:
    """How far the labels reach from the corner of the paper, in millimetres."""
    across = sheet.across * (sheet.width + sheet.between_columns) - sheet.between_columns
    down = sheet.down * (sheet.height + sheet.between_rows) - sheet.between_rows
    return sheet.left + across, sheet.top + down


def _count(text: str) -> int | None:
    return int(text) if re.fullmatch("[1-9][0-9]?", text) else None


def _size(text: str) -> float | None:
    found = millimetres(text)
    return found if found and found >= SHORTEST else None
