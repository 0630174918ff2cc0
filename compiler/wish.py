"""What the person who compiles asked for."""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path


@dataclass(frozen=True, slots=True)
class Wish:
    """What the person asked for; empty means the clinic's own choice."""

    into: Path
    languages: tuple[str, ...] = ()
    paper: str = ""
    orientation: str = ""
    parts: str = "both"
    theme: str = "default"
    answers: tuple[tuple[str, str], ...] = ()
    products: tuple[str, ...] = ()
    card: str = ""
    flip: str = "long"
    form: str = "pdf"
    """`png` for pictures in place of every PDF."""
    draft: bool = True
    """Not published: every sheet says so."""
