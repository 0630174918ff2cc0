"""`python -m tests.pictures`: makes the pictures of the README anew from the example set."""

from __future__ import annotations

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
    """Compiles the example and draws one page a picture."""
    with tempfile.TemporaryDirectory() as name:
        kinds = ("poster", "card", "steps", "observer", "tags")
        asked = [word for kind in kinds for word in ("--product", kind)]
        asked += [w for tag in ("en", "es", "ar", "zh-Hans", "hi") for w in ("--language", tag)]
        sys.argv = ["wallward", "compile", str(EXAMPLE), "--into", name, *asked]
        try:
            main()
        except SystemExit as left:
            if left.code:
                raise
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


if __name__ == "__main__":
    PICTURES.mkdir(exist_ok=True)
    make(PICTURES)
