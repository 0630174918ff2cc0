"""Slips of translators in every language: changed numbers and stale entries are all told."""

from __future__ import annotations

import json
from pathlib import Path

import pytest

from tests.mutations.spoilt_translations import EACH, FAULTS, LANGUAGES, told

README = Path(__file__).parent.parent / "README.md"
BEGIN, END = "<!-- faults in translations -->\n", "<!-- end of faults in translations -->\n"
GOLDEN = Path(__file__).parent.parent / "golden" / "mutations"
SURE = ("number changed", "source edited since")
"""Kinds of faults of which every single one must be told."""


@pytest.mark.parametrize("tag", LANGUAGES)
def test_slips_are_told(tag, golden):
    counts = {fault: told(tag, fault) for fault in FAULTS}

    assert {fault: count.made for fault, count in counts.items()} == dict.fromkeys(FAULTS, EACH)
    for fault in SURE:
        assert counts[fault].found == EACH, fault
    shown = {fault: count.found for fault, count in counts.items()}
    golden(f"mutations/translations/{tag}.json", json.dumps(shown, indent=1) + "\n")


def table() -> str:
    """The table of the README, from what was kept for each language."""
    kept = {
        tag: json.loads((GOLDEN / "translations" / f"{tag}.json").read_text(encoding="utf-8"))
        for tag in LANGUAGES
    }
    lines = [
        f"| {EACH} of each: found / not found | {' | '.join(LANGUAGES)} |",
        f"|---|{'---|' * len(LANGUAGES)}",
    ]
    for fault in FAULTS:
        figures = (kept[tag][fault] for tag in LANGUAGES)
        lines.append(f"| {fault} | {' | '.join(f'{n} / {EACH - n}' for n in figures)} |")
    return "\n".join(lines) + "\n"


def test_the_readme_shows_these_figures(request):
    """The table in tests/README.md is the one that the tests keep; --accept rewrites it."""
    text = README.read_text(encoding="utf-8")
    before, rest = text.split(BEGIN)
    _, after = rest.split(END)
    whole = before + BEGIN + table() + END + after
    if request.config.getoption("--accept"):
        README.write_text(whole, encoding="utf-8")
    assert whole == text or request.config.getoption("--accept")


def test_a_fault_that_nothing_tells_is_counted_as_not_found(monkeypatch):
    """So the counts can fall: without the check of numbers, changed ones go unseen."""
    from compiler.model import faithful

    told.cache_clear()
    monkeypatch.setattr(faithful, "numbers", lambda text: None)
    unseen = told("es", "number changed")
    told.cache_clear()

    assert unseen.found < EACH / 2
