"""The lists as the product reads them, against a second reader; and what they say together.

The second reader is `tests/published/sequences.py`, on PyYAML's own values. What lists agree on
and order either way is held against the tables of `tests/published/orders.py`, which are proved
there over the same data by another way of counting.
"""

from __future__ import annotations

import pytest

from compiler.comparing.course import Deed, Verb
from compiler.comparing.difference import Pair
from compiler.comparing.evidence import evidence
from compiler.comparing.published import SEEN, Form, published
from tests.published.orders import ALWAYS, EITHER, Always, Either
from tests.published.sequences import Act, Sequence, sequences

WORDS = {
    "put on": Verb.ON,
    "take off": Verb.OFF,
    "check": Verb.CHECK,
    "observed": Verb.OBSERVED,
}


def form_of(sequence: Sequence) -> Form:
    listed = published()[sequence.source]
    chosen = sequence.key.removeprefix(sequence.source).strip("-")
    return next(form for form in listed.forms if "-".join(form.choice) == chosen)


def as_told(act: Act) -> tuple[Verb, tuple[str, ...], bool]:
    verb = Verb.HYGIENE if act.hygiene else WORDS[act.verb]
    return verb, act.things, bool(act.added)


@pytest.mark.parametrize("sequence", sequences(), ids=lambda s: s.key)
def test_a_second_reader_reads_the_same(sequence: Sequence):
    course = form_of(sequence).course

    for acts, deeds in (
        (sequence.donning, course.donning),
        (sequence.doffing, course.doffing),
    ):
        told = [as_told(a) for a in acts if a.hygiene or a.verb in WORDS]
        assert deeds is not None or all(added for *_, added in told)
        assert deeds is None or told == [(d.verb, d.garments, d.added) for d in deeds]


def test_a_list_without_a_place_claims_none():
    """The mark `place added` says that a list names no place."""
    doffing = published()["ontario-ppe-2020"].forms[0].course.doffing or ()
    elsewhere = published()["who-covid-ppe-2020"].forms[0].course.doffing or ()

    assert {deed.inside for deed in doffing} == {None}
    assert [d.inside for d in elsewhere if d.verb is Verb.OFF] == [True, True, False, False]


def test_every_list_has_a_short_name_of_its_own():
    shorts = [listed.short for listed in published().values()]

    assert len(set(shorts)) == len(shorts)
    assert {listed.seen for listed in published().values()} == set(SEEN)


def test_what_a_list_leaves_out_is_told_with_the_reason():
    [left_out] = published()["cdc-covid-ppe-2020"].left_out

    assert left_out[0] == "check respirator"
    assert "seal check" in left_out[1]


def garment(members: tuple[str, ...]) -> str:
    return members[0]


@pytest.mark.parametrize("pair", EITHER, ids=lambda p: f"{p.name}, {p.one_first}")
def test_lists_that_disagree_are_told_to_disagree(pair: Either):
    one, other = garment(pair.one), garment(pair.other)
    if pair.other_first == "uk-vhf-slides" or "coverall" in pair.other_first:
        other = "coverall" if "coverall" in pair.other else other

    found = evidence(Pair(pair.part, (one, other), (one, other), -1))

    assert found.differ
    assert pair.one_first in found.one_first
    assert pair.other_first in (*found.other_first, *found.together, *found.changed)


@pytest.mark.parametrize("relation", ALWAYS, ids=lambda r: f"{r.before[0]} before {r.after[0]}")
def test_lists_that_agree_are_told_to_agree(relation: Always):
    one, other = garment(relation.before), garment(relation.after)

    found = evidence(Pair(relation.part, (one, other), (one, other), 1))

    # gloves that are renewed in between belong to no single order
    assert not found.differ
    assert len(found.one_first) > 1


def test_steps_added_to_a_list_are_no_evidence():
    """UK VHF slides show only putting on; all of the removal was added here."""
    found = evidence(Pair("taking off", ("face shield", "gown"), ("face shield", "gown"), -1))

    assert "uk-vhf-slides" not in found.keys
    assert all(
        isinstance(d, Deed) for d in published()["uk-vhf-slides"].forms[0].course.donning
    )
    assert published()["uk-vhf-slides"].forms[0].course.doffing is None
