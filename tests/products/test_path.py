"""How steps are numbered, where hand hygiene stands, and how forks come together again."""

from compiler.products.path import Beat, Row, Split, every_stop, path_of
from tests.printing.posters import example, small

FORKED = """
# Off `doffing in bay`

1. **Clean your gloves.** `handrub on gloves`
2. **Look at the gown.** `decide gown`
   - **Torn.** `if torn`
     1. **Throw it away.** `remove gown` `discard gown`
     2. **Clean your gloves.** `handrub on gloves`
   - **Whole.** `if whole`
     1. **Wipe it.** `disinfect gown with wipe`
     2. **Is it the last patient?** `decide last`
        - **Yes.** `if yes`
          1. **Take it off.** `remove gown` `discard gown`
        - **No.** `if no`
3. **Clean your gloves.** `handrub on gloves`
4. **Take off the gloves.** `remove gloves` `discard gloves`
5. **Clean your hands.** `handrub`
"""


def told(stretches):
    """A path in short, as people would say it."""
    for stop in (stop for stretch in stretches for stop in stretch.stops):
        if isinstance(stop, Row):
            yield f"{stop.number}"
        elif isinstance(stop, Beat):
            yield f"hands after {stop.after}" if stop.after else f"hands before {stop.before}"
        else:
            yield f"{stop.question.number}?"
            for way in stop.ways:
                yield [*told(way.stretches), f"on with {way.onward}"]


def path(body):
    order = small(body)
    return path_of(order.protocol.parts[0], order.clinic)


def test_numbers_run_on_through_forks_and_hands_take_none():
    assert list(told(path(FORKED).stretches)) == [
        "hands before 1",
        "1?",
        ["2", "hands after 2", "on with 6"],
        ["3", "4?", ["5", "on with 6"], ["on with 6"], "on with 6"],
        "hands before 6",
        "6",
        "hands after 6",
    ]


def test_every_number_is_used_once_in_a_part():
    """An observer who calls "step 7" means one step."""
    found = example()
    for protocol in found.protocols:
        for part in protocol.parts:
            stops = list(every_stop(path_of(part, found.clinic).stretches))
            numbers = [s.number for s in stops if isinstance(s, Row)]
            numbers += [s.question.number for s in stops if isinstance(s, Split)]
            assert sorted(numbers) == list(range(1, len(numbers) + 1))


def test_doors_begin_new_stretches():
    stretches = path(
        """
# On `donning in change room`

1. **Clean your hands.** `handrub`
2. **Go to the bay.** `go to bay`
3. **Put on the gown.** `wear gown`
4. **Go in and put on the gloves.** `go to room` `wear gloves`
5. **Come out.** `go to bay`
"""
    ).stretches
    shown = [([a.name for a in s.areas], list(told([s]))) for s in stretches]
    assert shown == [
        (["change room"], ["hands before 1", "1"]),
        (["bay"], ["2"]),
        (["room"], ["3", "4"]),
        (["bay"], []),
    ]


def test_ways_that_end_in_two_areas_leave_both_open():
    stretches = path(
        """
# Off `doffing in bay`

1. **Are you soiled?** `decide soiled`
   - **Yes.** `if yes`
     1. **Go back in.** `go to room`
   - **No.** `if no`
2. **Take off the gown.** `remove gown` `discard gown`
"""
    ).stretches
    assert [[a.name for a in s.areas] for s in stretches] == [["bay"], ["room", "bay"]]


def test_hand_hygiene_that_shares_a_step_is_a_beat_of_its_own():
    stretches = path(
        """
# Off `doffing in bay`

1. **Take off the gloves.** `remove gloves` `discard gloves` `handrub`
2. **Take off the gown.** `handrub` `remove gown` `discard gown`
"""
    ).stretches
    assert list(told(stretches)) == ["1", "hands after 1", "hands after 1", "2"]
    beats = [stop for stop in every_stop(stretches) if isinstance(stop, Beat)]
    assert [beat.lead for beat in beats] == ["", ""]
