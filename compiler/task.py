"""One sheet to be made: what was asked for, from what, and what became of it."""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path

from compiler.findings import Finding
from compiler.pipeline import Version
from compiler.products.poster_report import PosterReport


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


@dataclass(frozen=True, slots=True)
class Task:
    """One sheet to be made."""

    version: Version
    wish: Wish
    code: str
    """The check code of its content."""
    made_from: str
    """A digest of everything that goes into the sheet."""

    @property
    def path(self) -> Path:
        """Where the sheet goes: told apart by protocol, product, parts and language."""
        part = "" if self.wish.parts == "both" else f"-{self.wish.parts}"
        name = f"{self.version.protocol.name}-poster{part}-{self.version.language}.pdf"
        return self.wish.into / name


@dataclass(frozen=True, slots=True)
class Sheet:
    """What became of one task."""

    task: Task
    findings: tuple[Finding, ...] = ()
    report: PosterReport | None = None
    """Nothing when it was not made: because of its findings, or because it is up to date."""
    unchanged: bool = False
