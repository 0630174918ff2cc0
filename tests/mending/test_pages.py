"""Which rules have mends: the faulty example of each rule's page, mended or left.

The tables are the promise, written by hand; a rule that silently stops being mendable, or that
starts to be, fails here. The sound examples of the pages are written by people, and where the
mend of the faulty one is that very text, the test says so.
"""

from __future__ import annotations

import pytest

from compiler.catalogue import FAMILIES, rules
from compiler.manual import page
from compiler.mending.proof import mend, mended
from compiler.mending.remedies import REMEDIES
from compiler.pipeline import validated
from tests.mending.sets import garments, said, said_anew, set_of

AS_THE_SOUND_EXAMPLE = {
    "apron-left-on",
    "dirty-hands-in-store",
    "fetch-place-unsaid",
    "first-hand-hygiene-missing",
    "gown-left-on",
    "hand-hygiene-skipped",
    "kit-contradicted",
    "last-hand-hygiene-missing",
    "left-in-hand",
    "taken-from-under",
    "unknown-item",
    "unknown-key",
    "wrong-place",
}
MENDED = AS_THE_SOUND_EXAMPLE | {
    "clean-item-after-dirty",
    "dirty-hands-in-clean-area",
    "dirty-hands-on-clean-item",
    "dirty-hands-to-face",
    "eye-protection-left-on",
    "fetched-from-elsewhere",
    "rub-against-spores",
    "seal-unchecked",
}
"""Rules whose faulty example is mended."""
NOT_THERE = {
    "single-use-kept": "the words say that it is hung up",
    "hygiene-misses-hands": "the clinic forbids hand hygiene on gloves",
}
"""Rules that have mends, but not for the example of their page."""
CHECKED = [
    rule.slug
    for family in (
        "reading",
        "integrity",
        "hand hygiene",
        "dirty to clean",
        "protection",
        "reuse",
    )
    for rule in FAMILIES[family]
]


def test_every_rule_with_a_mend_is_in_the_tables():
    assert set(REMEDIES) <= MENDED | set(NOT_THERE)
    assert set(REMEDIES) | MENDED <= set(rules())


@pytest.mark.parametrize("slug", CHECKED)
def test_the_faulty_example_is_mended_or_left_as_the_table_says(slug):
    faulty = set_of(page(slug).faulty.files)
    before = said(validated(faulty))
    mends = [mend(faulty, f) for f in validated(faulty) if f.rule.slug == slug]

    assert all(mends) == (slug in MENDED)
    for following in filter(None, mends):
        after = said_anew(following)

        assert after < before
        assert {k: n for k, n in after.items() if k[0] == slug} != before
        if slug not in {"unknown-item", "unknown-key"}:
            assert garments(following.protocols[0]) == garments(faulty.protocols[0])


@pytest.mark.parametrize("slug", sorted(AS_THE_SOUND_EXAMPLE))
def test_the_mend_is_what_a_person_wrote_as_the_sound_example(slug):
    shown = page(slug)

    done = mended(set_of(shown.faulty.files))

    assert done.left == ()
    assert {n: s.text for n, s in done.after.sources.items()} == shown.sound.files


@pytest.mark.parametrize("slug", sorted(MENDED))
def test_the_sound_example_is_left_alone(slug):
    done = mended(set_of(page(slug).sound.files))

    assert done.mended == ()
    assert [*done.changed] == []
