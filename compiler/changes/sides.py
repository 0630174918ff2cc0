"""The two versions that are compared, as far as they could be built, and what is told."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, field

from compiler.changes.change import Change
from compiler.changes.signed import Signatures
from compiler.changes.translations import Catalogues
from compiler.findings import Finding
from compiler.model.clinic import Clinic
from compiler.model.kit import Kit
from compiler.model.protocol import Protocol


@dataclass(frozen=True, slots=True)
class Side:
    """One version, as far as it could be built."""

    clinic: Clinic | None
    kit: Kit | None
    protocols: Mapping[str, Protocol]
    """By file name without its ending; those known to be the same in both may be left out."""
    catalogues: Catalogues
    findings: Sequence[Finding] = ()
    """Those of reading the files."""
    proved: Callable[[Protocol], Sequence[Finding]] = field(default=lambda _: ())
    """Proves one protocol; asked only where the answer may differ."""
    spoken: Callable[[Protocol, str], Sequence[Finding]] = field(default=lambda *_: ())
    """Judges its translation into one language; likewise."""
    there: frozenset[str] = frozenset()
    """Names of protocols that there are, whether they could be built or not."""
    signatures: Signatures = field(default_factory=Signatures)

    @property
    def foreign(self) -> tuple[str, ...]:
        """The languages that need a translation."""
        return self.clinic.languages[1:] if self.clinic else ()


@dataclass(frozen=True, slots=True)
class NotBuilt:
    """A file that could not be read so far that it could be compared."""

    path: str
    reason: str


@dataclass(frozen=True, slots=True)
class Comparison:
    """Everything that `wallward compare` has to tell."""

    old: str
    """As the person named it."""
    new: str
    changes: tuple[Change, ...]
    """In the order in which they are told."""
    not_built: tuple[NotBuilt, ...]
    protocols: int
    """How many the new version has."""
    language: str = "en"
    """The language that the protocols are written in."""

    @property
    def same(self) -> bool:
        """Whether nothing changed, as far as it could be seen."""
        return not self.changes and not self.not_built
