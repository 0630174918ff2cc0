"""`wallward compile`: validates, then writes the sheets."""

from __future__ import annotations

import datetime
import sys
from pathlib import Path

import click

from compiler.cli.answers import Suppose
from compiler.cli.day import on_option
from compiler.cli.screen import screen_style
from compiler.findings import Finding, must_fix
from compiler.layout.paper import CARDS, PAPERS, paper_named
from compiler.model.sheet_kinds import SHEET_KINDS
from compiler.report.text import text_report
from compiler.rerun import footprint, remember, sheets_of
from compiler.storage import find_sets
from compiler.wish import Wish

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
    sets = _told_apart(find_sets(paths))
    made_from = footprint(sets, wish, on)
    again = sheets_of(into, made_from)
    count = sum(len(files) for _, files in sets)
    if again is not None:
        for name in again:
            click.echo(f"{(into / name).as_posix()}  unchanged")
        _report([], count)
        return 0
    # loaded only when something has changed: reading and printing take a while to load
    from compiler.cli.compiling import made

    findings, sheets = made(sets, wish, on)
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
