"""`wallward validate`: findings, and an exit status."""

from __future__ import annotations

import datetime
from pathlib import Path

import click

from compiler import __version__
from compiler.catalogue import rules
from compiler.cli.day import on_option
from compiler.cli.screen import screen_style
from compiler.findings import Finding, must_fix
from compiler.many import findings_of
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
@click.option(
    "--against",
    metavar="[NAME]",
    is_flag=False,
    flag_value="",
    default=None,
    help="Tell also how each protocol's order differs from a published list; without NAME, "
    "last on the line, name the lists.",
)
def command(
    paths: tuple[Path, ...],
    form: str,
    mend: str | None,
    on: datetime.date,
    against: str | None,
) -> int:
    """Runs the command."""
    words, data = "", None
    if against is not None or mend:
        # loaded only when asked for: a plain validation has to start fast
        from compiler.cli import against as lists
        from compiler.cli.mend import mend_sets

        if against == "":
            click.echo(lists.lists_told(), nl=False)
            return 0
        listed = lists.list_named(against, form, mend) if against else None
        if mend:
            return mend_sets(paths, form, on, write_them=mend == "write")
        if listed and form == "json":
            data = lists.data_against(paths, listed)
        elif listed:
            words = lists.words_against(paths, listed)
    findings: list[Finding] = []
    protocols = 0
    for folder, files in find_sets(paths):
        protocols += len(files)
        findings += findings_of(folder, files, on)
    if form == "json":
        said = json_report(findings, protocols, data)
    elif form == "sarif":
        said = sarif_report(findings, rules(), __version__)
    elif form == "line":
        said = line_report(findings)
    else:
        said = text_report(findings, protocols, screen_style()) + words
    # data is UTF-8 whatever the terminal (RFC 8259, section 8.1)
    click.echo(said.encode("utf-8", "backslashreplace") if form in DATA else said, nl=False)
    return 1 if must_fix(findings) else 0
