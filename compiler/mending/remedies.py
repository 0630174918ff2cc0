"""Which findings have a mend, and how each is tried."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator

from compiler.findings import Finding
from compiler.mending import hygiene, moves, places
from compiler.mending.ground import Ground, Ways, replaced
from compiler.rules import (
    dirty_to_clean,
    disinfecting,
    hand_hygiene,
    integrity,
    protection,
    reuse,
)
from compiler.rules import places as place_rules

Remedy = Callable[[Ground, Finding], Iterator[Ways]]

REMEDIES: dict[str, tuple[Remedy, ...]] = {
    rule.slug: tuple(remedies)
    for rule, *remedies in (
        (integrity.FROM_UNDER, moves.taken_off_first),
        (integrity.LEFT_IN_HAND, places.ended),
        (place_rules.WRONG_PURPOSE, places.right_purpose),
        (hand_hygiene.FIRST_MISSING, hygiene.before),
        (hand_hygiene.SKIPPED, hygiene.between),
        (hand_hygiene.LAST_MISSING, hygiene.at_the_end),
        (hand_hygiene.TO_FACE, hygiene.before, moves.after_gloves),
        (hand_hygiene.ON_CLEAN_ITEM, hygiene.before, moves.after_gloves),
        (hand_hygiene.IN_STORE, hygiene.before_removal, moves.after_gloves),
        (hand_hygiene.RUB_AGAINST_SPORES, hygiene.washed),
        (hand_hygiene.MISSES_HANDS, hygiene.reached),
        (dirty_to_clean.EYES_ON, moves.taken_off_first),
        (dirty_to_clean.GOWN_ON, moves.taken_off_first),
        (dirty_to_clean.APRON_ON, moves.taken_off_first),
        (dirty_to_clean.HANDS_IN_CLEAN, hygiene.before),
        (dirty_to_clean.CLEAN_AFTER_DIRTY, hygiene.before),
        (protection.UNSEALED, moves.seal_checked),
        (reuse.SINGLE_USE_KEPT, places.not_kept),
        (reuse.FETCHED_ELSEWHERE, places.from_said),
        (reuse.FETCH_UNSAID, places.from_said),
        (disinfecting.KIT_CONTRADICTED, places.as_the_kit_says),
    )
}
"""By the rule of the finding. Misspelt words need no row: the finding says what was meant.

Orders in which published sequences differ (hood or gown first, gloves or gown first) are left
to the author, though they can be mended.
"""

ROOTS = frozenset(
    rule.slug
    for rule in (
        integrity.WORN_TWICE,
        integrity.NOT_WORN,
        integrity.NOT_AT_HAND,
        integrity.STILL_WORN,
        place_rules.OUT_OF_AREA,
    )
)
"""Faults that only the author can mend, and that bring others with them."""


def follows_from_another(finding: Finding, findings: Iterable[Finding]) -> bool:
    """Whether a finding may be no more than the echo of a fault that only the author can mend.

    Mending the echo would hide it. A step that takes something off a second time needs no
    hand hygiene before it; and where an item never comes off, the wrong hand hygiene after
    it is right once it does.
    """
    here = finding.at.span
    for other in findings:
        if other.rule.slug not in ROOTS or other.at.span.source is not here.source:
            continue
        if other.at.span.order == here.order:
            return True
        if (
            finding.rule is hand_hygiene.MISSES_HANDS
            and other.rule is not integrity.NOT_AT_HAND
        ):
            return True
    return False


def ways(ground: Ground | None, finding: Finding) -> Iterator[Ways]:
    """Texts that may mend a finding, the likeliest first; none of them is proved yet."""
    if finding.meant:
        yield (replaced(finding.at.span.source, (finding.at.span, finding.meant)),)
    elif ground and finding.rule.slug in REMEDIES:
        for remedy in REMEDIES[finding.rule.slug]:
            yield from remedy(ground, finding)
