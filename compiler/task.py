"""One sheet to be made: what was asked for, from what, and what became of it."""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path

from compiler.findings import Finding
from compiler.model.sheet_kinds import Each, SheetKind
from compiler.pipeline import Version
from compiler.wish import Wish


@dataclass(frozen=True, slots=True)
class Task:
    """One sheet to be made."""

    kind: SheetKind
    versions: tuple[Version, ...]
    """The protocol in the sheet's language; in all of them where one sheet holds them all."""
    wish: Wish
    codes: tuple[str, ...]
    """The check code of each version's content on this kind of sheet."""
    made_from: str
    """A digest of everything that goes into the sheet."""

    @property
    def version(self) -> Version:
        """The first version."""
        return self.versions[0]

    @property
    def code(self) -> str:
        """The check code of the first version."""
        return self.codes[0]

    @property
    def links(self) -> tuple[str, ...]:
        """What each version's QR code holds: the clinic's address with the code, or words."""
        both = zip(self.versions, self.codes, strict=True)
        return tuple(_link(version, code, self.kind.each) for version, code in both)

    @property
    def findings(self) -> tuple[Finding, ...]:
        """What is wrong with the texts that it is made from."""
        return tuple(finding for version in self.versions for finding in version.findings)

    @property
    def path(self) -> Path:
        """The first of its files."""
        return self.paths[0]

    @property
    def paths(self) -> tuple[Path, ...]:
        """All files that it is."""
        return tuple(self.path_of(self.ending(ending)) for ending in self.kind.endings)

    def ending(self, usual: str) -> str:
        """The ending of a file that usually has another: a picture stands for a PDF."""
        pdf = usual.endswith("pdf")
        return f"{usual.removesuffix('pdf')}{self.wish.form}" if pdf else usual

    def path_of(self, ending: str) -> Path:
        """Where a file goes: told apart by protocol, kind, parts and language."""
        words = [] if self.kind.each is Each.SET else [self.version.protocol.name]
        words.append(self.kind.name)
        words += [] if self.wish.parts == "both" else [self.wish.parts]
        words += [] if self.kind.each is Each.PROTOCOL else [self.version.language]
        return self.wish.into / f"{'-'.join(words)}.{ending}"


def _link(version: Version, code: str, each: Each) -> str:
    if version.clinic.link:
        return f"{version.clinic.link}{code}"
    if each is Each.SET:
        return f"{version.clinic.name}, {code}"
    return f"{version.clinic.name}, {version.protocol.title}, {code}"


@dataclass(frozen=True, slots=True)
class Sheet:
    """What became of one task."""

    task: Task
    findings: tuple[Finding, ...] = ()
    told: str = ""
    """What was reached. Nothing when it was not made: for its findings, or as up to date."""
    made: bool = False
    unchanged: bool = False
    layouts: int = 0
