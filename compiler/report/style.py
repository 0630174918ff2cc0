"""All signs and colours of the terminal, with a plain twin."""

from __future__ import annotations

from dataclasses import dataclass, field

from compiler.findings import Level


@dataclass(frozen=True, slots=True)
class Style:
    """How a report is drawn."""

    bar: str = "┊"
    under: str = "▔"
    gap: str = "⋮"
    dot: str = "·"
    cut: str = "…"
    rule: str = "─"
    paints: dict[str, str] = field(default_factory=dict)
    """Select-graphic-rendition numbers (ECMA-48) by role; empty for no colour."""
    levels: str = "○◐●"
    """Clean, touched and contaminated: told apart by shape, whatever the colour."""
    across: str = "─"
    corner: str = "╮"
    down: str = "│"

    def paint(self, role: str, text: str) -> str:
        """The text in the colour of its role."""
        number = self.paints.get(role)
        return f"\x1b[{number}m{text}\x1b[0m" if number else text


PAINTS = {
    Level.MUST.value: "1;31",
    Level.SHOULD.value: "33",
    Level.MAY.value: "36",
    "slug": "1",
    "quiet": "2",
}
SIGNS = "┊▔⋮·…─○◐●╮│"


def style_for(encoding: str, *, colour: bool) -> Style:
    """The style that a stream of that encoding can show."""
    paints = PAINTS if colour else {}
    try:
        SIGNS.encode(encoding)
    except (UnicodeEncodeError, LookupError):
        return Style("|", "^", ":", "-", "...", "-", paints, "o+#", "-", ".", "|")
    return Style(paints=paints)
