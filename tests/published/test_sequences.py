"""Published sequences pass; spoilt ones do not, and for the right reason.

The oracle is `compiler/comparing/sequences.yaml`: orders published by public bodies, each named
there with its document, address and how surely the order is known. None of it comes from the checker.
"""

from __future__ import annotations

import pytest

from compiler.findings import Finding, Level
from compiler.pipeline import check_texts
from tests.published.build import texts
from tests.published.mutations import Mutation, mutations
from tests.published.sequences import Sequence, sequences


def must_fix(sequence: Sequence) -> list[Finding]:
    return [f for f in check_texts(texts(sequence)) if f.rule.level is Level.MUST]


def told(findings: list[Finding]) -> str:
    return "\n".join(f"{f.at.span.line}: {f.message} ({f.rule.slug})" for f in findings)


@pytest.mark.parametrize("sequence", sequences(), ids=lambda s: s.key)
def test_a_published_sequence_has_nothing_to_fix(sequence: Sequence):
    findings = must_fix(sequence)

    assert not findings, told(findings)


@pytest.mark.parametrize(
    "mutation",
    [
        pytest.param(mutation, id=f"{sequence.key}: {mutation.name}")
        for sequence in sequences()
        for mutation in mutations(sequence)
    ],
)
def test_a_spoilt_sequence_is_told_by_the_rule_for_it(mutation: Mutation):
    findings = must_fix(mutation.spoilt)

    assert mutation.expected in {f.rule.slug for f in findings}, told(findings)


def test_every_kind_of_garment_and_policy_is_in_some_sequence():
    every = sequences()

    assert {s.policy for s in every} == {
        "after every item",
        "after gloves and at the end",
        "when contaminated and at the end",
    }
    assert {item for s in every for item in s.items} >= {
        "gown",
        "apron",
        "coverall",
        "mask",
        "respirator",
        "powered respirator",
        "hood",
        "cap",
        "boots",
        "boot covers",
        "inner gloves",
        "outer gloves",
    }
