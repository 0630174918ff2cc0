"""`wallward validate`: findings, and an exit status."""

from __future__ import annotations

from pathlib import Path

import click

from compiler import __version__
from compiler.catalogue import rules
from compiler.cli.screen import screen_style
from compiler.findings import Finding, must_fix
from compiler.pipeline import open_set, validated
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
def command(paths: tuple[Path, ...], form: str) -> int:
    """Runs the command."""
    findings: list[Finding] = []
    protocols = 0
    for folder, files in find_sets(paths):
        protocol_set = open_set(folder, files)
        protocols += len(files)
        findings += validated(protocol_set)
    if form == "json":
        said = json_report(findings, protocols)
    elif form == "sarif":
        said = sarif_report(findings, rules(), __version__)
    elif form == "line":
        said = line_report(findings)
    else:
        said = text_report(findings, protocols, screen_style())
    # data is UTF-8 whatever the terminal (RFC 8259, section 8.1)
    click.echo(said.encode("utf-8", "backslashreplace") if form in DATA else said, nl=False)
    return 1 if must_fix(findings) else 0
