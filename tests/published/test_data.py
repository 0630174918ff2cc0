"""The published sequences and the sources as data: whole, honest about what was seen."""

from __future__ import annotations

import re
import tomllib
from pathlib import Path

import pytest

from compiler.catalogue import rules
from tests.published.build import KINDS, ZONES
from tests.published.sequences import VERBS, records, sequences

SOURCES = Path(__file__).parents[2] / "compiler" / "rules" / "sources.toml"
SEEN = {"read", "restated", "memory"}


def sources() -> dict[str, dict[str, object]]:
    return tomllib.loads(SOURCES.read_text(encoding="utf-8"))


@pytest.mark.parametrize("record", records()["sequences"], ids=lambda r: r["key"])
def test_a_record_says_whose_it_is_and_how_sure_it_is(record: dict[str, object]):
    assert {"short", "title", "body", "year", "document", "address", "seen"} <= record.keys()
    assert record["seen"] in SEEN
    assert str(record["address"]).startswith("http")


def test_every_reason_for_an_added_step_is_used():
    whole = records()
    used = {
        step["added"]
        for record in whole["sequences"]
        for part in ("putting on", "taking off")
        for step in record[part]
        if isinstance(step, dict) and "added" in step
    } | {record["place added"] for record in whole["sequences"] if "place added" in record}

    assert used == set(whole["reasons"])


def test_sequences_are_whole():
    """What goes on comes off; every word is one the converter knows."""
    for sequence in sequences():
        acts = sequence.donning + sequence.doffing

        assert {act.verb for act in acts} <= set(VERBS)
        assert set(sequence.items) <= set(KINDS)
        assert all(act.things[0] in ZONES for act in acts if act.verb == "go to")
        for item in sequence.items:
            on = sum(act.verb == "put on" and item in act.things for act in acts)
            off = sum(act.is_off(item) for act in acts)
            assert on == off, (sequence.key, item)


def test_sources_have_every_field():
    for key, source in sources().items():
        assert re.fullmatch(r"[a-z0-9]+(-[a-z0-9]+)*", key)
        assert source.keys() - {"note"} == {"title", "publisher", "year", "part", "url", "seen"}
        assert source["seen"] in SEEN
        assert all(source.values()), key


def test_every_source_that_a_rule_cites_is_known():
    cited = {key for rule in rules().values() for key in rule.cites}

    assert cited - sources().keys() == set()
