"""`wallward follow`: what is dirty after each step, why a step is there, what stays clean."""

from __future__ import annotations

import sys
from pathlib import Path

import click

from compiler.cli.answers import Suppose
from compiler.cli.screen import screen_style
from compiler.findings import must_fix
from compiler.following.answering import Wanted, answered
from compiler.following.steps import NotThereError
from compiler.pipeline import ProtocolSet, open_set
from compiler.report.text import text_report
from compiler.storage import find_sets

HELP = """Follow one protocol and show what is dirty after each step.

STEP is a line of the file, a part and a number as on the sheet ("taking off 5"), or the bold
words of a step.

\b
Examples:
  wallward follow protocols/airborne-room.md
  wallward follow protocols/airborne-room.md --suppose "coverall state=intact"
  wallward follow protocols/airborne-room.md --after "taking off 5"
  wallward follow protocols/airborne-room.md --without 45
  wallward follow protocols/airborne-room.md --kept

Exit status: 0 answered, 2 wrong use or unreadable input.
"""


@click.command("follow", help=HELP)
@click.argument("protocol", type=click.Path(path_type=Path))
@click.option(
    "--suppose",
    type=Suppose(),
    multiple=True,
    help="Take this way at a fork; may be repeated. Else the first answer.",
)
@click.option(
    "--round", "number", type=click.IntRange(1, 40), default=1, help="What was kept comes back."
)
@click.option(
    "--earlier",
    type=Suppose(),
    multiple=True,
    help="An answer of the rounds before, where it differs; may be repeated.",
)
@click.option("--after", metavar="STEP", default="", help="Only the state after this step.")
@click.option("--without", metavar="STEP", default="", help="What is found without this step.")
@click.option("--kept", is_flag=True, help="How kept items end a round, on every way.")
def command(
    protocol: Path,
    suppose: tuple[tuple[str, str], ...],
    number: int,
    earlier: tuple[tuple[str, str], ...],
    after: str,
    without: str,
    kept: bool,
) -> int:
    """Reads the protocol, answers one question and prints it."""
    if sum(map(bool, (after, without, kept))) > 1:
        raise click.UsageError("--after, --without and --kept answer different questions: one")
    protocol_set = _readable(protocol)
    if protocol_set is None:
        return 2
    wanted = Wanted(suppose, earlier, number, after.strip(), without.strip(), kept)
    assert protocol_set.clinic
    assert protocol_set.kit
    try:
        said = answered(
            protocol_set.protocols[0],
            protocol_set.clinic,
            protocol_set.kit,
            wanted,
            screen_style(),
        )
    except NotThereError as missing:
        raise click.UsageError(str(missing)) from None
    click.echo(said, nl=False)
    return 0


def _readable(path: Path) -> ProtocolSet | None:
    """The set with one protocol, or nothing when a mistake in it was told instead."""
    folder, files = find_sets([path])[0]
    if len(files) != 1:
        names = ", ".join(file.name for file in files)
        raise click.UsageError(f"name one protocol; {folder.as_posix()} has {names or 'none'}")
    protocol_set = open_set(folder, files)
    if protocol_set.protocols and not must_fix(protocol_set.findings):
        return protocol_set
    style = screen_style(sys.stderr)
    click.echo(text_report(list(protocol_set.findings), 1, style), err=True, nl=False)
    click.echo("wallward: it cannot be followed before it can be read", err=True)
    return None
