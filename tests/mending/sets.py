"""Sets given as texts, and what is said of them, for the tests of mending."""

from __future__ import annotations

from collections import Counter

from compiler.findings import Finding
from compiler.model.protocol import Protocol, every_step
from compiler.pipeline import ProtocolSet, check_texts, read_texts
from compiler.source import Source


def set_of(files: dict[str, str]) -> ProtocolSet:
    """A set as read."""
    return read_texts({name: Source(name, text) for name, text in files.items()})


def files_of(protocol_set: ProtocolSet) -> dict[str, str]:
    """The texts of a set."""
    return {name: source.text for name, source in protocol_set.sources.items()}


def said(findings: list[Finding]) -> Counter[tuple[str, str]]:
    """What is told, and how often."""
    return Counter((f.rule.slug, f.message) for f in findings)


def said_anew(protocol_set: ProtocolSet) -> Counter[tuple[str, str]]:
    """What is told of the texts alone, read and checked from the beginning."""
    return said(check_texts(files_of(protocol_set)))


def garments(protocol: Protocol) -> Counter[str]:
    """Everything that goes on and comes off, and every caution: mends leave these alone."""
    found: Counter[str] = Counter()
    for part in protocol.parts:
        for step in every_step(part.steps):
            found.update(f"caution {text}" for text in step.cautions)
            for phrase in step.phrases:
                kind = type(phrase).__name__
                if kind == "Wear":
                    found[f"wear {phrase.item} {phrase.assistant}"] += 1
                elif kind == "Remove":
                    found[f"remove {phrase.items} {phrase.grip} {phrase.assistant}"] += 1
    return found
