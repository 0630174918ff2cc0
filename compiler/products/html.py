"""Fills a theme's templates and writes its style sheet; decides nothing.

Templates run in Jinja's sandbox with escaping on, and a name that a template does not get is an
error, never an empty place on a sheet.
"""

from __future__ import annotations

import io
import re
from collections.abc import Iterable, Mapping
from functools import cache, lru_cache
from urllib.parse import quote

import segno
from jinja2 import StrictUndefined, Template, TemplateError
from jinja2.sandbox import SandboxedEnvironment
from markupsafe import Markup, escape

from compiler.products.templates import TemplateFaultError
from compiler.products.theme import Theme

_DIGITS = "0-9\u0660-\u0669\u06f0-\u06f9"
"""European, Arabic-Indic and extended Arabic-Indic: all three run from left to right."""
TOGETHER = re.compile(
    rf"\+?[A-Za-z{_DIGITS}]"
    rf"(?:[A-Za-z{_DIGITS} \u00a0\u202f.,:;/×–'’&°%+@_\u066a-\u066c-]"
    rf"|\([A-Za-z{_DIGITS} -]*\))*"
    rf"[A-Za-z{_DIGITS}%°\u066a]"
)
"""What keeps its own order in text from right to left (Unicode Standard Annex 9)."""


CODE = re.compile(
    r"\b(?=[A-Za-z-]*\d)[A-Za-z0-9]+(?:-[A-Za-z0-9]+)+\b"
    r"|\+?\d[\d.,]*(?:[\u00a0\u202f][^\s]{1,12}){1,5}"
)
"""A check code or a date: a line may not end at its hyphens. And a number with spaces that
forbid a break: in Thai the engine would break there all the same."""
VARIABLE = re.compile(r"var\(--([a-z-]+)\)")


def fill(theme: Theme, template: str, direction: str, values: Mapping[str, object]) -> str:
    """The whole HTML document of a sheet.

    Raises:
        TemplateFaultError: the theme's template asks for what it is not given, or worse.
    """
    try:
        return _understood(theme.read(template), direction).render(values)
    except TemplateError as fault:
        raise TemplateFaultError(template, fault.message or type(fault).__name__) from fault


@lru_cache(maxsize=64)
def _understood(text: str, direction: str) -> Template:
    environment = SandboxedEnvironment(
        autoescape=True,
        undefined=StrictUndefined,
        trim_blocks=True,
        lstrip_blocks=True,
    )
    environment.filters["isolated"] = isolated if direction == "rtl" else unbroken
    return environment.from_string(text)


def isolated(text: str) -> Markup:
    """Text for a right-to-left sheet; numbers, codes and addresses keep their own order.

    >>> isolated("2 min")
    Markup('<span dir="ltr">2 min</span>')
    >>> isolated("7")
    Markup('7')
    >>> isolated("+۴۴ ۲۰")
    Markup('<span dir="ltr">+۴۴ ۲۰</span>')
    """
    return _marked(text, TOGETHER, '<span dir="ltr">{}</span>')


def isolated_letters(text: str, direction: str) -> str:
    """The same where there is no markup: with the signs of Unicode Standard Annex 9, 2.2.

    A bare number needs none.
    """
    if direction != "rtl":
        return text
    return TOGETHER.sub(
        lambda found: found[0] if found[0].isdigit() else f"\u2066{found[0]}\u2069", text
    )


def unbroken(text: str) -> Markup:
    """Text with its codes kept on one line.

    >>> unbroken("Check code K7QD-M2XN")
    Markup('Check code <span class="code-word">K7QD-M2XN</span>')
    >>> unbroken("37.5\u00a0°C") == Markup('<span class="code-word">37.5\u00a0°C</span>')
    True
    """
    return _marked(text, CODE, '<span class="code-word">{}</span>')


def _marked(text: str, pattern: re.Pattern[str], shape: str) -> Markup:
    parts, end = [], 0
    for match in pattern.finditer(text):
        parts.append(escape(text[end : match.start()]))
        parts.append(Markup(shape).format(match[0]))
        end = match.end()
    return Markup("").join([*parts, escape(text[end:])])


def with_values(css: str, values: Mapping[str, str | float]) -> str:
    """A style sheet with its `var(--name)` written out; plain numbers are lengths in rem.

    The engine would look variables up for every element: that takes a third of a layout's time.

    >>> with_values("hr { height: var(--thin-line) }", {"thin line": 0.5})
    'hr { height: 0.5rem }'
    """
    shown = {
        name.replace(" ", "-"): value if isinstance(value, str) else f"{value:.5g}rem"
        for name, value in values.items()
    }
    return VARIABLE.sub(lambda found: shown[found[1]], css)


def pictogram_rules(names: Iterable[str]) -> str:
    """A CSS class for each pictogram, so that it is painted as a background.

    The lead beside it says the same in words, so a reader of the tagged PDF hears it once.
    """
    return "\n".join(
        f'.p-{name} {{ background-image: url("pictograms/{name}.svg"); }}'
        for name in sorted(set(names))
    )


def rail_rules(theme: Theme) -> str:
    """The pattern of the rail in each kind of area: hatched lines at 45 degrees, or filled."""
    colours = theme.colours
    rules = []
    for zone in ("clean", "transition", "contaminated"):
        if theme.text(f"rail/{zone}/pattern") == "plain":
            rules.append(f".rail.{zone} {{ background-color: {colours[f'{zone} shade']}; }}")
            continue
        tile = theme.number(f"rail/{zone}/tile")
        width = 8 * theme.number(f"rail/{zone}/line")
        # Three strokes meet at the corners, so that tiles join without a seam.
        svg = (
            "<svg xmlns='http://www.w3.org/2000/svg' viewBox='0 0 8 8' width='8' height='8'>"
            "<path d='M-2 2L2 -2M-2 10L10 -2M6 10L10 6' fill='none' "
            f"stroke='{colours[zone]}' stroke-width='{width:.4g}'/></svg>"
        )
        rules.append(
            f'.rail.{zone} {{ background-image: url("data:image/svg+xml,{quote(svg)}"); '
            f"background-size: {tile}rem {tile}rem; }}"
        )
    return "\n".join(rules)


@cache
def qr_address(content: str) -> str:
    """The QR code (ISO/IEC 18004) of some content, as a picture inside the sheet."""
    picture = io.BytesIO()
    segno.make(content, error="m", micro=False).save(
        picture,
        kind="svg",
        border=4,
        xmldecl=False,
        svgclass=None,
        lineclass=None,
        omitsize=True,
    )
    return "data:image/svg+xml," + quote(picture.getvalue().decode("utf-8"))


def visible(html: str) -> str:
    """The letters of a document, without its markup: what fonts are cut for."""
    return re.sub(r"<[^>]*>|&[a-z#0-9]+;", " ", html) + "&<>\"'"
