"""Findings in the Static Analysis Results Interchange Format, SARIF 2.1.0 (OASIS)."""

from __future__ import annotations

import json
import os
from typing import Any
from urllib.parse import quote

from compiler.findings import Finding, Level, Mark, Rule
from compiler.source import Span

LEVELS = {Level.MUST: "error", Level.SHOULD: "warning", Level.MAY: "note"}
SCHEMA = (
    "https://docs.oasis-open.org/sarif/sarif/v2.1.0/errata01/os/schemas/sarif-schema-2.1.0.json"
)


def sarif_report(findings: list[Finding], rules: dict[str, Rule], version: str) -> str:
    """One run, with the rules that were broken, in reading order."""
    broken = list(dict.fromkeys(f.rule.slug for f in findings))
    run = {
        "tool": {
            "driver": {
                "name": "wallward",
                "version": version,
                "rules": [_rule(rules[slug]) for slug in broken],
            }
        },
        "columnKind": "unicodeCodePoints",
        "results": [_result(f, broken.index(f.rule.slug)) for f in findings],
    }
    whole = {"$schema": SCHEMA, "version": "2.1.0", "runs": [run]}
    return json.dumps(whole, ensure_ascii=False, indent=1) + "\n"


def _rule(rule: Rule) -> dict[str, Any]:
    return {
        "id": rule.slug,
        "shortDescription": {"text": rule.summary},
        "defaultConfiguration": {"level": LEVELS[rule.level]},
    }


def _result(finding: Finding, index: int) -> dict[str, Any]:
    result: dict[str, Any] = {
        "ruleId": finding.rule.slug,
        "ruleIndex": index,
        "level": LEVELS[finding.rule.level],
        "message": {"text": finding.message},
        "locations": [{"physicalLocation": _place(finding.at.span)}],
        "properties": {"remedy": finding.remedy, "answers": _answers(finding)},
    }
    if finding.path:
        result["relatedLocations"] = [_related(m, i) for i, m in enumerate(finding.path)]
    return result


def _answers(finding: Finding) -> dict[str, str]:
    return {given.question: given.answer for given in finding.answers}


def _related(mark: Mark, number: int) -> dict[str, Any]:
    return {
        "id": number,
        "physicalLocation": _place(mark.span),
        "message": {"text": mark.label or "here"},
    }


def _place(span: Span) -> dict[str, Any]:
    end_line, end_column = span.source.place(span.end)
    return {
        "artifactLocation": {"uri": _uri(span.source.path)},
        "region": {
            "startLine": span.line,
            "startColumn": span.column,
            "endLine": end_line,
            "endColumn": end_column,
        },
    }


def _uri(path: str) -> str:
    return quote(os.fsencode(path))  # a file's name need not be text
