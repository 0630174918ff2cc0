"""What a maker of sheets gives back: files, a line on what was reached, and findings."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, field

from compiler.findings import Finding
from compiler.products.sheet import Order


@dataclass(frozen=True, slots=True)
class Outcome:
    """One sheet, if it could be made, and what was found on the way."""

    files: dict[str, bytes] = field(default_factory=dict)
    """By ending, `pdf` say; nothing when it could not be made."""
    told: str = ""
    """What was reached, for the person who compiles: paper, panels, reading distances."""
    findings: tuple[Finding, ...] = ()
    layouts: int = 0
    """How often the engine laid it out."""


Maker = Callable[[tuple[Order, ...]], Outcome]
"""Makes one sheet: of one order, or of one for each language where a sheet holds them all."""
