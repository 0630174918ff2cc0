"""The zip for the print shop: all sheets on paper, and a list of what they are."""

from __future__ import annotations

import csv
import io
import zipfile
from collections.abc import Iterable, Mapping

from compiler.editions.record import PublishedSheet

NAME = "print-shop.zip"
LIST = "manifest.csv"
COLUMNS = ("file", "sheet", "language", "check code", "paper", "copies", "sha256")
COPIES = 1
"""The clinic writes in how many it wants."""
FIRST_DAY = (1980, 1, 1, 0, 0, 0)
"""The earliest that a zip can say; no clock goes into the bytes."""


def print_shop_zip(sheets: Iterable[PublishedSheet], data: Mapping[str, bytes]) -> bytes:
    """The zip; the same sheets give the same bytes.

    Args:
        sheets: Those of the edition.
        data: The bytes of every file, by its name in the edition.
    """
    rows = io.StringIO()
    table = csv.writer(rows, lineterminator="\r\n")  # RFC 4180, 2.1
    table.writerow(COLUMNS)
    names: list[str] = []
    for sheet in sheets:
        for file in sheet.files:
            if file.paper:
                languages = " ".join(shown.language for shown in sheet.shown)
                codes = " ".join(shown.code for shown in sheet.shown)
                what = sheet.product
                table.writerow(
                    (file.name, what, languages, codes, file.paper, COPIES, file.sha256)
                )
                names.append(file.name)
    packed = io.BytesIO()
    with zipfile.ZipFile(packed, "w", zipfile.ZIP_STORED) as archive:
        _add(archive, LIST, rows.getvalue().encode())
        for name in names:
            _add(archive, name, data[name])
    return packed.getvalue()


def _add(archive: zipfile.ZipFile, name: str, data: bytes) -> None:
    entry = zipfile.ZipInfo(name, FIRST_DAY)
    entry.create_system = 3  # Unix, wherever it is made
    entry.external_attr = 0o644 << 16
    archive.writestr(entry, data)
