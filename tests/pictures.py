"""`python -m tests.pictures`: makes the pictures of the README anew from the example set."""

from __future__ import annotations

import re
import sys
import tempfile
from pathlib import Path

import pypdfium2
from PIL import Image

from compiler.cli import main
from tests.command.running import EXAMPLE

PICTURES = EXAMPLE / "pictures"
SHEETS = {
    "airborne-en.png": ("airborne-room-poster-en", "RGB"),
    "airborne-ar.png": ("airborne-room-poster-ar", "RGB"),
    "airborne-hi.png": ("airborne-room-poster-hi", "RGB"),
    "rapid-entry-en.png": ("rapid-entry-poster-en", "RGB"),
    "rapid-entry-zh-Hans-grey.png": ("rapid-entry-poster-zh-Hans", "L"),
    "high-consequence-es.png": ("high-consequence-poster-es", "RGB"),
    "airborne-card-en.png": ("airborne-room-card-en", "RGB"),
    "airborne-steps-ar.png": ("airborne-room-steps-ar", "RGB"),
    "high-consequence-observer-en.png": ("high-consequence-observer-en", "RGB"),
    "airborne-tags-en.png": ("airborne-room-tags-en", "RGB"),
}
"""The sheet of each picture, and its mode of colour."""
SPREAD = {"airborne-card-en.png"}
"""Pictures of all pages beside each other, not of the first alone."""
WIDTH = 620
"""Pixels: readable beside one another, and small in the repository."""


def make(into: Path) -> None:
    """Compiles the sheets and draws a picture of each."""
    with tempfile.TemporaryDirectory() as name:
        for sheet, _ in SHEETS.values():
            compile_sheet(sheet, Path(name))
        for picture, (sheet, mode) in SHEETS.items():
            document = pypdfium2.PdfDocument(Path(name) / f"{sheet}.pdf")
            pages = list(document) if picture in SPREAD else [document[0]]
            scale = 2 * WIDTH / sum(page.get_width() for page in pages)
            drawn = [page.render(scale=scale).to_pil().convert(mode) for page in pages]
            image = Image.new(mode, (sum(d.width for d in drawn), drawn[0].height), "white")
            for i, page in enumerate(drawn):
                image.paste(page, (sum(d.width for d in drawn[:i]), 0))
            small = image.resize((WIDTH, round(image.height * WIDTH / image.width)))
            small.quantize(48).save(into / picture, optimize=True)


def compile_sheet(sheet: str, into: Path) -> None:
    """One sheet of the example by its name: protocol, kind and language."""
    protocol, kind, language = re.fullmatch(
        r"(.+)-(poster|card|steps|observer|tags)-(.+)", sheet
    ).groups()
    words = [EXAMPLE / f"{protocol}.md", "--product", kind, "--language", language]
    sys.argv = ["wallward", "compile", *map(str, words), "--into", str(into)]
    try:
        main()
    except SystemExit as left:
        if left.code:
            raise


if __name__ == "__main__":
    PICTURES.mkdir(exist_ok=True)
    make(PICTURES)
