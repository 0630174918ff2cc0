"""`wallward validate`: findings, and an exit status."""

from __future__ import annotations

import datetime
from pathlib import Path

import click

from compiler import __version__
from compiler.catalogue import rules
from compiler.cli.against import against_option, list_named, set_against
from compiler.cli.day import on_option
from compiler.cli.screen import screen_style
from compiler.comparing.against import Comparison
from compiler.findings import Finding, must_fix
from compiler.mending.proof import mended
from compiler.mending.telling import differences, left, summary
from compiler.mending.writing import write
from compiler.pipeline import open_set, validated
from compiler.report.against import against_data, against_text, names_of_lists
from compiler.report.data import json_report
from compiler.report.line import line_report
from compiler.report.sarif import sarif_report
from compiler.report.text import text_report
from compiler.storage import find_sets

HELP = """Find what does not hold together, in every branch of every protocol.

PATHS are protocol sets or single protocols; without any, the set in this folder or in
"protocols" below it.

\b
Examples:
  wallward validate
  wallward validate our-clinic/contact-droplet.md
  wallward validate our-clinic --form json > findings.json
  wallward validate our-clinic --mend show
  wallward validate our-clinic --against who-covid-ppe-2020

Exit status: 0 nothing must be fixed, 1 something must be, 2 unreadable input.
"""

DATA = ("json", "sarif")


@click.command("validate", help=HELP)
@click.argument("paths", nargs=-1, type=click.Path(path_type=Path))
@click.option(
    "--form",
    type=click.Choice(["text", "line", "json", "sarif"]),
    default="text",
    show_default=True,
    help="For people, one line a finding, as data, or for code hosts.",
)
@click.option(
    "--mend",
    type=click.Choice(["show", "write"]),
    help="Where a change of the text is proved to remove a finding and to bring none: show "
    "the changes as a diff, or write them.",
)
@on_option
@against_option
def command(
    paths: tuple[Path, ...],
    form: str,
    mend: str | None,
    on: datetime.date,
    against: str | None,
) -> int:
    """Runs the command."""
    if against == "":
        click.echo(names_of_lists(screen_style()), nl=False)
        return 0
    listed = list_named(against, form, mend) if against else None
    if mend:
        return _mend(paths, form, on, write_them=mend == "write")
    findings: list[Finding] = []
    protocols = 0
    compared: list[Comparison] = []
    for folder, files in find_sets(paths):
        protocol_set = open_set(folder, files)
        protocols += len(files)
        findings += validated(protocol_set, on=on)
        compared += set_against(protocol_set, listed) if listed else []
    if form == "json":
        said = json_report(findings, protocols, against_data(compared) if listed else None)
    elif form == "sarif":
        said = sarif_report(findings, rules(), __version__)
    elif form == "line":
        said = line_report(findings)
    else:
        said = text_report(findings, protocols, screen_style())
        said += f"\n{against_text(compared, screen_style())}" if listed else ""
    # data is UTF-8 whatever the terminal (RFC 8259, section 8.1)
    click.echo(said.encode("utf-8", "backslashreplace") if form in DATA else said, nl=False)
    return 1 if must_fix(findings) else 0


def _mend(paths: tuple[Path, ...], form: str, on: datetime.date, *, write_them: bool) -> int:
    """Shows or writes what can be mended, then tells what is left."""
    if form in DATA:
        raise click.UsageError(f"--mend does not go with --form {form}")
    sets = find_sets(paths)
    done = [mended(open_set(folder, files), on) for folder, files in sets]
    if write_them:
        write(done)
    click.echo("".join(map(differences, done)), nl=False)
    click.echo(summary(done, write_them))
    rest, protocols = [*left(done)], sum(len(files) for _, files in sets)
    if form == "line":
        click.echo(line_report(rest), nl=False)
    else:
        click.echo(text_report(rest, protocols, screen_style()), nl=False)
    # until the changes are written, the files say what they said
    there = [each.after if write_them else each.before for each in done]
    return 1 if any(must_fix(validated(each, on=on)) for each in there) else 0
