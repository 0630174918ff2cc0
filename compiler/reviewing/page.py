"""The report as one web page that stands alone: its template filled, for screen or paper."""

from __future__ import annotations

from collections.abc import Iterable
from itertools import groupby

from markupsafe import Markup

from compiler.changes.change import Change
from compiler.findings import Finding, Level
from compiler.products.html import fill
from compiler.products.page import colours, policy
from compiler.products.sheet import CAUTION as FOLLOW_POLICY
from compiler.products.theme import DEFAULT, Theme, theme_named
from compiler.report.changes_html import REFUSED
from compiler.report.changes_text import HEADINGS
from compiler.report.changes_text import counted as changes_counted
from compiler.report.text import CAUTION, counted
from compiler.reviewing.report import Report
from compiler.rules.sources import short_citation

MODEL = (
    "The pictures show what Wallward's model of contamination holds; it is coarse, and where "
    "it must guess, it guesses the worse."
)
ENGLISH = (
    "This report is in English; the protocol's own words are in the language it is written in."
)
MANY = 3
"""So many findings of one rule are told together."""
KINDS = {level: level.name.lower() for level in Level}
"""Names of the levels in the style sheet."""


def report_html(report: Report) -> str:
    """The whole page."""
    return filled(report, theme_named(DEFAULT), paper=False)


def _groups(report: Report) -> list[tuple[str, list[list[Change]]]]:
    """The changes by what they bear on, in the order in which `compare` tells them.

    What is told in the same words of several files, of translations say, is told once.
    """
    changes = report.changes.changes if report.changes else ()
    return [
        (HEADINGS[group], _once(its)) for group, its in groupby(changes, key=lambda c: c.group)
    ]


def _once(changes: Iterable[Change]) -> list[list[Change]]:
    alike: dict[tuple[str, ...], list[Change]] = {}
    for change in changes:
        key = change.kind, change.sentence, change.was, change.is_now
        alike.setdefault(key, []).append(change)
    return list(alike.values())


def gathered(findings: Iterable[Finding]) -> list[list[Finding]]:
    """What must be fixed first; many of one rule to which no way leads are told together.

    So a missed hand hygiene does not drown in the texts that one language has not translated.
    """
    groups: dict[tuple[int, str, int], list[Finding]] = {}
    levels = list(Level)
    for number, found in enumerate(findings):
        alone = bool(found.path or found.answers or found.round > 1)
        key = (levels.index(found.rule.level), found.rule.slug, number if alone else -1)
        groups.setdefault(key, []).append(found)
    in_order = sorted(groups, key=lambda key: (key[0], len(groups[key]) >= MANY))
    return [groups[key] for key in in_order]


def _both(change: Change) -> list[tuple[str, str]]:
    """The words before and now, where the sentence does not tell them."""
    both = (("before", change.was), ("now", change.is_now))
    return [(name, words) for name, words in both if words and words not in change.sentence]


def filled(report: Report, theme: Theme, *, paper: bool) -> str:
    """The template with the report in it; paper has no buttons, no script, no folds."""
    assert report.protocol_set.clinic
    css = colours(theme) + theme.css("report.css") + theme.css("report-screen.css")
    script = theme.read("report.js")
    values = {
        "report": report,
        "protocol": report.protocol,
        "clinic": report.protocol_set.clinic,
        "written_in": report.protocol_set.clinic.languages[0],
        "counted": counted(report.findings, 1),
        "changed": changes_counted(report.changes) if report.changes else "",
        "groups": _groups(report),
        "both": _both,
        "gathered": gathered(report.findings),
        "many": MANY,
        "kinds": KINDS,
        "source": short_citation,
        "cautions": (FOLLOW_POLICY, CAUTION),
        "model": MODEL,
        "english": ENGLISH,
        "paper": paper,
        "css": Markup(css),
        "script": Markup(script),
        "policy": policy(css, script),
    }
    return REFUSED.sub("\ufffd", fill(theme, "report.html", "ltr", values))
