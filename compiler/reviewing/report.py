"""All that a reviewer is told of one protocol, gathered; nothing is judged here anew."""

from __future__ import annotations

import datetime
from collections.abc import Iterable
from dataclasses import dataclass

from compiler.analysis.world import World
from compiler.catalogue import FAMILIES
from compiler.changes.sides import Comparison
from compiler.findings import Finding, must_fix
from compiler.following.steps import named_steps
from compiler.model.protocol import Protocol
from compiler.pipeline import ProtocolSet, validated
from compiler.reviewing.branches import branches
from compiler.reviewing.languages import Language, languages_of
from compiler.reviewing.legibility import measured_kinds
from compiler.reviewing.signed import Signed, signed_of
from compiler.reviewing.strips import Column, Drawn, drawn
from compiler.rules.sources import citations


@dataclass(frozen=True, slots=True)
class Report:
    """One protocol's report, as the template reads it."""

    protocol: Protocol
    protocol_set: ProtocolSet
    on: datetime.date
    findings: tuple[Finding, ...]
    """Those that `validate` tells of the same file on the same day."""
    pictures: tuple[Drawn, ...]
    more: int
    """Answers of which no picture is drawn, for there are too many."""
    blocked: bool
    """Whether there are no pictures, because a mistake in reading it must be fixed first."""
    languages: tuple[Language, ...]
    changes: Comparison | None
    """Since an older version; nothing when none was named."""
    signed: Signed
    """The sign-offs of the set that it is in."""

    @property
    def sources(self) -> list[tuple[str, list[str]]]:
        """What the rules of its findings rest on; each rule once."""
        rules = {finding.rule.slug: finding.rule for finding in self.findings}
        return [(slug, citations(rules[slug].cites)) for slug in sorted(rules)]

    @property
    def measured(self) -> list[tuple[str, str, float]]:
        """Each kind of sheet, the words measured on it, and metres asked."""
        assert self.protocol_set.clinic
        return measured_kinds(self.protocol_set.clinic, self.protocol)

    @property
    def usual(self) -> frozenset[Column]:
        """The steps of the first way with what they change there."""
        first = self.pictures[:1]
        return frozenset(c for way in first for strip in way.strips for c in strip.columns)

    @property
    def checked(self) -> list[tuple[str, int]]:
        """Families of rules, and how many rules each has."""
        return [(family, len(members)) for family, members in FAMILIES.items()]


def report_of(
    protocol_set: ProtocolSet,
    on: datetime.date,
    wanted: Iterable[str] = (),
    changes: Comparison | None = None,
) -> Report:
    """Gathers the report of the one protocol of a set.

    Args:
        protocol_set: A set opened with one protocol, which could be built.
        on: The day as of which dates are judged.
        wanted: Languages; nothing for all of the clinic's.
        changes: What changed since an older version.
    """
    [protocol] = protocol_set.protocols
    clinic, kit = protocol_set.clinic, protocol_set.kit
    assert clinic
    assert kit
    pictures: list[Drawn] = []
    more = 0
    blocked = must_fix(protocol_set.findings)
    if not blocked:
        steps = named_steps(protocol, clinic)
        ways, more = branches(World(protocol, clinic, kit), steps)
        pictures = [drawn(way, steps) for way in ways]
    folder = protocol_set.folder.name if protocol_set.folder else ""
    return Report(
        protocol,
        protocol_set,
        on,
        tuple(validated(protocol_set, on=on)),
        tuple(pictures),
        more,
        blocked,
        tuple(languages_of(protocol_set, folder, tuple(wanted))),
        changes,
        signed_of(protocol_set, on),
    )
