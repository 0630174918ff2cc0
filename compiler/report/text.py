"""Findings for people at a terminal: what, where, the lines, what to do, and the source."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from textwrap import wrap

from compiler.findings import Finding, Level, Mark
from compiler.report.quote import quoted
from compiler.report.style import Style
from compiler.rules.sources import short_citation
from compiler.wording.cells import cells

WIDTH = 78
CAUTION = (
    "Wallward checks what is written. It does not replace local policy, training, fit testing "
    "or a trained observer."
)


def text_report(
    findings: list[Finding], protocols: int, style: Style, width: int = WIDTH
) -> str:
    """The whole report, ending in a count in words and the caution."""
    ending = f"{counted(findings, protocols)}\n{_folded(CAUTION, width)}\n"
    return f"{blocks_of(findings, style, width)}\n\n{ending}" if findings else ending


def blocks_of(findings: Iterable[Finding], style: Style, width: int) -> str:
    """The findings alone, a block each."""
    return "\n\n".join("\n".join(_block(finding, style, width)) for finding in findings)


def _folded(text: str, width: int, first: str = "", indent: str = "") -> str:
    return "\n".join(wrap(text, width, initial_indent=first, subsequent_indent=indent))


def _block(finding: Finding, style: Style, width: int) -> Iterator[str]:
    span, level = finding.at.span, finding.rule.level.value
    left = f"{finding.rule.slug} {style.dot} {level}"
    right = f"{span.source.path}, line {span.line}"
    space = " " * max(width - cells(left) - cells(right), 2)
    slug = style.paint("slug", finding.rule.slug)
    yield f"{slug} {style.dot} {style.paint(level, level)}{space}{right}"
    yield ""
    yield _folded(finding.message, width, "  ", "  ")
    yield ""
    yield from quoted(_marks(finding), style, width, level)
    yield ""
    for name, words in _notes(finding):
        yield _folded(words, width, f"  {name:<8} ", " " * 11)


def _marks(finding: Finding) -> list[Mark]:
    """Earlier places and the place of the finding, in reading order, that of its file last."""
    here = finding.at
    others = [m for m in finding.path if m.span.order != here.span.order]
    abroad = [m for m in others if m.span.source.path != here.span.source.path]
    at_home = [m for m in others if m not in abroad]
    return [*abroad, *sorted([*at_home, here], key=lambda mark: mark.span.order)]


def _notes(finding: Finding) -> Iterator[tuple[str, str]]:
    if finding.round > 1:
        yield "round", f"first met in round {finding.round}, with what was kept before"
    for given in finding.answers:
        fine = f"; fine with: {', '.join(given.fine)}" if given.fine else ""
        yield "answer", f"{given.question}: {given.answer}{fine}"
    if finding.remedy:
        yield "remedy", finding.remedy
    yield "source", short_citation(finding.rule.cites)
    yield "more", f"wallward explain {finding.rule.slug}"


def counted(findings: Iterable[Finding], protocols: int) -> str:
    """The count in words: "2 must be fixed, 1 is worth a look"."""
    levels = [finding.rule.level for finding in findings]
    said = []
    for level, one, many in (
        (Level.MUST, "must be fixed", "must be fixed"),
        (Level.SHOULD, "should be fixed", "should be fixed"),
        (Level.MAY, "is worth a look", "are worth a look"),
    ):
        if number := levels.count(level):
            said.append(f"{number} {one if number == 1 else many}")
    read = f"{protocols} protocol{'' if protocols == 1 else 's'} checked"
    return f"{read}: {', '.join(said) if said else 'nothing to fix'}."
