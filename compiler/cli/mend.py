"""`--mend` of `wallward validate`: changes that are proved to help, shown or written.

Loaded only when it is asked for: a plain validation has to start fast.
"""

from __future__ import annotations

import datetime
from pathlib import Path

import click

from compiler.cli.screen import screen_style
from compiler.findings import must_fix
from compiler.mending.proof import mended
from compiler.mending.telling import differences, left, summary
from compiler.mending.writing import write
from compiler.pipeline import open_set, validated
from compiler.report.line import line_report
from compiler.report.text import text_report
from compiler.storage import find_sets


def mend_sets(
    paths: tuple[Path, ...], form: str, on: datetime.date, *, write_them: bool
) -> int:
    """Shows or writes what can be mended, then tells what is left."""
    if form in {"json", "sarif"}:
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
