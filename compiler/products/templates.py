"""Templates of a theme: looked through before they are filled, and their faults then."""

from __future__ import annotations

from collections.abc import Iterator

from jinja2 import TemplateSyntaxError, meta
from jinja2.sandbox import SandboxedEnvironment

FILTERS = ("isolated",)
"""What templates may put text through, besides what Jinja brings."""


KEPT = ("sheet.caution", "sheet.notices", "sheet.draft", "sheet.code", "cautions")
"""What no theme may leave out: who is warned of what, what a sheet is not, and which it is."""


class TemplateFaultError(Exception):
    """A theme's template cannot be filled: of the theme, never of the protocol."""

    def __init__(self, template: str, message: str) -> None:
        super().__init__(f"{template}: {message}")
        self.template = template


def faults(text: str, usual: str) -> Iterator[tuple[int, str, str, tuple[str, ...]]]:
    """What is wrong with a template: the line, a word in it, a message, and what is known.

    `usual` is the default's template: a name that it does not use is not given to sheets.
    """
    environment = SandboxedEnvironment()
    environment.filters.update(dict.fromkeys(FILTERS, str))
    try:
        tree = environment.parse(text)
    except TemplateSyntaxError as fault:
        yield fault.lineno, "", f"A template cannot be read: {fault.message}", ()
        return
    for kept in KEPT:
        if kept in usual and kept not in text:
            yield 1, "", f"A template leaves out {kept}, which stays on every sheet.", ()
    given = meta.find_undeclared_variables(environment.parse(usual))
    for name in sorted(meta.find_undeclared_variables(tree) - given):
        lines = text.splitlines()
        line = next((i for i, each in enumerate(lines, 1) if name in each), 1)
        yield (
            line,
            name,
            f'A template asks for "{name}", which no sheet gives it.',
            tuple(given),
        )
