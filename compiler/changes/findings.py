"""Findings gained and lost, and those that a waiver hides or shows again."""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable, Iterator, Sequence

from compiler.changes.change import Change, Detail
from compiler.changes.telling import number_of
from compiler.findings import Finding, Level
from compiler.model.protocol import Protocol

TOGETHER = "translation-"
"""Rules about single translated texts: told with a count, because one edit is met in every
language."""


def changed_findings(
    olds: Sequence[Finding],
    news: Sequence[Finding],
    old: Protocol | None = None,
    new: Protocol | None = None,
) -> Iterator[Change]:
    """Findings of one version that the other does not have."""
    lost, gained = _left(olds, news), _left(news, olds)
    waived = _slugs(new) - _slugs(old)
    shown = _slugs(old) - _slugs(new)
    yield from _told(gained, lambda slug: _gained(slug in shown), came=True)
    yield from _told(lost, lambda slug: _lost(slug in waived), came=False)


def _slugs(protocol: Protocol | None) -> set[str]:
    return {waiver.slug for waiver in protocol.waivers} if protocol else set()


def _gained(shown: bool) -> tuple[str, str]:
    if shown:
        return "finding no longer waived", "is found, and no longer waived"
    return "finding gained", "is found now"


def _lost(waived: bool) -> tuple[str, str]:
    if waived:
        return "finding waived", "is no longer told, because it is waived"
    return "finding lost", "is no longer found"


def _left(ours: Sequence[Finding], theirs: Sequence[Finding]) -> list[Finding]:
    """Findings that the others do not have; of equal ones, those on lines unlike theirs."""
    there = Counter(map(_key, theirs))
    lines = Counter((_key(finding), _line(finding)) for finding in theirs)
    alike_first: list[Finding] = []
    rest: list[Finding] = []
    for finding in ours:
        exact = _key(finding), _line(finding)
        if lines[exact]:
            lines[exact] -= 1
            alike_first.append(finding)
        else:
            rest.append(finding)
    left: set[int] = set()
    for finding in (*alike_first, *rest):
        if there[_key(finding)]:
            there[_key(finding)] -= 1
        else:
            left.add(id(finding))
    return [finding for finding in ours if id(finding) in left]


def _key(finding: Finding) -> tuple[str, str]:
    return finding.rule.slug, finding.message


def _line(finding: Finding) -> str:
    span = finding.at.span
    return span.source.line(span.line).strip()


def _told(
    findings: list[Finding], named: Callable[[str], tuple[str, str]], *, came: bool
) -> Iterator[Change]:
    together: dict[str, list[Finding]] = {}
    for at, finding in enumerate(findings):
        slug, path = finding.rule.slug, finding.at.span.source.path
        together.setdefault(f"{slug} {path if slug.startswith(TOGETHER) else at}", []).append(
            finding
        )
    for several in together.values():
        kind, words = named(several[0].rule.slug)
        yield _change(several, kind, words, came=came)


def _change(several: list[Finding], kind: str, told: str, *, came: bool) -> Change:
    first, rule = several[0], several[0].rule
    said = first.message
    if len(several) > 1:
        said = f"{number_of(len(several), 'text')}, such as: {first.message}"
    span = first.at.span
    words = "" if len(several) > 1 else " ".join(span.text.strip("`").split())
    grave = rule.level is not Level.MAY and not rule.slug.startswith(TOGETHER)
    return Change(
        kind,
        f"{rule.slug} ({rule.level.value}) {told}: {said}",
        subject=rule.slug,
        old=None if came else span,
        new=span if came else None,
        was="" if came else words,
        is_now=words if came else "",
        look_first=(came and grave) or kind == "finding waived",
        details=tuple(_detail(f, came) for f in several) if len(several) > 1 else (),
    )


def _detail(finding: Finding, came: bool) -> Detail:
    span, message = finding.at.span, finding.message
    return Detail("", message, new=span) if came else Detail(message, "", old=span)
