"""Findings as JSON: one object, a contract for other programs."""

from __future__ import annotations

import json
from typing import Any

from compiler.findings import Finding, Mark
from compiler.rules.sources import published


def json_report(
    findings: list[Finding], protocols: int, against: list[dict[str, Any]] | None = None
) -> str:
    """`{"findings": [...], "protocols": n}`, keys in a fixed order; `against` if asked."""
    whole: dict[str, Any] = {"findings": [_finding(f) for f in findings]}
    whole["protocols"] = protocols
    if against is not None:
        whole["against"] = against
    return json.dumps(whole, ensure_ascii=False, indent=1) + "\n"


def _finding(finding: Finding) -> dict[str, Any]:
    span = finding.at.span
    known = published()
    return {
        "rule": finding.rule.slug,
        "level": finding.rule.level.value,
        "message": finding.message,
        "file": span.source.path,
        "line": span.line,
        "column": span.column,
        "answers": {given.question: given.answer for given in finding.answers},
        "fine answers": {g.question: list(g.fine) for g in finding.answers if g.fine},
        "round": finding.round,
        "steps": [_mark(mark) for mark in (*finding.path, finding.at)],
        "remedy": finding.remedy,
        "sources": [known[key].citation for key in finding.rule.cites],
    }


def _mark(mark: Mark) -> dict[str, Any]:
    span = mark.span
    return {
        "file": span.source.path,
        "line": span.line,
        "column": span.column,
        "words": span.text,
        "label": mark.label,
    }
