"""The report as one web page that stands alone: its template filled, for screen or paper."""

from __future__ import annotations

from itertools import groupby

from markupsafe import Markup

from compiler.changes.change import Change
from compiler.findings import Level
from compiler.products.html import fill
from compiler.products.page import colours, policy
from compiler.products.sheet import CAUTION as FOLLOW_POLICY
from compiler.products.theme import DEFAULT, Theme, theme_named
from compiler.report.changes_html import REFUSED
from compiler.report.changes_text import HEADINGS
from compiler.report.changes_text import counted as changes_counted
from compiler.report.text import CAUTION, counted
from compiler.reviewing.languages import short_of
from compiler.reviewing.report import Report
from compiler.rules.sources import short_citation

MODEL = (
    "The pictures show what Wallward's model of contamination holds; it is coarse, and where "
    "it must guess, it guesses the worse."
)
ENGLISH = (
    "This report is in English; the protocol's own words are in the language it is written in."
)
KINDS = {level: level.name.lower() for level in Level}
"""Names of the levels in the style sheet."""


def report_html(report: Report) -> str:
    """The whole page."""
    return filled(report, theme_named(DEFAULT), paper=False)


def _groups(report: Report) -> list[tuple[str, list[Change]]]:
    """The changes by what they bear on, in the order in which `compare` tells them."""
    changes = report.changes.changes if report.changes else ()
    return [(HEADINGS[g], list(its)) for g, its in groupby(changes, key=lambda c: c.group)]


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
        "sign_offs": report.protocol_set.sign_offs,
        "counted": counted(report.findings, 1),
        "changed": changes_counted(report.changes) if report.changes else "",
        "groups": _groups(report),
        "kinds": KINDS,
        "source": short_citation,
        "short_of": short_of,
        "cautions": (FOLLOW_POLICY, CAUTION),
        "model": MODEL,
        "english": ENGLISH,
        "paper": paper,
        "css": Markup(css),
        "script": Markup(script),
        "policy": policy(css, script),
    }
    return REFUSED.sub("\ufffd", fill(theme, "report.html", "ltr", values))
