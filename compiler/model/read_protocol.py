"""A protocol file to a `Protocol`: first the head, then the body, then all forks together."""

from __future__ import annotations

from compiler.findings import Finding, Mark
from compiler.model.clinic import Clinic
from compiler.model.kit import Kit
from compiler.model.protocol import Protocol
from compiler.model.questions import contradictions, unknown_standing
from compiler.model.read_head import read_head
from compiler.model.read_parts import EMPTY_PART, PartReader
from compiler.model.read_phrases import Lookup
from compiler.source import Source
from compiler.syntax import markdown


def read_protocol(
    source: Source, clinic: Clinic | None, kit: Kit | None
) -> tuple[Protocol | None, list[Finding]]:
    """The protocol, or None when it cannot be checked; and everything that is wrong with it.

    Without a clinic or a kit there is nothing to check against, but the mistakes of the file
    itself are still found.
    """
    head, start, findings = read_head(source)
    blocks, more = markdown.read(source, start)
    findings += more
    look = Lookup(clinic, kit)
    reader = PartReader(look)
    parts = reader.read(blocks)
    findings += look.findings
    if not parts:
        if not any(finding.at.span.start >= start for finding in findings):
            findings.append(
                Finding(
                    EMPTY_PART,
                    "The protocol has no parts.",
                    Mark(head.at, "this protocol"),
                    remedy="write a heading with `donning in AREA` and steps below it",
                )
            )
        return None, findings
    findings += contradictions(parts)
    if clinic is None or kit is None or reader.lost:
        return None, findings
    findings += unknown_standing(parts, clinic.answers)
    name = source.path.rsplit("/", 1)[-1].removesuffix(".md")
    protocol = Protocol(
        name=name,
        title=head.title or name,
        precautions=head.precautions,
        hazard=head.hazard,
        edition=head.edition,
        valid_from=head.valid_from,
        review_by=head.review_by,
        owner=head.owner,
        parts=parts,
        source=source,
        at=head.at,
        waivers=head.waivers,
    )
    return protocol, findings
