"""What the terminal can show."""

from __future__ import annotations

import os
import sys
from typing import TextIO

from compiler.report.style import Style, style_for


def screen_style(stream: TextIO | None = None) -> Style:
    """Signs and colours for a stream; NO_COLOR, pipes and dumb terminals are honoured."""
    stream = stream or sys.stdout
    shows_colour = stream.isatty() and os.environ.get("TERM") != "dumb"
    colour = shows_colour and not os.environ.get("NO_COLOR")
    return style_for(stream.encoding or "ascii", colour=colour)
