"""The model's page against the program: a row for every phrase and every rule, and no other.

The page is `compiler/README.md`, from which `tests/reference/` was written; a phrase or a rule
without a row would be one that nobody can check.
"""

from __future__ import annotations

import re

from compiler.catalogue import FAMILIES
from compiler.syntax.phrase_words import FORMS
from tests.reference.table import phrases, rows, rule_slugs

PROVED = ("integrity", "hand hygiene", "dirty to clean", "protection", "reuse")
"""The families whose rules look at the state that the page describes."""


def families() -> dict[str, list[str]]:
    """The rules' slugs by family."""
    return {name: [rule.slug for rule in rules] for name, rules in FAMILIES.items()}


def test_each_phrase_of_the_grammar_has_a_row_and_each_row_is_a_phrase():
    verbs = {verb: [p for p in phrases() if re.match(rf"{verb}\b", p)] for verb in FORMS}
    known = {phrase for matching in verbs.values() for phrase in matching}

    assert not [verb for verb, matching in verbs.items() if not matching]
    assert set(phrases()) - known == {"on gloves"}


def test_the_only_row_that_is_no_phrase_is_the_end_of_a_round():
    others = [row[0] for row in rows("phrase") if "`" not in row[0]]

    assert others == ["the end of the last part"]


def test_each_rule_of_the_five_families_has_one_row_and_each_row_is_such_a_rule():
    expected = sorted(slug for name in PROVED for slug in families()[name])

    assert sorted(rule_slugs()) == expected


def test_each_row_says_what_happens():
    assert all(len(row) == 2 and row[1] for row in [*rows("phrase"), *rows("rule")])
