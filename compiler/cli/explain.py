"""`wallward explain`: the page of a rule, or the list of all rules."""

from __future__ import annotations

from difflib import get_close_matches

import click

from compiler.catalogue import FAMILIES, rules
from compiler.cli.screen import screen_style
from compiler.manual import explained

HELP = """Explain a rule: what it finds, why it matters, a faulty and a sound example.

Without RULE it lists all rules.

\b
Examples:
  wallward explain
  wallward explain gown-left-on
"""


@click.command("explain", help=HELP)
@click.argument("rule", required=False)
def command(rule: str | None) -> int:
    """Prints one page, or the list."""
    style = screen_style()
    if rule is None:
        for family, members in FAMILIES.items():
            click.echo(style.paint("slug", family))
            for row in members:
                click.echo(f"  {row.slug}  ({row.level.value})\n      {row.summary}")
        return 0
    if rule not in rules():
        close = get_close_matches(rule, rules(), n=3, cutoff=0.5)
        hint = f" Close: {', '.join(close)}." if close else ""
        raise click.UsageError(
            f'no rule is called "{rule}".{hint} "wallward explain" lists all of them.'
        )
    click.echo(explained(rule, style), nl=False)
    return 0
