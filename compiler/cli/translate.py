"""`wallward translate`: the .po files up to date, how far they are, and who reviewed them."""

from __future__ import annotations

import datetime
from pathlib import Path

import click

from compiler.cli.day import Day, today
from compiler.cli.screen import screen_style
from compiler.collecting import without_collecting
from compiler.findings import Finding
from compiler.pipeline import ProtocolSet, open_set
from compiler.report.text import text_report
from compiler.storage import TRANSLATIONS, find_sets, write_whole
from compiler.translating import Brought, brought_up_to_date, coverage_table, reviewed_now

HELP = """Bring the translations up to date with the text of a protocol set.

For each language in clinic.yaml it writes translations/LANGUAGE/PROTOCOL.po, which any editor
for .po files opens. Texts that changed are marked; what is marked or empty is never printed.
A table tells how far each language is.

With --reviewed-by "NAME, ROLE" and one --language it also records that somebody who reads the
language has reviewed the texts just as they are. Any later change of a text voids that.

\b
Examples:
  wallward translate
  wallward translate our-clinic
"""


@click.command("translate", help=HELP)
@click.argument("paths", nargs=-1, type=click.Path(path_type=Path))
@click.option("--language", "languages", multiple=True, help="Only this one; may be repeated.")
@click.option(
    "--reviewed-by", "who", metavar="NAME, ROLE", help="Record a review of one language."
)
@click.option(
    "--on", type=Day(), default=today, show_default="today", help="The day of the review."
)
def command(
    paths: tuple[Path, ...], languages: tuple[str, ...], who: str | None, on: datetime.date
) -> int:
    """Writes the catalogues and tells what is left to do."""
    if who is not None and (
        len(set(languages)) != 1 or "," not in who or not who.isprintable()
    ):
        raise click.UsageError(
            "a review is of one language and names who and in which role: --language es "
            '--reviewed-by "A. Name, interpreter"'
        )
    findings: list[Finding] = []
    refused = False
    for folder, files in find_sets(paths):
        with without_collecting():
            told, unfit = _set_up_to_date(folder, files, languages, who, on)
        findings += told
        refused |= unfit
    if findings:
        click.echo(text_report(findings, 0, screen_style()), nl=False)
    return 1 if findings or refused else 0


def _set_up_to_date(
    folder: Path,
    files: list[Path],
    languages: tuple[str, ...],
    who: str | None,
    on: datetime.date,
) -> tuple[list[Finding], bool]:
    """Writes the files of one set; its findings, and whether a review could not be recorded."""
    protocol_set = open_set(folder, files)
    _refuse_unknown(protocol_set, languages)
    findings = list(protocol_set.findings) if not protocol_set.clinic else []
    brought = list(brought_up_to_date(protocol_set, folder.name, languages))
    for each in brought:
        findings += _written(each, folder)
    if who is not None:
        brought = [_signed(each, folder, who, on) for each in brought]
    click.echo(coverage_table(brought), nl=False)
    return findings, who is not None and not all(each.reviewed for each in brought)


def _refuse_unknown(protocol_set: ProtocolSet, languages: tuple[str, ...]) -> None:
    """A language that needs no translation, or that the clinic does not have, is wrong use."""
    for tag in languages:
        if protocol_set.clinic and tag not in protocol_set.foreign:
            there = ", ".join(protocol_set.foreign) or "none"
            raise click.UsageError(f'no translation "{tag}" in clinic.yaml; there are: {there}')


def _written(each: Brought, folder: Path) -> tuple[Finding, ...]:
    """Writes one file if it differs, and tells what became of it."""
    path = folder / TRANSLATIONS / each.language / f"{each.stem}.po"
    updated = each.updated
    if each.differs:
        write_whole(path, updated.text.encode())
    told = f"{updated.fresh} new, {updated.changed} changed, {updated.retired} out of use"
    click.echo(f"{path.as_posix()}: {told if not each.findings else 'damaged, left as it is'}")
    return each.findings


def _signed(each: Brought, folder: Path, who: str, on: datetime.date) -> Brought:
    """The file with a review recorded, if it is fit for it."""
    path = folder / TRANSLATIONS / each.language / f"{each.stem}.po"
    if each.findings or each.left:
        why = "damaged" if each.findings else f"texts that are empty or marked: {each.left}"
        click.echo(f"{path.as_posix()}: no review recorded; {why}")
        return each
    done = reviewed_now(each, who, on)
    write_whole(path, done.updated.text.encode())
    click.echo(f"{path.as_posix()}: reviewed by {who} on {on.isoformat()}")
    return done
