"""Protocols on which product and reference once disagreed, as small as they could be made.

Each was met on a random sample; they stand here because a sample of hundreds may miss them. The
faults expected are the reference's: the page `compiler/README.md` says so.
"""

from __future__ import annotations

import pytest

from compiler.findings import GivenAnswer
from tests.reference.comparison import disagreements, findings_of, uncertain, unfounded
from tests.reference.drafts import Written, read_texts
from tests.reference.enumeration import check_by_enumeration

CLINIC = """\
clinic: Tern Island Health Post
contact: Infection prevention, extension 214
languages: [en]
areas: {change room: clean, bay: transition, isolation room: contaminated, side room: contaminated}
places:
  hook: {in: bay, for: keeping}
  bin: {in: bay, for: waste}
hand hygiene: {policy: when contaminated and at the end, on gloves: allowed}
"""
KIT = """\
gloves: {kind: gloves, after use: discard}
inner gloves: {kind: gloves, layer: inner, after use: discard}
gown: {kind: gown, after use: discard}
mask: {kind: mask, after use: discard}
respirator: {kind: respirator, after use: discard}
hood: {kind: hood, after use: discard}
cap: {kind: cap, after use: keep}
"""
HEAD = """\
---
title: Isolation room
precautions: [contact]
hazard: respiratory virus
edition: 1
valid from: 2026-11-01
review by: 2027-05-01
owner: Infection prevention lead
---
"""

FOUND = {
    "a hood put on again after the mask lies over it": (
        "taken-from-under",
        """
# Putting on `donning in bay`

1. **Hood.** `handrub` `wear hood`
2. **Mask.** `wear mask`
3. **Hood off and on again.** `remove hood` `discard hood in bin` `wear hood`
4. **Mask off.** `remove mask`
""",
    ),
    "gloves put on again after the gown trap its cuff": (
        "cuff-trapped",
        """
# Putting on `donning in bay`

1. **Gloves.** `wear gloves`
2. **Gown.** `wear gown`

# At work `at work in isolation room`

1. **Other gloves.** `remove gloves` `discard gloves`
2. **Again.** `wear gloves`

# Taking off `doffing in bay`

1. **Gown off.** `remove gown`
""",
    ),
    "a respirator may go on one way only": (
        "seal-unchecked",
        """
# Putting on `donning in bay`

1. **Respirator.** `handrub` `wear respirator`

# Taking off `doffing in bay`

1. **Is it damaged?** `decide respirator state`
   - **It is.** `if damaged`
     1. **Away with it.** `remove respirator` `discard respirator in bin` `go to change room`
   - **It is not.** `if intact`
2. **How long?** `decide visit`
   - **Short.** `if short`
   - **Long.** `if long`
3. **Respirator off.** `remove respirator by straps`
""",
    ),
    "the end of the last part is one place when a fork led elsewhere": (
        "last-hand-hygiene-missing",
        """
# Taking off `doffing in bay`

1. **Away.** `discard cap in bin`
2. **Supply.** `decide supply`
   - **Low.** `if low`
     1. **Hands, and out.** `handwash` `go to change room`
   - **High.** `if high`
""",
    ),
    "gloves that follow inside are asked for when the part ends": (
        "barrier-missing-at-entry",
        """
# Putting on `donning in bay`

1. **Hands and gown.** `handrub` `wear gown`
2. **In.** `go to side room`
3. **Gloves on and off.** `wear inner gloves` `remove inner gloves by cuffs`
4. **Out.** `go to change room`
""",
    ),
    "what is in the hand is not taken for a clean item": (
        "left-in-hand",
        """
# Putting on `donning in bay`

1. **Gown.** `handrub` `wear gown` `go to isolation room` `handrub` `go to bay`
2. **Off and on.** `remove gown` `wear gown` `remove gown`
""",
    ),
}

USED = ("trolley", "monitor")
EITHER = """
# Putting on `donning in bay`

1. **Gown.** `handrub` `wear gown`

# At work `at work in isolation room`

1. **Hands.** `handrub`
2. **Do you need the trolley?** `decide trolley`
   - **Yes.** `if yes`
     1. **Move it.** `touch trolley`
   - **No.** `if no`
   - **Not sure.** `if not sure`
     1. **Look.** `touch trolley`
3. **Do you need the monitor?** `decide monitor`
   - **Yes.** `if yes`
     1. **Move it.** `touch monitor`
   - **No.** `if no`
4. **Cap.** `wear cap`
"""
"""Either of two things dirties the hands, so neither has to; a third answer dirties them too."""


def test_of_two_answers_that_each_suffice_one_is_told():
    places = CLINIC.replace(
        "  bin:", "".join(f"  {n}: {{in: isolation room, for: use}}\n" for n in USED) + "  bin:"
    )
    texts = {"clinic.yaml": places, "kit.yaml": KIT, "protocol.md": HEAD + EITHER}
    the_set = read_texts(texts)
    told = {finding.rule.slug: finding.answers for finding in findings_of(the_set)}

    assert told["dirty-hands-to-face"] == (GivenAnswer("trolley", "yes"),)
    assert disagreements(the_set) == uncertain(the_set) == []


@pytest.fixture(params=FOUND)
def found(request: pytest.FixtureRequest) -> tuple[str, Written]:
    slug, body = FOUND[request.param]
    texts = {"clinic.yaml": CLINIC, "kit.yaml": KIT, "protocol.md": HEAD + body}
    return slug, read_texts(texts)


def test_they_agree_now(found: tuple[str, Written]):
    slug, the_set = found
    told = check_by_enumeration(the_set.protocol, the_set.clinic, the_set.kit)

    assert slug in {strike[0] for strike in told}
    assert disagreements(the_set) == []
    assert unfounded(the_set) == []
