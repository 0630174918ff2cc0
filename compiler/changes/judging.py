"""Findings of both versions, each protocol judged only where its findings can have changed."""

from __future__ import annotations

from collections.abc import Iterable, Iterator

from compiler.changes.change import Change
from compiler.changes.findings import changed_findings
from compiler.changes.placed import Bare, bare, bare_protocol
from compiler.changes.sides import Side
from compiler.findings import Finding, in_reading_order
from compiler.model.clinic import Clinic
from compiler.model.kit import Kit
from compiler.model.protocol import Protocol

PRINTED = {
    *("name", "contact", "link", "paper", "reading", "card", "products", "answers"),
    *("reviewers", "signature", "labels", "theme"),
}
"""Fields of the clinic that no proof reads."""
TABLES = ("areas", "places", "agents")


class Judging:
    """Judges both versions of each protocol, and gathers findings about what all share."""

    def __init__(self, old: Side, new: Side) -> None:
        self.old, self.new = old, new
        self.same_ground = ground(old.clinic, old.kit) == ground(new.clinic, new.kit)
        self.same_names = names(old.clinic, old.kit) == names(new.clinic, new.kit)
        self.common: tuple[list[Finding], list[Finding]] = ([], [])
        """Findings in the clinic, the kit and their translations."""

    def both(self, before: Protocol, after: Protocol) -> Iterator[Change]:
        """What became of the findings of one protocol."""
        alike = before.source.text == after.source.text
        alike = alike or bare_protocol(before) == bare_protocol(after)
        proof = not (alike and self.same_ground)
        languages = [
            tag
            for tag in dict.fromkeys((*self.old.foreign, *self.new.foreign))
            if not (alike and self.same_names)
            or _words(self.old, before, tag) != _words(self.new, after, tag)
        ]
        olds = self._own(self.old, before, proof, languages, self.common[0])
        news = self._own(self.new, after, proof, languages, self.common[1])
        yield from changed_findings(olds, news, before, after)

    def gone(self, protocol: Protocol) -> Iterator[Change]:
        """The findings that went with a protocol."""
        yield from changed_findings(self._own(self.old, protocol, True, self.old.foreign), ())

    def came(self, protocol: Protocol) -> Iterator[Change]:
        """The findings that came with a protocol."""
        yield from changed_findings((), self._own(self.new, protocol, True, self.new.foreign))

    def shared(self) -> Iterator[Change]:
        """What became of the findings outside the protocols."""
        olds, news = (
            in_reading_order((*common, *(f for f in side.findings if not _in_protocol(f))))
            for side, common in zip((self.old, self.new), self.common, strict=True)
        )
        yield from changed_findings(olds, news)

    def _own(
        self,
        side: Side,
        protocol: Protocol,
        proof: bool,
        languages: Iterable[str],
        common: list[Finding] | None = None,
    ) -> list[Finding]:
        """Findings in the text of a protocol and in its translations; the others are put by."""
        path = protocol.source.path
        found = [f for f in side.findings if f.at.span.source.path == path]
        found += side.proved(protocol) if proof else ()
        for tag in languages:
            if tag in side.foreign:
                found += side.spoken(protocol, tag)
        home = {path}
        home |= {c.source.path for (_, n), c in side.catalogues.items() if n == protocol.name}
        own = [f for f in found if f.at.span.source.path in home]
        if common is not None:
            common += (f for f in found if f.at.span.source.path not in home)
        return in_reading_order(own)


def _in_protocol(finding: Finding) -> bool:
    return finding.at.span.source.path.endswith(".md")


def ground(clinic: Clinic | None, kit: Kit | None) -> Bare:
    """All that a proof reads besides the protocol."""
    if clinic is None or kit is None:
        return ()
    tables = [*(getattr(clinic, name) for name in TABLES), kit.items]
    rows = [tuple(sorted((name, repr(bare(row))) for name, row in t.items())) for t in tables]
    others = (
        getattr(clinic, name)
        for name in clinic.__slots__
        if name not in {*PRINTED, *TABLES, "languages"} and name.split("_")[-1] != "at"
    )
    return (*rows, *others, clinic.languages[:1])


def names(clinic: Clinic | None, kit: Kit | None) -> Bare:
    """All that a translation is judged by besides the protocol and the translation files."""
    if clinic is None or kit is None:
        return ()
    named = (clinic.areas, clinic.places, kit.items)
    return (clinic.contact, clinic.languages, *(tuple(sorted(table)) for table in named))


def _words(side: Side, protocol: Protocol, language: str) -> Bare:
    """The texts of the translation files that a protocol is printed with."""
    found = (side.catalogues.get((language, name)) for name in (protocol.name, "clinic"))
    return tuple(catalogue.source.text if catalogue else None for catalogue in found)
