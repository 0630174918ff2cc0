"""What the compiler has to say to an author: rules as rows, findings as places with words."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from enum import Enum

from compiler.source import Span


class Level(Enum):
    """How much a finding matters. The values are what people read."""

    MUST = "must fix"
    SHOULD = "should fix"
    MAY = "worth a look"


@dataclass(frozen=True, slots=True)
class Rule:
    """One row of the catalogue; its page is `rules/pages/<slug>.md`."""

    slug: str
    """Names the fault, so that "allow <slug>" reads as English."""
    level: Level
    summary: str
    """One line: what it finds."""
    cites: tuple[str, ...] = ()
    """Keys of `rules/sources.toml`; empty means common practice without a published source."""
    waivable: bool = True
    """Whether an author may accept it in the protocol's head, with a reason and a date."""


@dataclass(frozen=True, slots=True)
class Mark:
    """A place, and what to notice there."""

    span: Span
    label: str = ""


@dataclass(frozen=True, slots=True)
class GivenAnswer:
    """One answer on the way to a fault."""

    question: str
    answer: str
    fine: tuple[str, ...] = ()
    """Other answers with which, all else the same, the fault is not met."""


@dataclass(frozen=True, slots=True)
class Finding:
    """One fault at one place."""

    rule: Rule
    message: str
    """States the fault; stands alone in one line; ends in a full stop."""
    at: Mark
    """Where the reader should look first."""
    path: tuple[Mark, ...] = ()
    """Only the earlier places that a reader needs to believe it, in order."""
    remedy: str = ""
    """What to do; only the remedy advises."""
    answers: tuple[GivenAnswer, ...] = ()
    """The answers given on the shortest way to the fault, in order."""
    round: int = 1
    """In which round, patient after patient, it is first met."""
    meant: str = ""
    """The one thing that can have been meant instead of the words at `at`, if it is clear."""


class UnreadableSourceError(Exception):
    """A file cannot be used at all: missing, not text, too large. Says what to do."""


def in_reading_order(findings: Iterable[Finding]) -> list[Finding]:
    """Sorted by place, then slug; one finding for each rule, place and message."""
    first: dict[tuple[str, tuple[str, int, int], str], Finding] = {}
    for finding in findings:
        first.setdefault((finding.rule.slug, finding.at.span.order, finding.message), finding)
    return sorted(first.values(), key=lambda f: (f.at.span.order, f.rule.slug, f.message))


def must_fix(findings: Iterable[Finding]) -> bool:
    """Whether any of them stands in the way of printing."""
    return any(finding.rule.level is Level.MUST for finding in findings)
