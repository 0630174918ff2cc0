"""`wallward compare`: what changed between two versions, in the words of the trade."""

from __future__ import annotations

import click

from compiler.cli.screen import screen_style
from compiler.report.changes_data import changes_data
from compiler.report.changes_html import changes_html
from compiler.report.changes_text import changes_text
from compiler.versions.comparison import comparison
from compiler.versions.given import both_given

HELP = """Tell what changed from OLD to NEW.

OLD and NEW are protocol sets, single protocols, published editions or git revisions. A revision
alone is of the same files as the other one; REVISION:FOLDER names them from the top of the
repository. Steps are matched by what they do, so that a step that moved is told as moved.

\b
Examples:
  wallward compare our-clinic-2025 our-clinic
  wallward compare HEAD~1 protocols
  wallward compare main protocols/airborne-room.md
  wallward compare v1:protocols v2:protocols --form html > changes.html

Review dates are told and not judged: findings are those that need no calendar.

Exit status: 0 nothing changed, 1 something changed, 2 wrong use or unreadable input.
"""


@click.command("compare", help=HELP)
@click.argument("old", type=click.Path())
@click.argument("new", type=click.Path())
@click.option(
    "--form",
    type=click.Choice(["text", "json", "html"]),
    default="text",
    show_default=True,
    help="For people, as data, or as a page to print.",
)
def command(old: str, new: str, form: str) -> int:
    """Reads both, compares them and prints."""
    told = comparison(*both_given(old, new))
    if form == "text":
        said: str | bytes = changes_text(told, screen_style())
    else:
        page = changes_data(told) if form == "json" else changes_html(told)
        said = page.encode("utf-8", "backslashreplace")
    click.echo(said, nl=False)
    return 0 if told.same else 1
