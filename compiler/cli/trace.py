"""`wallward trace`: what a code on a wall, or a file, is, and whether it may stay."""

from __future__ import annotations

import datetime
from pathlib import Path

import click

from compiler.cli.day import on_option
from compiler.editions.tracing import Traced, Tracer

HELP = """Tell which edition a sheet is from: current or superseded, past its review, altered.

CODE is the check code on the sheet, "JKM3 4E76" say, in capitals or not, with its space or
without; FILE is that of a sheet. Without any, it names what is current and every code that must
come off the walls.

\b
Examples:
  wallward sign our-clinic --signed-by "reviewer A" --role "Ward nurse"
  wallward publish our-clinic
  wallward trace
  wallward trace published/edition-1/sheets/contact-droplet-poster-en.pdf

Exit status: 0 all is current; 1 something is superseded, past its review, altered, misread or
unknown; 2 wrong use or unreadable input.
"""


@click.command("trace", help=HELP)
@click.argument("wanted", metavar="[CODE|FILE]...", nargs=-1)
@click.option(
    "--in",
    "folder",
    type=click.Path(path_type=Path, file_okay=False),
    default=Path("published"),
    show_default=True,
    help="The folder of editions.",
)
@on_option
def command(wanted: tuple[str, ...], folder: Path, on: datetime.date) -> int:
    """Answers for each, or for all walls."""
    tracer = Tracer(folder, on)
    if not wanted:
        for line in tracer.walls():
            click.echo(line)
        return 0
    traced = [_traced(tracer, each) for each in _joined(wanted)]
    for each in traced:
        click.echo(each.heading)
        for line in each.lines:
            click.echo(f"  {line}")
    if tracer.lookup.told:
        click.echo(f"wallward: {tracer.lookup.told}", err=True)
    return 0 if all(each.fine for each in traced) else 1


def _joined(wanted: tuple[str, ...]) -> tuple[str, ...]:
    """A code whose two groups were typed as two words is one."""
    if len(wanted) == 2 and all(len(word) == 4 and not _is_file(word) for word in wanted):
        return ("".join(wanted),)
    return wanted


def _traced(tracer: Tracer, text: str) -> Traced:
    return tracer.file(Path(text)) if _is_file(text) else tracer.code(text)


def _is_file(text: str) -> bool:
    return "." in text or "/" in text or Path(text).is_file()
