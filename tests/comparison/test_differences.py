"""Published sequences as protocols, held against lists; and spoilt in one known way.

The oracle is the published sequences themselves (`compiler/comparing/sequences.yaml`, with
document and address): what is done to one is what has to be told, and nothing besides.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from itertools import pairwise

import pytest

from compiler.comparing.published import published
from tests.comparison.comparing import against, against_known, sentences
from tests.published.orders import EITHER, OFF, Either
from tests.published.sequences import Act, Sequence, of_source, sequences

MOVES = {"put on", "take off"}


@pytest.mark.parametrize("sequence", sequences(), ids=lambda s: s.key)
def test_a_list_does_not_differ_from_itself(sequence: Sequence):
    comparison = against_known(sequence, sequence.source)

    assert sentences(comparison) == []
    assert sequence.key == "-".join((sequence.source, *comparison.form.choice))


def _spoken(words: tuple[str, ...]) -> set[str]:
    return {*words, "eye protection"} if "eye protection" in words else set(words)


@pytest.mark.parametrize("pair", EITHER, ids=lambda p: f"{p.name}, {p.one_first}")
@pytest.mark.parametrize("turned", [False, True], ids=["one way", "the other way"])
def test_an_order_that_lists_have_either_way_is_told_both_ways(pair: Either, turned: bool):
    ours, theirs = pair.one_first, pair.other_first
    if turned:
        ours, theirs = theirs, ours
    one, other = _spoken(pair.one), _spoken(pair.other)

    for sequence in of_source(ours):
        if not {*sequence.items} & one or not {*sequence.items} & other:
            continue
        told = against_known(sequence, theirs).differences
        naming = [
            each.difference
            for each in told
            if each.difference.part == pair.part
            and each.difference.about in {"order", "fresh pair"}
            and any(word in each.difference.sentence for word in one)
            and any(word in each.difference.sentence for word in other)
        ]
        assert naming, [each.difference.sentence for each in told]
        assert all(published()[theirs].short in each.sentence for each in naming)


def _hygiene() -> Iterator[tuple[str, Sequence, tuple[str, ...]]]:
    """Each list without one hand hygiene that stands alone between two steps it names."""
    for sequence in sequences():
        for part in ("donning", "doffing"):
            acts = getattr(sequence, part)
            for at, act in enumerate(acts):
                before = next((a for a in acts[:at][::-1] if a.verb in MOVES), None)
                after = next((a for a in acts[at + 1 :] if a.verb in MOVES), None)
                first = acts.index(before) + 1 if before else 0
                last = acts.index(after, at) if after else len(acts)
                alone = sum(a.hygiene for a in acts[first:last]) == 1
                named = not any(a and a.added for a in (act, before, after))
                if not act.hygiene or not alone or not named:
                    continue
                spoilt = replace(sequence, **{part: (*acts[:at], *acts[at + 1 :])})
                words = [*(before.things if before else ()), *(after.things if after else ())]
                if before is None:
                    words = ["before the first item"]
                elif after is None:
                    words = ["before going in" if part == "donning" else "at the end", words[0]]
                yield f"{sequence.key}, {part}, step {at + 1}", spoilt, tuple(words)


@pytest.mark.parametrize(
    ("spoilt", "words"), [pytest.param(*case, id=name) for name, *case in _hygiene()]
)
def test_a_hand_hygiene_dropped_is_told_as_that(spoilt: Sequence, words: tuple[str, ...]):
    told = against(spoilt, spoilt.source).differences

    assert [each.difference.about for each in told] == ["hand hygiene"]
    [sentence] = [each.difference.sentence for each in told]
    assert sentence.startswith("Does not clean hands")
    for word in words:
        assert word in sentence.replace("eye protection", "eye protection or face shield")


def _neighbours(sequence: Sequence) -> Iterator[tuple[str, Sequence, str, str]]:
    """Each list with two removals that follow one another in each other's places."""
    acts = sequence.doffing
    offs = [i for i, act in enumerate(acts) if act.verb == "take off"]
    times = [item for i in offs for item in acts[i].things]
    for one, other in pairwise(offs):
        first, second = acts[one], acts[other]
        single = len(first.things) == len(second.things) == 1
        once = all(times.count(item) == 1 for item in (*first.things, *second.things))
        if not single or not once or first.added or second.added:
            continue
        swapped = list(acts)
        swapped[one], swapped[other] = second, first
        name = f"{sequence.key}, {second.things[0]} before {first.things[0]}"
        yield name, replace(sequence, doffing=tuple(swapped)), *first.things, *second.things


@pytest.mark.parametrize(
    ("moved", "first", "second"),
    [pytest.param(*case, id=name) for s in sequences() for name, *case in _neighbours(s)],
)
def test_a_step_moved_is_told_as_that(moved: Sequence, first: str, second: str):
    told = [each.difference for each in against(moved, moved.source).differences]
    orders = [each for each in told if each.about == "order"]
    short = published()[moved.source].short
    one_eye = len({"eye protection", "face shield"} & {*moved.items}) == 1
    one, other = (
        "eye protection" if w == "face shield" and one_eye else w for w in (first, second)
    )

    assert [each.sentence for each in orders] == [
        f"Takes the {other} off before the {one}; {short} takes the {one} off first."
    ]
    assert {each.about for each in told} <= {"order", "hand hygiene", "place"}


def _without(sequence: Sequence, item: str) -> Sequence:
    def left(acts: tuple[Act, ...]) -> tuple[Act, ...]:
        fewer = (replace(a, things=tuple(t for t in a.things if t != item)) for a in acts)
        return tuple(
            new for new, old in zip(fewer, acts, strict=True) if new.things or not old.things
        )

    return replace(sequence, donning=left(sequence.donning), doffing=left(sequence.doffing))


DROPPED = [
    pytest.param(s, item, id=f"{s.key}, {item}")
    for s in sequences()
    for item in s.items
    if "gloves" not in item
    and item not in s.key.removeprefix(s.source)
    and not (s.key == "uk-vhf-slides" and item in {"eye protection", "face shield"})
    and any(item in a.things and not a.added for a in s.donning + s.doffing)
]


@pytest.mark.parametrize(("sequence", "item"), DROPPED)
def test_an_item_dropped_is_told_as_that(sequence: Sequence, item: str):
    told = sentences(against(_without(sequence, item), sequence.source))
    article = "" if item.endswith(("boots", "covers", "protection")) else "a "
    article = "an " if item == "apron" else article

    short = published()[sequence.source].short
    assert told[:1] == [f"Does not wear {article}{item}; {short} does."]
    # hands are cleaned once less often where nothing lies between any more
    assert all("clean" in sentence for sentence in told[1:]), told


@pytest.mark.parametrize("sequence", sequences(), ids=lambda s: s.key)
def test_an_item_added_is_told_as_that(sequence: Sequence):
    item = "hood" if "hood" not in sequence.items else "cap"
    on = next(i for i, act in enumerate(sequence.donning) if act.verb == "put on")
    off = next(i for i, act in enumerate(sequence.doffing) if act.verb == "take off")
    more = replace(
        sequence,
        donning=(*sequence.donning[:on], Act("put on", (item,)), *sequence.donning[on:]),
        doffing=(*sequence.doffing[:off], Act("take off", (item,)), *sequence.doffing[off:]),
    )

    short = published()[sequence.source].short
    assert sentences(against(more, sequence.source)) == [f"Wears a {item}; {short} names none."]


def test_a_seal_check_dropped_is_told_where_the_list_itself_has_one():
    [own] = [s for s in of_source("who-covid-ppe-2020") if "respirator" in s.items]
    [added] = of_source("cdc-covid-ppe-2020")

    for sequence, expected in (
        (own, ["Has no seal check of the respirator; WHO 2020 has one."]),
        (added, []),
    ):
        less = replace(
            sequence, donning=tuple(a for a in sequence.donning if a.verb != "check")
        )
        assert sentences(against(less, sequence.source)) == expected


def test_where_items_come_off_is_told():
    """WHO 2020 takes gloves and gown off in the room; here everything is done at the doorway."""
    sequence = of_source("who-covid-ppe-2020")[0]
    outside = replace(
        sequence,
        begins="doorway",
        doffing=tuple(a for a in sequence.doffing if a.verb != "go to"),
    )

    assert sentences(against(outside, sequence.source)) == [
        "Takes the gloves and the gown off outside the contaminated area; WHO 2020 takes them "
        "off inside it."
    ]


def test_gloves_that_are_not_renewed_are_told():
    [ecdc] = of_source("ecdc-ppe-2020")
    [phe] = of_source("phe-agp-2020")

    assert (
        "Does not put fresh gloves on to take off the gown, the eye protection and the "
        "respirator; ECDC 2020 does."
    ) in sentences(against_known(phe, "ecdc-ppe-2020"))
    assert (
        "Puts fresh gloves on to take off the gown, the eye protection and the respirator; "
        "PHE 2020, gown does not."
    ) in sentences(against_known(ecdc, "phe-agp-2020"))


def test_one_garment_moved_past_many_is_told_once():
    [sequence] = of_source("who-filovirus-2016-gown")
    acts = sequence.doffing
    boots = next(i for i, act in enumerate(acts) if act.is_off("boots"))
    first = next(i for i, act in enumerate(acts) if act.verb == "take off")
    moved = (*acts[:first], acts[boots], *acts[first:boots], *acts[boots + 1 :])

    told = against(replace(sequence, doffing=moved), sequence.source).differences

    orders = [e.difference for e in told if e.difference.about == "order"]
    assert [each.sentence for each in orders] == [
        "Takes the boots off before the apron, the outer gloves, the hood, the gown, the eye "
        "protection and the mask; WHO 2016, gown takes the boots off after them."
    ]
    assert len(orders[0].pairs) == 6
    assert {pair.part for pair in orders[0].pairs} == {OFF}


def test_one_of_two_garments_of_a_kind_dropped_is_told_as_a_number():
    [slides] = of_source("uk-vhf-slides")
    [ebola] = of_source("who-filovirus-2016-gown")

    assert sentences(against(_without(slides, "face shield"), slides.source)) == [
        "Wears one item of eye protection; UK VHF slides wears two items, eye protection and "
        "face shield."
    ]
    assert sentences(against(_without(ebola, "inner gloves"), ebola.source))[0] == (
        "Wears one pair of gloves; WHO 2016, gown wears two pairs, inner gloves and outer gloves."
    )


def test_a_garment_in_place_of_another_is_told_as_that_and_keeps_its_order():
    who = next(s for s in of_source("who-covid-ppe-2020") if "mask" in s.items)
    [cdc] = of_source("cdc-covid-ppe-2020")
    [apron] = of_source("phe-non-agp-2020")

    assert not any(
        "respirator" in s or "shield" in s for s in sentences(against(cdc, who.source))
    )
    assert "Wears a gown where PHE 2020, apron has an apron." in sentences(
        against_known(who, apron.source)
    )


def test_one_garment_moved_to_the_end_is_told_once_too():
    """The fewest are told to have moved: the apron, and not everything that it now follows."""
    [sequence] = of_source("who-filovirus-2016-gown")
    acts = sequence.doffing
    apron = next(i for i, act in enumerate(acts) if act.is_off("apron"))
    boots = next(i for i, act in enumerate(acts) if act.is_off("boots"))
    moved = (*acts[:apron], *acts[apron + 1 : boots + 1], acts[apron], *acts[boots + 1 :])

    told = sentences(against(replace(sequence, doffing=moved), sequence.source))

    assert [sentence for sentence in told if " off " in sentence] == [
        "Takes the apron off after the outer gloves, the hood, the gown, the eye protection, the "
        "mask and the boots; WHO 2016, gown takes the apron off first."
    ]
