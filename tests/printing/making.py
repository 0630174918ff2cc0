"""Small sheets for the tests, and their text as two readers of PDF give it back."""

from __future__ import annotations

import subprocess
import tempfile
import unicodedata
from datetime import date
from functools import cache
from pathlib import Path

import pypdfium2
import yaml

from compiler.layout.cutting import CutFace, cut
from compiler.layout.fonts import Faces, faces_for
from compiler.products.pdf import About, Laid, Press, Written

HERE = Path(__file__).parent
LANGUAGES = ("en", "es", "fr", "pt", "de", "pl", "uk", "ru", "ar", "fa", "ur", "hi", "bn")
LANGUAGES += ("zh-Hans", "zh-Hant", "vi", "tl", "so", "am", "th", "ko")
SENTENCES: dict[str, list[str]] = yaml.safe_load(
    (HERE / "hand-hygiene.yaml").read_text(encoding="utf-8")
)
LEFTWARD = {"ar", "fa", "ur"}
MADE = date(2026, 11, 1)


@cache
def cut_for(language: str, text: str) -> tuple[Faces, tuple[CutFace, ...]]:
    faces = faces_for(language)
    return faces, cut(faces, text, text)


def page(language: str, body: str) -> str:
    way = "rtl" if language in LEFTWARD else "ltr"
    return f'<html lang="{language}" dir="{way}"><body>{body}</body></html>'


def style(faces: Faces, more: str = "") -> str:
    families = faces.families
    return f"@page {{ size: A5; margin: 10mm }} body {{ margin: 0; font: 12pt/1.6 {families} }} {more}"


def lay(
    language: str, sentences: list[str], more: str = "", folder: Path = HERE
) -> tuple[Press, Laid]:
    """A sheet with a paragraph for each sentence."""
    faces, cuts = cut_for(language, "".join(sentences))
    press = Press(cuts, {"theme": folder})
    body = "".join(f"<p>{sentence}</p>" for sentence in sentences)
    return press, press.layout(page(language, body), [style(faces, more)])


def write(language: str, sentences: list[str], more: str = "") -> Written:
    press, laid = lay(language, sentences, more)
    return press.write(laid, About("Hand hygiene", language, MADE))


def pdfium(pdf: bytes) -> str:
    """The text of all pages as Chrome's library reads it."""
    document = pypdfium2.PdfDocument(pdf)
    text = "".join(page.get_textpage().get_text_range() for page in document)
    document.close()
    return text


def poppler(pdf: bytes) -> str:
    """The text of all pages as pdftotext reads it."""
    with tempfile.NamedTemporaryFile(suffix=".pdf") as file:
        file.write(pdf)
        file.flush()
        return subprocess.run(
            ["pdftotext", "-enc", "UTF-8", file.name, "-"],
            capture_output=True,
            check=True,
            encoding="utf-8",
        ).stdout


READERS = {"pdfium": pdfium, "poppler": poppler}


def plain(text: str) -> str:
    """The normal form in which texts are compared: NFKC, without white space or format characters.

    Format characters (Unicode category Cf) are marks of direction, joiners and the zero-width
    space. Nothing else is folded, and the order counts.
    """
    return "".join(
        sign
        for sign in unicodedata.normalize("NFKC", text)
        if not sign.isspace() and unicodedata.category(sign) != "Cf"
    )
