"""The day as of which dates are judged: `--on`, else today; the only clock there is."""

from __future__ import annotations

import datetime
from collections.abc import Callable
from typing import Any

import click

from compiler.model.measures import date


class Day(click.ParamType[datetime.date]):
    """A date, written year-month-day."""

    name = "DATE"

    def convert(
        self, value: str, param: click.Parameter | None, ctx: click.Context | None
    ) -> datetime.date:
        """The date, if the calendar has it."""
        day = date(value)
        if day is None:
            self.fail("write a date as 2026-11-01", param, ctx)
        return day


def today() -> str:
    """The day where the person is; read at the edge, so that everything below is repeatable."""
    return datetime.date.today().isoformat()  # noqa: DTZ011, TID251 -- the wall's own calendar


def on_option(command: Callable[..., Any]) -> Callable[..., Any]:
    """Adds `--on DATE` to a command."""
    return click.option(
        "--on",
        type=Day(),
        default=today,
        show_default="today",
        help="Judge review dates as of this day.",
    )(command)
