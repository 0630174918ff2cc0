"""How far away each sheet is read: worked out without a layout, held against the real sheets.

What is compiled tells its own distance. Of the sheets whose type has one size it is just that; of
a card and of tags it lies between the two that were told; a poster's is an estimate.
"""

from __future__ import annotations

import os
import re
from dataclasses import replace
from functools import cache
from pathlib import Path

import pytest

from compiler.layout.legibility import reading_distance, required_height
from compiler.model.sheet_kinds import SHEET_KINDS
from compiler.pipeline import in_language, open_set
from compiler.printing import tasks_of
from compiler.reviewing import languages
from compiler.reviewing.legibility import MEASURED, Far, distances, measured_kinds
from compiler.wish import Wish
from compiler.workshop import MAKERS, orders_of
from tests.command.running import run_apart
from tests.printing.posters import PROTOCOLS

NAME = "airborne-room"
SAMPLE = [
    *(("en", kind) for kind in ("poster", "card", "steps", "observer", "tags")),
    *(("ar", kind) for kind in ("card", "observer", "tags")),
    *(("zh-Hans", kind) for kind in ("card", "observer")),
]


@cache
def example():
    return open_set(PROTOCOLS, [PROTOCOLS / f"{NAME}.md"])


@cache
def told(language: str) -> dict[tuple[str, str], Far | None]:
    version = in_language(example(), example().protocols[0], language)
    kinds = measured_kinds(version.clinic, version.protocol)
    found = distances(version, "default", "en", figures=True)
    return {kind[:2]: far for kind, far in zip(kinds, found, strict=True)}


@pytest.mark.parametrize(("language", "kind"), SAMPLE, ids=["-".join(x) for x in SAMPLE])
def test_a_real_sheet_is_read_from_as_far_as_was_told(language, kind):
    [task] = tasks_of(example(), Wish(Path("build"), (language,), products=(kind,)))
    outcome = MAKERS[kind](orders_of(task))
    found = dict(re.findall(r"(\w+) to ([\d.]+) m", outcome.told))
    assert found, outcome.told
    for said, far in found.items():
        mine = told(language)[kind, said]
        assert mine.least > 0
        if kind == "poster":
            assert float(far) == pytest.approx(mine.least, rel=0.06, abs=0.05)
            assert mine.paper in outcome.told
        else:
            assert mine.least - 0.005 <= float(far) <= mine.most + 0.005, outcome.told


def test_every_kind_on_paper_is_measured():
    """All but the web page, which is as large as its reader sets it."""
    on_paper = {name for name, kind in SHEET_KINDS.items() if "pdf" in kind.endings}
    assert set(MEASURED) == on_paper == set(MAKERS) - {"page"}


def test_asked_is_what_the_clinic_asks_and_less_is_too_near():
    """By the arithmetic of ISO 9241-303: a letter of 16 minutes of arc from there."""
    clinic, protocol = example().clinic, example().protocols[0]
    asked = {(kind, said): far for kind, said, far in measured_kinds(clinic, protocol)}
    assert asked["poster", "leads"] == clinic.reading.leads == 1.0
    assert asked["poster", "details"] == clinic.reading.details == 0.6
    assert set(asked.values()) == {1.0, 0.6, 0.35}

    far = clinic.reading
    longer = replace(clinic, reading=replace(far, leads=1.4, details=0.85, card=0.5))
    version = replace(in_language(example(), protocol, "en"), clinic=longer)
    leads, details, *_, tags = distances(version, "default", "en", figures=False)
    assert (leads.short, details.short) == (True, True)
    assert tags.least == pytest.approx(reading_distance(required_height(0.5)))
    assert "too" not in leads.told


def test_kinds_that_the_clinic_does_not_print_are_left_out():
    clinic, protocol = example().clinic, example().protocols[0]
    few = replace(clinic, products=("card", "review"))
    version = replace(in_language(example(), protocol, "ar"), clinic=few)
    assert [k[0] for k in measured_kinds(few, protocol)] == ["card", "review"]
    card, review = distances(version, "default", "en", figures=False)
    assert card
    assert review
    # nothing is translated into the language that it is written in
    english = replace(in_language(example(), protocol, "en"), clinic=few)
    assert distances(english, "default", "en", figures=False)[1] is None
    rapid = open_set(PROTOCOLS, [PROTOCOLS / "rapid-entry.md"]).protocols[0]
    assert "tags" not in [k[0] for k in measured_kinds(clinic, rapid)]


def test_cells_are_told_in_metres():
    assert Far(0.5714, 0.5714, 0.35).told == "0.57 m"
    assert Far(0.35, 0.824, 0.35).told == "0.35 to 0.82 m"
    assert Far(1.0, 0, 1.0).told == "1.00 m or more"
    assert Far(asked=1.0).told == "cannot be made: see wallward compile"
    assert Far(0.994, 0.994, 1.0).short
    assert not Far(0.996, 0.996, 1.0).short
    assert not Far(asked=1.0).short


def test_the_page_needs_no_layout(tmp_path):
    """A report as a web page is written without the engine that lays sheets out."""
    program = (
        "import sys\n"
        "from compiler.products import pdf\n"
        "def refused(*_): raise AssertionError('laid out')\n"
        "pdf.Press.layout = refused\n"
        "from compiler.cli import main\n"
        "main()"
    )
    words = ("report", PROTOCOLS / f"{NAME}.md", "--form", "html", "--into", tmp_path)
    ended = run_apart(*words, "--on", "2026-12-01", program=program)
    assert ended.status == 0, ended.err


def test_all_cores_measure_what_one_measures(monkeypatch):
    protocol_set = open_set(PROTOCOLS, [PROTOCOLS / "rapid-entry.md"])
    started = []
    really = languages.spread

    def seen(*given):
        started.append(given)
        return really(*given)

    monkeypatch.setattr(languages, "spread", seen)
    monkeypatch.setattr(os, "cpu_count", lambda: 2)
    monkeypatch.setattr(languages, "can_copy", lambda: False)
    alone = languages.languages_of(protocol_set, "protocols")
    assert not started
    monkeypatch.setattr(languages, "can_copy", lambda: True)

    assert languages.languages_of(protocol_set, "protocols") == alone
    assert started
