"""What lies in an edition's folder: sheets, the text as signed, the record, a page, the zip."""

from __future__ import annotations

import datetime
from collections.abc import Iterable, Iterator
from dataclasses import dataclass, replace
from pathlib import Path, PurePosixPath

from compiler import __version__
from compiler.check_code import sha256
from compiler.content import Content
from compiler.editions.print_shop import NAME as ZIP
from compiler.editions.print_shop import print_shop_zip
from compiler.editions.record import (
    EditionRecord,
    PublishedSheet,
    SheetFile,
    Shown,
    Signer,
    Tongue,
)
from compiler.editions.scan import paper_of, size_of
from compiler.editions.shelf import Editions
from compiler.editions.standing import Standing
from compiler.findings import Finding
from compiler.layout.fonts import faces_for
from compiler.model.sheet_kinds import Each
from compiler.pipeline import ProtocolSet
from compiler.printing import RECORD
from compiler.products.theme import theme_names
from compiler.storage import SIGN_OFFS, write_whole
from compiler.task import Sheet
from compiler.wording.words import words

SOURCE, PAGE = "source", "index.html"


@dataclass(frozen=True, slots=True)
class Ingredients:
    """All that an edition is made from."""

    protocol_set: ProtocolSet
    content: Content
    languages: tuple[str, ...]
    on: datetime.date
    findings: tuple[Finding, ...]
    signed: Standing


def record_of(
    made_from: Ingredients,
    sheets: Iterable[Sheet],
    part: Path,
    number: int,
    editions: Editions,
) -> EditionRecord:
    """The record of sheets that were just made in a folder, without the other outputs."""
    clinic = made_from.protocol_set.clinic
    assert clinic
    (part / "sheets" / RECORD).unlink(missing_ok=True)
    listed = list(sheets)
    previous = editions.record(number - 1) if number > 1 else None
    return EditionRecord(
        edition=number,
        published=made_from.on.isoformat(),
        wallward=__version__,
        clinic=clinic.name,
        contact=clinic.contact,
        content=made_from.content.hash,
        previous=sha256(previous.read_bytes()) if previous else "",
        languages=tuple(map(_tongue, made_from.languages)),
        sign_offs=tuple(
            Signer(s.day.isoformat(), s.reviewer, s.role, s.languages, s.proof.value, s.remark)
            for s in made_from.signed.counted
        ),
        sheets=tuple(_published(sheet, part, made_from) for sheet in listed),
        titles={p.name: p.title for p in made_from.protocol_set.protocols},
        inputs=made_from.content.hashes,
        fonts=dict(sorted(_fonts(made_from.languages))),
        outputs={},
        findings=tuple(
            _told(f) for f in (*made_from.findings, *(f for s in listed for f in s.findings))
        ),
    )


def _tongue(tag: str) -> Tongue:
    own = words(tag)
    return Tongue(tag, own.own_name, own.direction)


def _published(sheet: Sheet, part: Path, made_from: Ingredients) -> PublishedSheet:
    task = sheet.task
    head = task.version.protocol
    of_the_set = task.kind.each is Each.SET
    reviews = [p.review_by for p in made_from.protocol_set.protocols if p.review_by]
    review = min(reviews, default=None) if of_the_set else head.review_by
    return PublishedSheet(
        product=task.kind.name,
        protocol="" if of_the_set else head.name,
        edition="" if of_the_set else head.edition,
        valid_from=head.valid_from.isoformat() if head.valid_from and not of_the_set else "",
        review_by=review.isoformat() if review else "",
        shown=tuple(
            Shown(
                code,
                v.language,
                v.clinic.name if of_the_set else v.protocol.title,
                link,
                v.reviewed,
            )
            for v, code, link in zip(task.versions, task.codes, task.links, strict=True)
        ),
        files=tuple(_file(path, part) for path in task.paths),
    )


def _file(path: Path, part: Path) -> SheetFile:
    data = path.read_bytes()
    size = size_of(data) if path.suffix == ".pdf" else None
    name = path.relative_to(part).as_posix()
    return SheetFile(name, paper_of(*size) if size else "", sha256(data))


def _fonts(languages: Iterable[str]) -> Iterator[tuple[str, str]]:
    paths = {
        path
        for language in languages
        for face in faces_for(language).order
        for path in (face.regular.path, face.bold.path)
    }
    for path in paths:
        yield path.name, sha256(path.read_bytes())


def _told(finding: Finding) -> dict[str, str | int]:
    return {
        "rule": finding.rule.slug,
        "level": finding.rule.level.value,
        "message": finding.message,
        "file": Path(finding.at.span.source.path).name,
        "line": finding.at.span.line,
    }


def _text_as_signed(made_from: Ingredients) -> Iterator[tuple[str, bytes]]:
    """The clinic's own files, a look of its own with them: a set that can be read again."""
    content, clinic = made_from.content, made_from.protocol_set.clinic
    yield from content.of_the_set.items()
    look = PurePosixPath(clinic.theme if clinic else "")
    if look.name and look.as_posix() not in theme_names() and ".." not in look.parts:
        start = f"theme/{look.name}/"
        for name, data in content.files.items():
            if name.startswith(start):
                yield f"{look.as_posix()}/{name.removeprefix(start)}", data


def write_files(
    part: Path, record: EditionRecord, made_from: Ingredients, page: bytes
) -> EditionRecord:
    """Writes all that is not a sheet, and gives the record with every output."""
    data = {
        file.name: (part / file.name).read_bytes()
        for sheet in record.sheets
        for file in sheet.files
    }
    texts = {f"{SOURCE}/{name}": t for name, t in _text_as_signed(made_from)}
    signed = made_from.protocol_set.sources[SIGN_OFFS].text.encode()
    others = {
        **texts,
        f"{SOURCE}/{SIGN_OFFS}": signed,
        ZIP: print_shop_zip(record.sheets, data),
        PAGE: page,
    }
    outputs = {name: sha256(each) for name, each in sorted((data | others).items())}
    whole = replace(record, outputs=outputs)
    for name, each in others.items():
        write_whole(part / name, each)
    write_whole(part / "edition.json", whole.written)
    return whole
