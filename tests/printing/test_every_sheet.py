"""What every sheet of every kind carries, read back from its PDF; and what kind of file it is."""

from __future__ import annotations

import io
import re
from functools import cache
from pathlib import Path

import outloud
import pikepdf
import pypdfium2
import pytest
import zxingcpp

from compiler.check_code import shown
from compiler.model.sheet_kinds import USUAL
from compiler.pipeline import open_set
from compiler.printing import tasks_of
from compiler.products.outcome import Outcome
from compiler.products.sheet import CAUTION, Order
from compiler.task import Task
from compiler.wish import Wish
from compiler.workshop import MAKERS, orders_of
from tests.printing.making import pdfium, plain, poppler
from tests.printing.posters import PROTOCOLS

NAMES = ("rapid-entry", "airborne-room")
KEEPING = {"tags"}
"""Kinds that are made for protocols which keep something: of the second."""
LANGUAGES = ("en", "es", "ar", "zh-Hans", "hi")
DOTS = {"poster": 100}
"""To the inch, at which a code must read; 300, as any office printer has, for small sheets."""
FALSE_ALARMS = {
    "TXT-004",  # letters of joined scripts have several shapes, each of which means the letter
    "FIG-012",  # takes alternative text in Devanagari for no language
}
IMPOSED = "print.pdf"
"""Cards laid out many to a sheet: for the printer only, and not tagged."""


@cache
def tasks() -> dict[tuple[str, str], Task]:
    """One task a language, for each kind that hangs or is carried about as paper."""
    found = open_set(PROTOCOLS, [PROTOCOLS / f"{name}.md" for name in NAMES])
    made = tasks_of(found, Wish(Path("build"), LANGUAGES, products=USUAL))
    return {
        (task.kind.name, task.version.language): task
        for task in made
        if any(ending.endswith("pdf") for ending in task.kind.endings)
        and task.version.protocol.name == NAMES[task.kind.name in KEEPING]
    }


@cache
def made(kind: str, language: str) -> Outcome:
    outcome = MAKERS[kind](orders_of(tasks()[kind, language]))
    assert outcome.files, [finding.message for finding in outcome.findings]
    return outcome


def pdfs(kind: str, language: str) -> dict[str, bytes]:
    return {
        ending: data
        for ending, data in made(kind, language).files.items()
        if ending.endswith("pdf")
    }


def order_of(kind: str, language: str) -> Order:
    return orders_of(tasks()[kind, language])[0]


def carried(task: Task, order: Order) -> dict[str, str]:
    """What must stand on the sheet, by name."""
    protocol, say = order.protocol, order.words.say
    return {
        "clinic": order.clinic.name,
        "title": protocol.title,
        "edition": say("Edition {edition}", edition=protocol.edition),
        "valid from": protocol.valid_from.isoformat(),
        "review by": protocol.review_by.isoformat(),
        "check code": shown(task.code),
        "language": order.words.own_name,
        "caution": say(CAUTION),
        "draft": say("DRAFT"),
    }


SHEETS = [pytest.param(*key, id="-".join(key)) for key in tasks()]
some_pdfs = pytest.mark.parametrize(("kind", "language"), SHEETS)


@some_pdfs
def test_every_sheet_carries_what_it_must(kind, language):
    """Read back by pdfium, or from right to left by poppler: pdfium makes RTG3 of 3RTG there."""
    wanted = carried(tasks()[kind, language], order_of(kind, language))
    for ending, data in pdfs(kind, language).items():
        text = plain(pdfium(data)) + (plain(poppler(data)) if language == "ar" else "")
        assert not {name: w for name, w in wanted.items() if not _stands(w, text, language)}, (
            ending
        )


def _stands(words: str, text: str, language: str) -> bool:
    """From right to left the reader turns lines around, so there it is word by word."""
    said = words.split() if language == "ar" else [words]
    return all(plain(word) in text for word in said)


@some_pdfs
def test_both_readers_find_the_same_letters(kind, language):
    """Poppler turns some runs around in Arabic, so letters are counted and not their order."""
    for data in pdfs(kind, language).values():
        assert sorted(plain(poppler(data))) == sorted(plain(pdfium(data)))


@some_pdfs
def test_the_code_reads_from_a_picture(kind, language):
    """ISO/IEC 18004 as read by zxing: once at least in each file, and never another code."""
    link = tasks()[kind, language].links[0]
    for ending, data in pdfs(kind, language).items():
        found = set()
        for page in pypdfium2.PdfDocument(data):
            picture = page.render(scale=DOTS.get(kind, 300) / 72).to_pil()
            found |= {code.text for code in zxingcpp.read_barcodes(picture)}
        assert found == {link}, ending


@some_pdfs
def test_no_open_checker_finds_an_error(kind, language, tmp_path):
    """PDF/UA-1 (ISO 14289-1:2014) as far as the open checker `outloud` knows it: no certificate."""
    for ending, data in pdfs(kind, language).items():
        if ending == IMPOSED:
            continue
        file = tmp_path / f"sheet.{ending}"
        file.write_bytes(data)
        told = outloud.check(str(file)).findings
        assert [f for f in told if f.severity == "error"] == []
        if kind == "poster":
            assert {f.rule for f in told if f.severity == "warning"} <= FALSE_ALARMS


@some_pdfs
def test_tags_bookmarks_and_fonts(kind, language):
    """PDF/UA-1: 7.1 tagged and titled, 7.2 language, 7.3 alternatives, 7.17 navigation, 7.21.4 fonts."""
    for ending, data in pdfs(kind, language).items():
        if ending == IMPOSED:
            continue
        with pikepdf.open(io.BytesIO(data)) as pdf:
            assert pdf.Root.Lang == language
            assert pdf.Root.MarkInfo.Marked
            assert pdf.docinfo.Title
            tags = [o for o in pdf.objects if isinstance(o, pikepdf.Dictionary) and "/S" in o]
            figures = [tag for tag in tags if tag.get("/S") == "/Figure"]
            assert all(str(figure.get("/Alt", "")).strip() for figure in figures)
            with pdf.open_outline() as outline:
                assert [entry.title for entry in outline.root]
            for font in pdf.objects:
                if (
                    isinstance(font, pikepdf.Dictionary)
                    and font.get("/Type") == "/FontDescriptor"
                ):
                    assert font.get("/FontFile2") or font.get("/FontFile3")
                    assert re.match(r"/[A-Z]{6}\+", str(font.FontName))
