"""The rail beside a path that runs over pages: a tile for each area, one under another."""

from __future__ import annotations

from collections.abc import Iterable
from urllib.parse import quote

from compiler.model.clinic import Zone
from compiler.products.theme import Theme


def running_rails(theme: Theme, width: str, leftward: bool) -> str:
    """A background down each stretch, on the side where reading begins; `width` as in CSS.

    A background, because a table that is broken over pages cannot carry the rail along.
    """
    side = "right" if leftward else "left"
    return "".join(
        f'.stretch.{zone.value} {{ background: url("{_tile(theme, zone)}") {side} top / '
        f"{width} {width} repeat-y; }}\n"
        for zone in Zone
    )


def _tile(theme: Theme, zone: Zone) -> str:
    colour = theme.colours[zone.value]
    if theme.text(f"rail/{zone.value}/pattern") == "plain":
        inside = f"<path d='M0 0H8V8H0Z' fill='{theme.colours[f'{zone.value} shade']}'/>"
    else:
        wide_apart = theme.number(f"rail/{zone.value}/tile") >= 1
        width = 8 * theme.number("steps/line")
        strokes = _hatch((-1, 0, 1) if wide_apart else (-1, -0.5, 0, 0.5, 1))
        inside = f"<path d='{strokes}' stroke='{colour}' stroke-width='{width:.3g}'/>"
    edges = f"<path d='M.4 0V8M7.6 0V8' stroke='{colour}' stroke-width='.8'/>"
    svg = "<svg xmlns='http://www.w3.org/2000/svg' viewBox='0 0 8 8' width='8' height='8'>"
    return f"data:image/svg+xml,{quote(f'{svg}{inside}{edges}</svg>')}"


def _hatch(starts: Iterable[float]) -> str:
    """Lines at 45 degrees that join from tile to tile."""
    return "".join(f"M-2 {8 * s + 10:g}L10 {8 * s - 2:g}" for s in starts)
