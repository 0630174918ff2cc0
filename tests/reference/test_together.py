"""Protocols checked together, with what is remembered between them, get the findings of each alone.

Remembering must change nothing but the time: the protocols of one clinic differ in a few steps, in
precautions and hazard, which is where a wrong memory would show.
"""

from __future__ import annotations

from collections.abc import Iterator
from copy import deepcopy
from dataclasses import replace
from random import Random

from compiler.analysis import memory as remembering
from compiler.analysis.memory import Memory
from compiler.analysis.world import Setting
from compiler.catalogue import check
from compiler.model.protocol import Protocol
from tests.reference.drafts import Draft, written
from tests.reference.edits import edit, trim
from tests.strategies import sample

CLINICS, EACH = 12, 6
HEADS = (
    ((), "bacteria"),
    (("contact",), "bacteria"),
    (("contact", "droplet"), "spores"),
    (("airborne", "contact"), "virus"),
)


def shelf(draft: Draft, number: int) -> list[Protocol]:
    """Protocols that differ in a few steps and in their head."""
    choose = Random(number).randint
    found = []
    for at in range(EACH):
        precautions, hazard = HEADS[at % len(HEADS)]
        protocol = replace(written(draft).protocol, precautions=precautions, hazard=hazard)
        found.append(protocol)
        draft = deepcopy(draft)
        edit(choose, draft)
        trim(draft)
    return found


def differences() -> Iterator[str]:
    """Protocols with other findings in company than alone."""
    for number, draft in enumerate(sample(CLINICS, 9)):
        the_set = written(draft)
        memory = Memory(Setting(the_set.clinic, the_set.kit))
        for protocol in shelf(draft, number):
            alone = check(protocol, the_set.clinic, the_set.kit)
            if check(protocol, the_set.clinic, the_set.kit, memory) != alone:
                yield protocol.source.text


def test_company_changes_no_finding():
    assert not list(differences())


def test_a_memory_that_mixes_up_precautions_is_caught(monkeypatch):
    monkeypatch.setattr(Memory, "deeds", _whatever_the_head)

    assert any(differences())


def test_forgetting_between_protocols_changes_no_finding(monkeypatch):
    monkeypatch.setattr(remembering, "MOST", 50)

    assert not list(differences())


def _whatever_the_head(self, _protocol):
    """The same deeds for every head, which is wrong."""
    return self._deeds.setdefault((), {})
