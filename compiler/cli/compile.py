"""`wallward compile`: validates, then writes the sheets."""

from __future__ import annotations

import datetime
import sys
from dataclasses import replace
from pathlib import Path

import click

from compiler.cli.answers import Suppose
from compiler.cli.day import on_option
from compiler.cli.screen import screen_style
from compiler.findings import Finding, must_fix
from compiler.layout.paper import CARDS, PAPERS, paper_named
from compiler.model.sheet_kinds import SHEET_KINDS
from compiler.pipeline import ProtocolSet, open_set, validated
from compiler.printing import print_sheets, tasks_of
from compiler.products.theme import theme_named
from compiler.products.theme_choice import chosen
from compiler.report.text import text_report
from compiler.rerun import footprint, remember, sheets_of
from compiler.storage import find_sets
from compiler.task import Sheet, Wish

HELP = """Validate, then write the sheets of every protocol in every language of the clinic.

Only what changed is made again. A protocol with something that must be fixed is not printed;
its last good sheet stays. Every sheet says DRAFT: approval is a separate act of your
clinic.

\b
Examples:
  wallward compile
  wallward compile our-clinic --language en --paper A2
  wallward compile protocols/airborne-room.md --product poster --parts doffing
  wallward compile --product poster --as png
  wallward compile --suppose "eye protection=goggles"

Exit status: 0 all sheets written, 1 something must be fixed, 2 wrong use or unreadable input.
"""


class PaperSize(click.ParamType[str]):
    """One of the paper sizes, however it is written."""

    name = "PAPER"

    def convert(
        self, value: str, param: click.Parameter | None, ctx: click.Context | None
    ) -> str:
        """The paper's own name."""
        paper = paper_named(value)
        if paper is None:
            self.fail(f"one of {', '.join(PAPERS)}", param, ctx)
        return paper.name


@click.command("compile", help=HELP)
@click.argument("paths", nargs=-1, type=click.Path(path_type=Path))
@click.option(
    "--into",
    type=click.Path(path_type=Path, file_okay=False),
    default=Path("build"),
    show_default=True,
    help="The folder for the sheets.",
)
@click.option(
    "--product",
    "products",
    type=click.Choice(list(SHEET_KINDS)),
    multiple=True,
    help="Only this kind of sheet; may be repeated.",
)
@click.option("--language", "languages", multiple=True, help="Only this one; may be repeated.")
@click.option("--paper", type=PaperSize(), help="Instead of the clinic's own.")
@click.option(
    "--orientation", type=click.Choice(["portrait", "landscape"]), help="Instead of the better."
)
@click.option(
    "--parts",
    type=click.Choice(["both", "donning", "doffing"]),
    default="both",
    show_default=True,
)
@click.option("--card", type=click.Choice(list(CARDS)), help="Panels, instead of the clinic's.")
@click.option(
    "--flip",
    type=click.Choice(["long", "short"]),
    default="long",
    show_default=True,
    help="The edge on which your printer turns the paper, for cards.",
)
@click.option(
    "--as",
    "form",
    type=click.Choice(["pdf", "png"]),
    default="pdf",
    show_default=True,
    help="PNG: pictures for screens and slides instead of every PDF.",
)
@click.option("--theme", default="", help="A name or folder, instead of the clinic's look.")
@click.option(
    "--suppose",
    "answers",
    type=Suppose(),
    multiple=True,
    help="Print this fork as already resolved; may be repeated.",
)
@on_option
def command(
    paths: tuple[Path, ...],
    into: Path,
    products: tuple[str, ...],
    languages: tuple[str, ...],
    paper: str | None,
    orientation: str | None,
    parts: str,
    card: str | None,
    flip: str,
    form: str,
    theme: str,
    answers: tuple[tuple[str, str], ...],
    on: datetime.date,
) -> int:
    """Writes the sheets and tells how far away each can be read."""
    languages = tuple(dict.fromkeys(languages))
    wish = Wish(
        into,
        languages,
        paper or "",
        orientation or "",
        parts,
        theme,
        answers,
        products,
        card=card or "",
        flip=flip,
        form=form,
    )
    findings: list[Finding] = []
    sheets: list[Sheet] = []
    count = 0
    sets = _told_apart(find_sets(paths))
    made_from = footprint(sets, wish, on)
    again = sheets_of(into, made_from)
    if again is not None:
        for name in again:
            click.echo(f"{(into / name).as_posix()}  unchanged")
        _report([], sum(len(files) for _, files in sets))
        return 0
    for folder, files in sets:
        protocol_set = open_set(folder, files)
        _refuse_unknown(protocol_set, wish)
        count += len(files)
        told = validated(protocol_set, languages or None, on)
        findings += told
        look = chosen(theme, protocol_set.clinic, folder)
        printable, more = _printable(protocol_set, told, look)
        findings += more
        made = _print(printable, replace(wish, theme=look))
        sheets += made
        findings += (finding for sheet in made for finding in sheet.findings)
        _tell_stopped(files, printable)
    if not findings and all(sheet.made or sheet.unchanged for sheet in sheets):
        remember(into, made_from, (sheet.task.paths for sheet in sheets))
    _report(findings, count)
    return 1 if must_fix(findings) else 0


def _report(findings: list[Finding], count: int) -> None:
    click.echo("", err=True)
    click.echo(text_report(findings, count, screen_style(sys.stderr)), err=True, nl=False)


def _told_apart(sets: list[tuple[Path, list[Path]]]) -> list[tuple[Path, list[Path]]]:
    """Refuses two protocols of one name: their sheets would overwrite each other."""
    seen: dict[str, Path] = {}
    for file in (file for _, files in sets for file in files):
        other = seen.setdefault(file.name, file)
        if other is not file:
            raise click.UsageError(
                f"{other.as_posix()} and {file.as_posix()} would make sheets of the same name; "
                "compile them one by one, each --into a folder of its own"
            )
    return sets


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
