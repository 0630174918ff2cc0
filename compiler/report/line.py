"""One line a finding, for editors and for searching."""

from __future__ import annotations

from compiler.findings import Finding


def line_report(findings: list[Finding]) -> str:
    """`file:line:column: level: message (slug)`, in reading order."""
    return "".join(
        f"{f.at.span.source.path}:{f.at.span.line}:{f.at.span.column}: "
        f"{f.rule.level.value}: {f.message} ({f.rule.slug})\n"
        for f in findings
    )
