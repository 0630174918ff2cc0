"""The example set in all its languages: hand hygiene is left out, and mended back.

The set as it is written is the oracle: it has nothing to fix, translations included, and all
its hand hygiene is in its own words. Mending must find words that are translated already.
"""

from __future__ import annotations

import pytest

from compiler.findings import must_fix
from compiler.mending.ground import lone_hygiene, steps_of
from compiler.mending.proof import mended, with_text
from compiler.pipeline import open_set, validated
from compiler.storage import find_sets
from tests.command.running import EXAMPLE
from tests.mending.sets import garments, said, said_anew

FIRST, EVERY = 4, 13
"""The first that is tried stands below an answer."""
[(FOLDER, FILES)] = find_sets([EXAMPLE])
WHOLE = open_set(FOLDER, FILES)
PLACES = [
    (name, source.line(step.at.line))
    for name, source in WHOLE.sources.items()
    for protocol in WHOLE.protocols
    if protocol.source is source
    for step in steps_of(protocol)
    if lone_hygiene(step)
]
"""Every hand hygiene step: the file and its line."""


def test_the_example_has_hand_hygiene_to_leave_out():
    assert len(PLACES) > 30


@pytest.mark.parametrize("number", range(FIRST, len(PLACES), EVERY))
def test_hand_hygiene_left_out_comes_back_in_every_language(number):
    name, line = PLACES[number]
    text = WHOLE.sources[name].text
    nth = sum(place == (name, line) for place in PLACES[:number])
    start = -1
    for _ in range(nth + 1):
        start = text.index(f"\n{line}\n", start + 1)
    spoilt = with_text(WHOLE, name, text[:start] + text[start + len(line) + 1 :])

    done = mended(spoilt)

    # where its words stood once only, their translation has nothing to stand for
    assert {f.rule.slug for f in done.left} <= {"translation-unused"}
    assert said([*done.left]) == said_anew(done.after)
    if must_fix(validated(spoilt)):
        assert done.mended
        [(_, after)] = done.changed
        assert after.text.count("handrub") + after.text.count("handwash") >= (
            text.count("handrub") + text.count("handwash")
        )
    for before, after in zip(WHOLE.protocols, done.after.protocols, strict=True):
        assert garments(before) == garments(after)
