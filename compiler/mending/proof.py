"""Mends are proved before they are offered: the set is checked again with each."""

from __future__ import annotations

import datetime
from collections import Counter
from collections.abc import Iterator
from dataclasses import dataclass, replace

from compiler.findings import Finding, in_reading_order
from compiler.mending.ground import Ground
from compiler.mending.remedies import follows_from_another, ways
from compiler.model.read_protocol import read_protocol
from compiler.pipeline import ProtocolSet, read_texts, validated
from compiler.source import Source

Told = Counter[tuple[str, str, str]]
"""How often each thing is said, wherever in its file: lines move when steps are added."""

Known = dict[Source, list[Finding]]
"""What is found in a protocol, by its text; for one clinic and one kit."""


@dataclass(frozen=True, slots=True)
class Mended:
    """A set with every mend that could be proved."""

    before: ProtocolSet
    after: ProtocolSet
    mended: tuple[Finding, ...]
    """What was found and is gone, in the order in which it was mended."""
    left: tuple[Finding, ...]
    """What is found in the mended set."""

    @property
    def changed(self) -> Iterator[tuple[Source, Source]]:
        """Each file that changes: as it was, and as it becomes."""
        for name, source in self.before.sources.items():
            if source.text != self.after.sources[name].text:
                yield source, self.after.sources[name]


def mended(protocol_set: ProtocolSet, on: datetime.date | None = None) -> Mended:
    """Applies one proved mend after another until none is left.

    Every mend leaves fewer findings than there were, so this ends.

    Args:
        protocol_set: The set.
        on: The day as of which what is left is judged; no mend makes a text younger.
    """
    here = protocol_set
    done: list[Finding] = []
    refused: set[tuple[str, str, str]] = set()
    since = 0
    known: Known = {}
    findings = _found(here, known)
    while True:
        waiting = (f for f in findings if _said(f) not in refused)
        if finding := next(waiting, None):
            if following := mend(here, finding, known):
                if (following.clinic, following.kit) != (here.clinic, here.kit):
                    known.clear()
                here = following
                done.append(finding)
                findings = _found(here, known)
            else:
                refused.add(_said(finding))
        elif len(done) > since:
            # what could not be proved before other mends may be provable after them
            since = len(done)
            refused.clear()
        else:
            return Mended(protocol_set, here, tuple(done), tuple(validated(here, on=on)))


def mend(
    protocol_set: ProtocolSet, finding: Finding, known: Known | None = None
) -> ProtocolSet | None:
    """The set without this finding and with none that is new; nothing if that is not sure.

    Of several sure ways it is the one that leaves the fewest findings.

    Args:
        protocol_set: The set.
        finding: One of its findings.
        known: What was found before in protocols of this set.
    """
    source = finding.at.span.source
    name = next((n for n, s in protocol_set.sources.items() if s is source), "")
    if not name or name.endswith(".po"):
        return None
    findings = _about(protocol_set, name, {} if known is None else known)
    if follows_from_another(finding, findings):
        return None
    before = told(findings)
    best: tuple[int, ProtocolSet] | None = None
    for alternatives in ways(_ground(protocol_set, source), finding):
        sure: list[tuple[int, ProtocolSet]] = []
        for text in dict.fromkeys(alternatives):
            following = with_text(protocol_set, name, text)
            after = told(_about(following, name, {}))
            if after[_said(finding)] < before[_said(finding)] and after <= before:
                sure.append((after.total(), following))
        if len(sure) == 1 and (best is None or sure[0][0] < best[0]):
            best = sure[0]
    return best[1] if best else None


def told(findings: list[Finding]) -> Told:
    """What is said, and how often."""
    return Counter(map(_said, findings))


def _said(finding: Finding) -> tuple[str, str, str]:
    return finding.at.span.source.path, finding.rule.slug, finding.message


def _ground(protocol_set: ProtocolSet, source: Source) -> Ground | None:
    clinic, kit = protocol_set.clinic, protocol_set.kit
    protocol = next((p for p in protocol_set.protocols if p.source is source), None)
    if not clinic or not kit or not protocol:
        return None
    others = tuple(p for p in protocol_set.protocols if p is not protocol)
    return Ground(clinic, kit, protocol, others)


def with_text(protocol_set: ProtocolSet, name: str, text: str) -> ProtocolSet:
    """The set with another text of one file; only what depends on it is read again."""
    old = protocol_set.sources[name]
    source = Source(old.path, text)
    sources = {**protocol_set.sources, name: source}
    clinic, kit = protocol_set.clinic, protocol_set.kit
    if not name.endswith(".md") or not clinic or not kit:
        return read_texts(sources, protocol_set.folder)
    protocol, findings = read_protocol(source, clinic, kit)
    others = [f for f in protocol_set.findings if f.at.span.source is not old]
    protocols = [
        read
        for key, each in sources.items()
        if key.endswith(".md")
        for read in (
            [protocol]
            if each is source
            else [p for p in protocol_set.protocols if p.source is each]
        )
        if read
    ]
    return replace(
        protocol_set,
        protocols=tuple(protocols),
        sources=sources,
        findings=tuple(in_reading_order([*others, *findings])),
    )


def _about(protocol_set: ProtocolSet, name: str, known: Known) -> list[Finding]:
    """All findings that one file bears on."""
    source = protocol_set.sources[name]
    if not name.endswith(".md"):
        return validated(protocol_set)
    alone = tuple(p for p in protocol_set.protocols if p.source is source)
    return _found(replace(protocol_set, protocols=alone), known)


def _found(protocol_set: ProtocolSet, known: Known) -> list[Finding]:
    """As `validated`, but without checking again what is known already."""
    findings = validated(replace(protocol_set, protocols=()))
    for protocol in protocol_set.protocols:
        if protocol.source not in known:
            alone = replace(protocol_set, protocols=(protocol,), findings=())
            known[protocol.source] = validated(alone)
        findings += known[protocol.source]
    return in_reading_order(findings)
