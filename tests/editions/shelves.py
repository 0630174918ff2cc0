"""Folders of many editions, made from records alone: what tracing needs, without the sheets."""

from __future__ import annotations

import datetime
from collections.abc import Iterable, Sequence
from pathlib import Path

from compiler.check_code import check_code, sha256
from compiler.editions.pages import EditionPage, Past
from compiler.editions.record import (
    EditionRecord,
    PublishedSheet,
    SheetFile,
    Shown,
    Tongue,
)
from compiler.editions.register import Register
from compiler.editions.shelf import Editions

FIRST_DAY = datetime.date(2026, 1, 1)
LANGUAGES = (Tongue("en", "English", "ltr"), Tongue("ar", "العربية", "rtl"))
TITLE = "Rapid entry for a collapse"
KINDS = ("poster", "card")


def code_of(*words: object) -> str:
    return check_code([repr(words).encode()])


def record_of(
    number: int,
    texts: Sequence[str],
    title: str = TITLE,
    languages: Sequence[Tongue] = LANGUAGES,
    review_by: str = "2027-05-01",
) -> EditionRecord:
    """An edition of one protocol a text; the same text has the same codes in every edition."""
    sheets = []
    for name, text in enumerate(texts):
        for tongue in languages:
            for kind in KINDS:
                code = code_of(name, text, tongue.tag, kind)
                file = f"sheets/protocol-{name}-{kind}-{tongue.tag}.pdf"
                sheets.append(
                    PublishedSheet(
                        kind,
                        f"protocol-{name}",
                        "1",
                        "2026-01-01",
                        review_by,
                        (
                            Shown(
                                code,
                                tongue.tag,
                                title,
                                f"https://tern-island.example/#{code}",
                                True,
                            ),
                        ),
                        (SheetFile(file, "A2", sha256(code.encode())),),
                    )
                )
    day = FIRST_DAY + datetime.timedelta(days=number)
    return EditionRecord(
        edition=number,
        published=day.isoformat(),
        wallward="0",
        clinic="Tern Island Health Post",
        contact="extension 214",
        content=sha256(repr(list(texts)).encode()),
        previous="",
        languages=tuple(languages),
        sign_offs=(),
        sheets=tuple(sheets),
        titles={f"protocol-{name}": title for name in range(len(texts))},
        inputs={},
        fonts={},
        outputs={},
        findings=(),
    )


def shelved(folder: Path, records: Iterable[EditionRecord]) -> Editions:
    """The folder of these editions, the last one current."""
    editions, register = Editions(folder), Register()
    before = record = None
    for record in records:
        before, last = record, before
        editions.edition(record.edition).mkdir(parents=True)
        editions.record(record.edition).write_bytes(record.written)
        register.add(record)
    assert record
    editions.register.write_bytes(register.written)
    page = EditionPage(record, Past(last), "default").html()
    editions.index.write_text(page, encoding="utf-8")
    return editions
