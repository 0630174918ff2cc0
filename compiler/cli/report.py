"""`wallward report`: one page for the reviewer of each protocol."""

from __future__ import annotations

import datetime
import sys
from pathlib import Path

import click

from compiler.cli.day import on_option
from compiler.cli.screen import screen_style
from compiler.collecting import without_collecting
from compiler.findings import Finding, must_fix
from compiler.pipeline import open_set
from compiler.report.text import text_report
from compiler.storage import find_sets, write_whole

HELP = """Write what a reviewer reads before signing: a web page and a PDF for each protocol.

It holds what changed, the findings with the shortest way to each, what is dirty after each step
on every branch, and how far each language is. The page needs no network and no scripts.

\b
Examples:
  wallward report
  wallward report our-clinic --since our-clinic-2025
  wallward report protocols --since v1 --form html

Exit status: 0 nothing must be fixed, 1 something must be, 2 wrong use or unreadable input.
"""


@click.command("report", help=HELP)
@click.argument("paths", nargs=-1, type=click.Path(path_type=Path))
@click.option(
    "--into",
    type=click.Path(path_type=Path, file_okay=False),
    default=Path("build"),
    show_default=True,
    help="The folder to write to.",
)
@click.option("--since", metavar="OLD", default="", help="Tell what changed from this version.")
@click.option(
    "--language",
    "languages",
    multiple=True,
    help="Only these, with figures of legibility; repeat.",
)
@click.option(
    "--form",
    type=click.Choice(["both", "html", "pdf"]),
    default="both",
    show_default=True,
    help="The web page, the PDF, or both.",
)
@on_option
def command(
    paths: tuple[Path, ...],
    into: Path,
    since: str,
    languages: tuple[str, ...],
    form: str,
    on: datetime.date,
) -> int:
    """Writes the reports of all protocols named."""
    files = [(folder, file) for folder, files in find_sets(paths) for file in files]
    if twice := {f.stem for _, f in files if sum(g.stem == f.stem for _, g in files) > 1}:
        raise click.UsageError(
            f"two protocols are called {min(twice)}; report each --into a folder of its own"
        )
    statuses = [_one(folder, file, into, since, languages, form, on) for folder, file in files]
    return max(statuses, default=0)


def _one(
    folder: Path,
    file: Path,
    into: Path,
    since: str,
    languages: tuple[str, ...],
    form: str,
    on: datetime.date,
) -> int:
    """One protocol: its files written and named; the status."""
    from compiler.reviewing.report import report_of
    from compiler.versions.comparison import comparison
    from compiler.versions.given import both_given

    protocol_set = open_set(folder, [file])
    if not protocol_set.protocols:
        _tell(list(protocol_set.findings))
        click.echo(f"wallward: no report of {file.as_posix()}: it cannot be read", err=True)
        return 1
    known = protocol_set.clinic.languages if protocol_set.clinic else ()
    for tag in languages:
        if tag not in known:
            raise click.UsageError(f'no language "{tag}"; the clinic has {", ".join(known)}')
    changes = comparison(*both_given(since, file.as_posix())) if since else None
    with without_collecting():
        report = report_of(protocol_set, on, languages, changes)
    made: dict[str, bytes] = {}
    blocked: tuple[Finding, ...] = ()
    if form != "pdf":
        from compiler.reviewing.page import report_html

        made["html"] = report_html(report).encode("utf-8", "backslashreplace")
    if form != "html":
        # it brings the PDF engine, which the page does without
        from compiler.reviewing.paper import report_pdf

        made["pdf"], blocked = report_pdf(report)
    for ending, data in made.items():
        if data:
            path = into / f"{file.stem}-report.{ending}"
            write_whole(path, data)
            click.echo(f"{path.as_posix()}  {len(data) / 1000:.0f} kB")
    if blocked:
        _tell(list(blocked))
    return 1 if must_fix([*report.findings, *blocked]) else 0


def _tell(findings: list[Finding]) -> None:
    click.echo(text_report(findings, 1, screen_style(sys.stderr)), err=True, nl=False)
