"""Spoils the example and the published sequences, and counts what the checker tells."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, field

from compiler.catalogue import FAMILIES, PROVED
from compiler.findings import Finding, Level
from compiler.pipeline import check_texts
from tests.command.running import EXAMPLE
from tests.mutations.faults import FAULTS
from tests.published.build import texts
from tests.published.sequences import sequences


@dataclass
class Count:
    """One class of fault in one protocol."""

    made: int = 0
    found: int = 0
    """A new finding, from following the steps, that must or should be fixed."""
    untold: list[str] = field(default_factory=list)
    """The line that was changed, of each that was not found."""


def protocols() -> dict[str, dict[str, str]]:
    """Every protocol to be spoilt, by name, as the files of its set."""
    shared = {
        name: (EXAMPLE / name).read_text(encoding="utf-8")
        for name in ("clinic.yaml", "kit.yaml")
    }
    shared["clinic.yaml"] = shared["clinic.yaml"].replace("[en, es, ar, zh-Hans, hi]", "[en]")
    found = {
        path.stem: {**shared, path.name: path.read_text(encoding="utf-8")}
        for path in sorted(EXAMPLE.glob("*.md"))
        if path.name != "README.md"
    }
    return found | {sequence.key: texts(sequence) for sequence in sequences()}


def counted(files: dict[str, str]) -> dict[str, Count]:
    """What is told of each class of fault in one protocol."""
    name = next(n for n in files if n.endswith(".md"))
    lines = files[name].split("\n")
    before = _grave(check_texts(files))
    counts: dict[str, Count] = {}
    for fault, spoil in FAULTS.items():
        count = counts.setdefault(fault, Count())
        for spoilt in spoil(lines):
            text = "\n".join(spoilt)
            if text == files[name]:
                continue
            count.made += 1
            if _grave(check_texts({**files, name: text})) - before:
                count.found += 1
            else:
                count.untold.append(_first_difference(lines, spoilt))
    return {fault: count for fault, count in counts.items() if count.made}


def _grave(findings: list[Finding]) -> set[tuple[str, str]]:
    proved = {rule for family in PROVED for rule in FAMILIES[family]}
    grave = (f for f in findings if f.rule in proved and f.rule.level is not Level.MAY)
    return {(f.rule.slug, f.message) for f in grave}


def _first_difference(lines: list[str], spoilt: list[str]) -> str:
    pairs: Iterator[tuple[str, str]] = zip(lines, spoilt, strict=False)
    return next((old.strip() for old, new in pairs if old != new), "")
