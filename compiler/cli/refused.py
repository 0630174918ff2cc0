"""Tells why something was refused."""

from __future__ import annotations

from typing import TextIO

import click

from compiler.cli.screen import screen_style
from compiler.editions.refusal import RefusedError
from compiler.findings import must_fix
from compiler.report.text import text_report


def tell_refused(refused: RefusedError, what: str, protocols: int, stream: TextIO) -> None:
    """Findings that must be fixed, if any; then every reason, with the lines that show it."""
    in_the_way = [finding for finding in refused.findings if must_fix([finding])]
    if in_the_way:
        click.echo(text_report(in_the_way, protocols, screen_style(stream)), stream, nl=False)
        click.echo("", stream)
    click.echo(f"{what}:", stream)
    for reason in refused.reasons:
        click.echo(f"  {reason.text}", stream)
        for detail in reason.details:
            click.echo(f"    {detail}", stream)
