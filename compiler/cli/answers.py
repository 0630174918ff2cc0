"""Answers to the questions of a protocol, as written on the command line."""

from __future__ import annotations

import click


class Suppose(click.ParamType[tuple[str, str]]):
    """`QUESTION=ANSWER`."""

    name = "QUESTION=ANSWER"

    def convert(
        self, value: str, param: click.Parameter | None, ctx: click.Context | None
    ) -> tuple[str, str]:
        """Splits at the sign."""
        question, sign, answer = (part.strip() for part in value.partition("="))
        if not (question and sign and answer):
            self.fail('write it as "eye protection=goggles"', param, ctx)
        return question, answer
