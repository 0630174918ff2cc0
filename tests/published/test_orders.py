"""What published lists agree on may be a fault; what they order either way never is.

Recomputed over `compiler/comparing/sequences.yaml` each time, from steps that the lists
themselves name: steps that were added to complete a list do not count as evidence.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace

import pytest

from tests.published.orders import (
    ALWAYS,
    EITHER,
    OFF,
    ON,
    Always,
    Either,
    exchanged,
    order,
    place,
)
from tests.published.sequences import Act, Sequence, of_source, sequences
from tests.published.test_sequences import must_fix, told


@pytest.mark.parametrize("relation", ALWAYS, ids=lambda r: f"{r.before[0]} before {r.after[0]}")
def test_no_published_list_has_it_the_other_way_round(relation: Always):
    orders = {
        s.key: way
        for s in sequences()
        if (way := order(s, relation.part, relation.before, relation.after)) is not None
    }

    assert len(orders) > 1
    assert [key for key, way in orders.items() if way >= 0] == []


@pytest.mark.parametrize("pair", EITHER, ids=lambda p: f"{p.name}, {p.one_first}")
def test_two_published_lists_disagree(pair: Either):
    one = [order(s, pair.part, pair.one, pair.other) for s in of_source(pair.one_first)]
    other = [order(s, pair.part, pair.one, pair.other) for s in of_source(pair.other_first)]

    assert all(way is not None and way < 0 for way in one if way is not None)
    assert any(way is not None for way in one)
    assert all(way >= 0 for way in other if way is not None)
    assert any(way is not None for way in other)


@pytest.mark.parametrize("pair", EITHER, ids=lambda p: f"{p.name}, {p.one_first}")
def test_neither_order_has_to_be_fixed(pair: Either):
    both = of_source(pair.one_first) + of_source(pair.other_first)
    findings = [finding for sequence in both for finding in must_fix(sequence)]

    assert len(both) > 1
    assert not findings, told(findings)


def _exchanges() -> Iterator[tuple[str, Sequence]]:
    """Each list again with the two items in each other's places, hand hygiene unmoved."""
    for pair in EITHER:
        for sequence in sequences():
            one = place(sequence, pair.part, pair.one)
            other = place(sequence, pair.part, pair.other)
            if one is None or other is None:
                continue
            acts = sequence.doffing if pair.part == OFF else sequence.donning
            if not _alike(acts[min(one, other) : max(one, other) + 1], pair.part):
                continue
            changed = exchanged(acts, one, other)
            whole = {"doffing": changed} if pair.part == OFF else {"donning": changed}
            yield f"{sequence.key}, {pair.name}", replace(sequence, **whole)


def _alike(between: tuple[Act, ...], part: str) -> bool:
    """Whether the two ends can change places and nothing else has to.

    Gloves that come off between them change which hand hygiene fits and how clean the hand is,
    a seal check belongs to the respirator before it, and the first
    hand hygiene to what follows it.
    """
    gloves = part == OFF and any("gloves" in item for act in between for item in act.things)
    sealed = any(act.verb == "check" for act in between)
    started = part == ON and any(act.hygiene for act in between)
    return len(between) > 1 and not gloves and not sealed and not started


@pytest.mark.parametrize(
    "sequence", [pytest.param(s, id=name) for name, s in dict(_exchanges()).items()]
)
def test_the_other_order_within_one_list_has_not_to_be_fixed(sequence: Sequence):
    findings = must_fix(sequence)

    assert not findings, told(findings)


def test_every_list_ends_with_hand_hygiene():
    """Source: all complete lists of public bodies gathered here; a shower may follow."""
    for sequence in sequences():
        acts = [a for a in sequence.doffing if a.verb not in {"advise", "observed"}]

        assert acts[-1].bare_hygiene, sequence.key


def test_every_list_that_names_a_place_has_the_respirator_off_outside_the_room():
    for sequence in sequences():
        here = sequence.begins
        for act in sequence.doffing:
            if act.verb == "go to":
                here = act.things[0]
            if act.is_off("respirator"):
                assert here != "room", sequence.key
