"""`--against NAME` of `wallward validate`: the list meant, and every protocol against it.

Loaded only when it is asked for: a plain validation has to start fast.
"""

from __future__ import annotations

from collections.abc import Iterable
from pathlib import Path
from typing import Any

import click

from compiler.cli.screen import screen_style
from compiler.comparing.against import Comparison, compared
from compiler.comparing.published import Published, published
from compiler.pipeline import ProtocolSet, open_set
from compiler.report.against import against_data, against_text, names_of_lists
from compiler.report.style import style_for
from compiler.storage import find_sets
from compiler.syntax.spelling import choice, nearest


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


def compared_sets(paths: tuple[Path, ...], listed: Published) -> list[Comparison]:
    """Every protocol of the sets that paths speak of, compared with a list."""
    sets = (open_set(folder, files) for folder, files in find_sets(paths))
    return [each for one in sets for each in set_against(one, listed)]


def set_against(protocol_set: ProtocolSet, listed: Published) -> list[Comparison]:
    """Every protocol of a set that could be read."""
    clinic, kit = protocol_set.clinic, protocol_set.kit
    if clinic is None or kit is None:
        return []
    return [compared(protocol, clinic, kit, listed) for protocol in protocol_set.protocols]


def data_against(paths: tuple[Path, ...], listed: Published) -> list[dict[str, Any]]:
    """What `validate` adds to its JSON."""
    return against_data(compared_sets(paths, listed))


def words_against(paths: tuple[Path, ...], listed: Published) -> str:
    """What `validate` adds to its report for people."""
    return f"\n{against_text(compared_sets(paths, listed), screen_style())}"


def lists_told() -> str:
    """The names of all lists, for a terminal."""
    return names_of_lists(screen_style())
