"""Spoilt published sequences: a mend removes what it is for, and brings nothing.

The sequences are published lists, named in `tests/published`; the ways to spoil them are those
of `mutations.py`. Only every so-manieth is tried here, always the same ones.
"""

from __future__ import annotations

import pytest

from compiler.mending.proof import mend, mended
from compiler.pipeline import validated
from tests.mending.sets import files_of, garments, said, said_anew, set_of
from tests.published.build import texts
from tests.published.mutations import mutations
from tests.published.sequences import sequences

EVERY, APART = 53, 7
MENDED_BACK = {
    "first hand hygiene dropped",
    "last hand hygiene dropped",
    "seal check dropped",
}
"""Ways to spoil a sequence after which its mend is the published list again."""


def _sampled(step, first=0):
    every = [(s, m) for s in sequences() for m in mutations(s)]
    return [pytest.param(s, m, id=f"{s.key}: {m.name}") for s, m in every[first::step]]


@pytest.mark.parametrize(("sequence", "mutation"), _sampled(EVERY))
def test_a_mend_removes_its_finding_and_brings_none(sequence, mutation):
    spoilt = set_of(texts(mutation.spoilt))
    before = said(validated(spoilt))
    for finding in validated(spoilt):
        if not (following := mend(spoilt, finding)):
            continue
        after = said_anew(following)
        key = finding.rule.slug, finding.message

        assert after[key] < before[key], key
        assert after <= before, after - before
        assert garments(following.protocols[0]) == garments(spoilt.protocols[0])


@pytest.mark.parametrize(("sequence", "mutation"), _sampled(EVERY * 2, APART))
def test_all_mends_together_leave_what_they_say_they_leave(sequence, mutation):
    spoilt = set_of(texts(mutation.spoilt))
    before = said(validated(spoilt))

    done = mended(spoilt)

    assert said([*done.left]) == said_anew(done.after)
    assert said([*done.left]) <= before
    assert sum(before.values()) - len(done.left) >= len(done.mended)
    again = mended(set_of(files_of(done.after)))
    assert not again.mended, "a second run finds nothing more to do"


DROPPED = [
    pytest.param(s, m, id=f"{s.key}: {m.name}")
    for s in sequences()[::5]
    for m in mutations(s)
    if m.name in MENDED_BACK
]


@pytest.mark.parametrize(("sequence", "mutation"), DROPPED)
def test_what_was_dropped_from_a_published_list_is_put_back(sequence, mutation):
    """The published list is the oracle: it has nothing to fix, and no more has the mended one."""
    done = mended(set_of(texts(mutation.spoilt)))
    sound = said(validated(set_of(texts(sequence))))

    assert mutation.expected in {f.rule.slug for f in done.mended}
    assert said([*done.left]) <= sound


@pytest.mark.parametrize(
    "rule", ["still-worn-at-end", "taken-off-unworn", "barrier-missing-at-entry"]
)
def test_what_only_the_author_can_know_is_not_mended(rule):
    """Which garment was forgotten, and where it comes off, no program can know."""
    tried = 0
    for sequence in sequences()[::6]:
        for mutation in mutations(sequence):
            if mutation.expected == rule and tried < 4:
                tried += 1
                done = mended(set_of(texts(mutation.spoilt)))

                assert rule in {f.rule.slug for f in done.left}
                assert rule not in {f.rule.slug for f in done.mended}
    assert tried
