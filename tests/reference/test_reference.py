"""Product and reference find the same faults, in the same rounds, on random protocols.

The reference lists every way through a protocol one by one; it was written from the page
`compiler/README.md` without sight of the product. `python -m tests.reference 10000` runs more.
"""

from __future__ import annotations

from functools import cache

import pytest
from hypothesis import given, settings

from compiler.analysis.transfer import TRANSFERS
from compiler.model import protocol as model
from tests.reference.comparison import Outcome, compared, disagreements, uncertain, unfounded
from tests.reference.drafts import Written, written
from tests.reference.edits import MOST_FORKS, MOST_STEPS
from tests.reference.table import rule_slugs
from tests.strategies import sample, sets

COUNT = 300
BREAKABLE = (
    model.Go,
    model.Hygiene,
    model.Wear,
    model.Remove,
    model.Discard,
    model.Keep,
    model.Send,
    model.Disinfect,
    model.Check,
    model.Touch,
)


@cache
def outcome() -> Outcome:
    """The comparison of every run."""
    return compared(sample(COUNT))


@cache
def written_sample() -> tuple[Written, ...]:
    """The same sets, written down."""
    return tuple(written(draft) for draft in sample(COUNT))


def test_product_and_reference_find_the_same_faults_in_the_same_rounds():
    assert not outcome().kinds, outcome().report()


@given(sets())
@settings(max_examples=50)
def test_they_do_so_on_sets_that_hypothesis_draws(each: Written):
    found = disagreements(each)

    assert not found, "\n".join([*found, repr(each)])


def test_every_rule_of_the_table_strikes_in_several_sets():
    assert not [slug for slug in rule_slugs() if outcome().told[slug] < 3]
    assert outcome().too_large < COUNT / 20


def test_the_sample_has_nothing_that_the_readers_refuse():
    """Only that a question inside one of its own answers can have just that answer."""
    slugs = {finding.rule.slug for each in written_sample() for finding in each.findings}

    assert slugs <= {"answer-never-reached"}


def test_the_sample_has_forks_nested_and_asked_again_up_to_the_limits():
    drafts = list(sample(COUNT))
    asked = [[act.question for act in draft.acts() if act.question] for draft in drafts]

    assert max(map(len, asked)) == MOST_FORKS
    assert max(len(list(draft.acts())) for draft in drafts) in range(30, MOST_STEPS + 1)
    assert any(len(questions) > len(set(questions)) for questions in asked)
    assert any(
        below.question
        for draft in drafts
        for act in draft.acts()
        for _, steps in act.branches
        for below in steps
    )


@cache
def agreed() -> tuple[Written, ...]:
    """The sets on which product and reference agree: where they do not, nothing is shown."""
    return tuple(each for each in written_sample() if not disagreements(each))


@pytest.mark.parametrize("kind", BREAKABLE, ids=lambda kind: kind.__name__)
def test_a_product_that_ignores_a_phrase_is_caught(kind: type, monkeypatch: pytest.MonkeyPatch):
    sets_that_agree = agreed()
    monkeypatch.setitem(TRANSFERS, kind, lambda world, state, phrase: state)

    assert any(disagreements(each) for each in sets_that_agree)


def test_the_answers_of_a_finding_lead_to_it():
    wrong = (
        "\n".join([*words, repr(each)])
        for each in written_sample()
        if (words := unfounded(each))
    )
    first = next(wrong, "")

    assert not first, first


def test_the_answers_of_a_finding_lead_to_it_whatever_the_others_are():
    wrong = (
        "\n".join([*words, repr(each)])
        for each in written_sample()
        if (words := uncertain(each))
    )
    first = next(wrong, "")

    assert not first, first
