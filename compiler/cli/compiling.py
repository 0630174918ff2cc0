"""Making the sheets of some sets, and telling of each: the work of `wallward compile`."""

from __future__ import annotations

import datetime
import sys
from dataclasses import replace
from pathlib import Path

import click

from compiler.findings import Finding, must_fix
from compiler.pipeline import ProtocolSet, open_set, validated
from compiler.printing import print_sheets, tasks_of
from compiler.products.theme import theme_named
from compiler.products.theme_choice import chosen
from compiler.task import Sheet
from compiler.wish import Wish


def made(
    sets: list[tuple[Path, list[Path]]], wish: Wish, on: datetime.date
) -> tuple[list[Finding], list[Sheet]]:
    """Validates and prints sets; every finding, and what became of each sheet.

    Raises:
        UnreadableSourceError: when a file cannot be used at all.
        click.UsageError: a language or a question is wished for that a set does not have.
        OSError: when the folder cannot be written; sheets written before are whole.
    """
    findings: list[Finding] = []
    sheets: list[Sheet] = []
    for folder, files in sets:
        protocol_set = open_set(folder, files)
        _refuse_unknown(protocol_set, wish)
        told = validated(protocol_set, wish.languages or None, on)
        findings += told
        look = chosen(wish.theme, protocol_set.clinic, folder)
        printable, more = _printable(protocol_set, told, look)
        findings += more
        printed = _print(printable, replace(wish, theme=look))
        sheets += printed
        findings += (finding for sheet in printed for finding in sheet.findings)
        _tell_stopped(files, printable)
    return findings, sheets


def _refuse_unknown(protocol_set: ProtocolSet, wish: Wish) -> None:
    """Languages and questions that the set does not have are wrong use."""
    clinic = protocol_set.clinic
    unknown = [tag for tag in wish.languages if clinic and tag not in clinic.languages]
    if clinic and unknown:
        raise click.UsageError(
            f'no language "{unknown[0]}" in clinic.yaml: {", ".join(clinic.languages)}'
        )
    known = protocol_set.answers
    for question, answer in wish.answers:
        if answer not in known.get(question, ()):
            asked = "; ".join(f"{q} = {' or '.join(a)}" for q, a in known.items())
            raise click.UsageError(
                f'no question "{question}" with the answer "{answer}"; there are: {asked}'
            )


def _printable(
    protocol_set: ProtocolSet, findings: list[Finding], look: str
) -> tuple[ProtocolSet, list[Finding]]:
    """The set without protocols that have something that must be fixed.

    Where the look of all sheets has, none is left. Comes with what is wrong with the look, if
    that was not told before.
    """
    found = theme_named(look).findings
    more = [finding for finding in found if finding not in findings]
    if must_fix(found):
        return replace(protocol_set, protocols=()), more
    stopped = {f.at.span.source.path for f in findings if must_fix([f])}
    return protocol_set.without(stopped), more


def _tell_stopped(files: list[Path], printable: ProtocolSet) -> None:
    """One line for each protocol that is not printed at all."""
    printed = {protocol.source.path for protocol in printable.protocols}
    for file in files:
        if file.as_posix() not in printed:
            click.echo(f"{file.as_posix()}  not printed: see the findings")


def _print(protocol_set: ProtocolSet, wish: Wish) -> list[Sheet]:
    """Makes the sheets and tells of each; what became of them, in order."""
    if not protocol_set.protocols or not protocol_set.clinic:
        return []
    tasks = list(tasks_of(protocol_set, wish))
    sheets = print_sheets(tasks, wish.into)
    with click.progressbar(
        sheets, length=len(tasks), label="sheets", file=sys.stderr, show_pos=True
    ) as bar:
        done = list(bar)
    done.sort(key=lambda sheet: sheet.task.path)
    for sheet in done:
        click.echo(_line(sheet))
    return done


def _line(sheet: Sheet) -> str:
    path = sheet.task.path.as_posix()
    if sheet.unchanged:
        return f"{path}  unchanged"
    if not sheet.made and not sheet.told:
        return f"{path}  not made: see the findings"
    return f"{path}  {sheet.told}"
