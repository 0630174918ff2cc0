"""`--against NAME` of `wallward validate`: the list meant, and every protocol against it."""

from __future__ import annotations

from collections.abc import Iterable

import click

from compiler.comparing.against import Comparison, compared
from compiler.comparing.published import Published, published
from compiler.pipeline import ProtocolSet
from compiler.report.against import names_of_lists
from compiler.report.style import style_for
from compiler.syntax.spelling import choice, nearest

against_option = click.option(
    "--against",
    metavar="[NAME]",
    is_flag=False,
    flag_value="",
    default=None,
    help="Tell also how each protocol's order differs from a published list; without NAME, "
    "last on the line, name the lists.",
)


def list_named(name: str, form: str, mend: str | None) -> Published:
    """The list of that name.

    Raises:
        click.UsageError: when there is none, or it does not go with the other options.
    """
    if mend or form not in {"text", "json"}:
        other = "--mend" if mend else f"--form {form}"
        raise click.UsageError(f"--against does not go with {other}")
    if name in published():
        return published()[name]
    words = name.casefold().split("-")
    close = nearest(name, published()) or [
        k for k in published() if set(words) & set(_parts(k))
    ]
    hint = (
        f"; did you mean {choice(close[:3])}?\n"
        '"wallward validate --against" alone names all lists'
        if close
        else f"; these are:\n\n{names_of_lists(style_for('ascii', colour=False))}"
    )
    raise click.UsageError(f'no published list is called "{name}"{hint}')


def _parts(key: str) -> Iterable[str]:
    return (part for part in key.split("-") if not part.isdecimal())


def set_against(protocol_set: ProtocolSet, listed: Published) -> list[Comparison]:
    """Every protocol of a set that could be read."""
    clinic, kit = protocol_set.clinic, protocol_set.kit
    if clinic is None or kit is None:
        return []
    return [compared(protocol, clinic, kit, listed) for protocol in protocol_set.protocols]
