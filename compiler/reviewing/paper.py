"""The report on paper: a tagged PDF from the same template as the web page."""

from __future__ import annotations

from collections.abc import Sequence

from compiler.findings import Finding
from compiler.layout.fonts import Faces, faces_for, missing_letters
from compiler.layout.paper import PAPERS, Paper, desk_paper, paper_named
from compiler.products.html import visible
from compiler.products.pages import Document, printed
from compiler.products.sheet import CAUTION as FOLLOW_POLICY
from compiler.products.sheet import Order
from compiler.products.steps_margins import css_string
from compiler.products.theme import DEFAULT, Theme, theme_named
from compiler.reviewing.page import filled
from compiler.reviewing.report import Report
from compiler.wording.words import words

MARKS = "“”‘’•"
"""What the engine writes of itself: around quotations and before the rows of lists."""


def report_pdf(report: Report) -> tuple[bytes, tuple[Finding, ...]]:
    """The PDF; no bytes and the reasons when it must not be written."""
    theme = theme_named(DEFAULT)
    clinic = report.protocol_set.clinic
    kit = report.protocol_set.kit
    assert clinic
    assert kit
    paper = desk_paper(paper_named(clinic.paper) or PAPERS["A4"]).landscape
    order = Order(report.protocol, clinic, kit, words("en"), code="", link=clinic.name)
    title = f"Review report: {report.protocol.title}"
    html = filled(report, theme, paper=True)
    faces = _faces(visible(html), clinic.languages)
    css = _print_css(report, theme, paper, faces)
    margins = f"{title}{clinic.name}{FOLLOW_POLICY}Page of 0123456789 · {MARKS}"
    document = Document(order, theme, faces, html, css, margins, title)
    _, pdf, findings = printed(document)
    return pdf, findings


def _faces(text: str, languages: Sequence[str]) -> Faces:
    """Fonts for what is printed: those of every language only where findings quote them."""
    faces = faces_for("en", *languages[:1])
    if not missing_letters(text, faces):
        return faces
    every = faces_for("en", *languages)
    return faces if every.obstacles else every


def _print_css(report: Report, theme: Theme, paper: Paper, faces: Faces) -> Sequence[str]:
    """The style sheet of the page with its colours written out, and the margins of paper."""
    css = theme.css("report.css")
    for name, colour in theme.colours.items():
        css = css.replace(f"var(--{name.replace(' ', '-')})", colour)
    assert report.protocol_set.clinic
    small = f"font-family: {faces.families}; font-size: 7.5pt; "
    head = css_string(
        f"Review report: {report.protocol.title} · {report.protocol_set.clinic.name}"
    )
    return css, (
        f"@page {{ size: {paper.width}mm {paper.height}mm; margin: 14mm 12mm 16mm;\n"
        f"@top-left {{ content: {head}; {small} width: 80%; }}\n"
        f"@bottom-left {{ content: {css_string(FOLLOW_POLICY)}; {small} font-weight: 700; "
        "width: 75%; }\n"
        f'@bottom-right {{ content: "Page " counter(page) " of " counter(pages); {small} }}'
        " }\n"
        f"html {{ font-size: 9pt; }} body {{ font-family: {faces.families}; }}\n"
    )
