"""`python -m tests.pictures`: makes the pictures of the README anew from the example set."""

from __future__ import annotations

import sys
import tempfile
from pathlib import Path

import pypdfium2

from compiler.cli import main
from tests.command.running import EXAMPLE

PICTURES = EXAMPLE / "pictures"
SHEETS = {
    "airborne-en.png": ("airborne-room", "en", "RGB"),
    "airborne-ar.png": ("airborne-room", "ar", "RGB"),
    "airborne-hi.png": ("airborne-room", "hi", "RGB"),
    "rapid-entry-en.png": ("rapid-entry", "en", "RGB"),
    "rapid-entry-zh-Hans-grey.png": ("rapid-entry", "zh-Hans", "L"),
    "high-consequence-es.png": ("high-consequence", "es", "RGB"),
}
WIDTH = 620
"""Pixels: readable beside one another, and small in the repository."""


def make(into: Path) -> None:
    """Compiles the example and draws one page a picture."""
    with tempfile.TemporaryDirectory() as name:
        sys.argv = ["wallward", "compile", str(EXAMPLE), "--into", name]
        try:
            main()
        except SystemExit as left:
            if left.code:
                raise
        for picture, (protocol, language, mode) in SHEETS.items():
            document = pypdfium2.PdfDocument(Path(name) / f"{protocol}-poster-{language}.pdf")
            page = document[0]
            image = page.render(scale=2 * WIDTH / page.get_width()).to_pil().convert(mode)
            small = image.resize((WIDTH, round(image.height * WIDTH / image.width)))
            small.quantize(48).save(into / picture, optimize=True)


if __name__ == "__main__":
    PICTURES.mkdir(exist_ok=True)
    make(PICTURES)
