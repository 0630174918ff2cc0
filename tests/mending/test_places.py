"""Where a mend puts a thing, and slips of the pen: nothing that the words of a step belie."""

from __future__ import annotations

import pytest

from compiler.manual import EXAMPLE, page
from compiler.mending.proof import mended
from tests.mending.sets import files_of, set_of
from tests.mending.taking_off import RUB, body_after, taking_off, with_body


def kept(words):
    return with_body(
        page("single-use-kept").faulty.files[EXAMPLE].replace("**Hang up the apron.**", words)
    )


def test_a_single_use_item_is_discarded_where_the_words_say_nothing_else():
    done = mended(kept("**Take off the apron.**"))

    assert "`discard single-use apron in waste bin`" in files_of(done.after)[EXAMPLE]
    assert done.left == ()


@pytest.mark.parametrize(
    "words",
    ["**Hang up the apron.**", "**Keep the apron.**", "**Take it off.** Use the hook."],
)
def test_it_is_left_where_the_words_say_that_it_is_kept(words):
    done = mended(kept(words))

    assert done.mended == ()
    assert [f.rule.slug for f in done.left] == ["single-use-kept"]


@pytest.mark.parametrize(
    ("words", "added"),
    [
        ("**Take off the gloves.**", " `discard gloves in waste bin`"),
        ("**Throw the gloves into the waste bin.**", " `discard gloves in waste bin`"),
        ("**Hang up the gloves.**", ""),
    ],
)
def test_what_is_in_the_hand_goes_where_the_words_allow(words, added):
    step = f"1. {words} `remove gloves by cuffs`"
    done = mended(taking_off(step, f"2. {RUB}"))

    assert body_after(done) == f"{step}{added}\n2. {RUB}"


def test_of_two_fitting_places_none_is_chosen():
    two = {"  sink:": "  other bin: {in: bay, for: waste}\n  sink:"}
    wrong = (
        "1. **Take off the gloves.** `remove gloves by cuffs` `discard gloves in laundry bag`"
    )

    done = mended(taking_off(wrong, f"2. {RUB}", clinic=two))

    assert done.mended == ()


def test_a_place_is_not_changed_under_words_that_name_the_old_one():
    wrong = (
        "1. **Use the laundry bag.** `remove gloves by cuffs` `discard gloves in laundry bag`"
    )

    assert mended(taking_off(wrong, f"2. {RUB}")).mended == ()


@pytest.mark.parametrize(
    ("words", "added"),
    [("Loosen the straps.", " from paper bag"), ("Take it from the hook.", "")],
)
def test_a_place_is_not_added_beside_words_that_name_another(words, added):
    lead = "**Put on the respirator.**"
    files = page("fetch-place-unsaid").faulty.files
    text = files[EXAMPLE].replace(lead, f"{lead} {words}")

    done = mended(set_of({**files, EXAMPLE: text}))

    assert f"{words} `wear respirator{added}`" in files_of(done.after)[EXAMPLE]


@pytest.mark.parametrize(
    ("old", "new"),
    [
        ("`wear gloves`", "`wera gloves`"),
        ("`wear gloves`", "`wear Glovs`"),
        ("`handrub`", "`hand-rub`"),
        ("[standard]", "[standrad]"),
        ("by cuffs", "by cufs"),
    ],
)
def test_a_slip_of_the_pen_is_put_right(old, new):
    files = page("left-in-hand").sound.files

    done = mended(set_of({**files, EXAMPLE: files[EXAMPLE].replace(old, new, 1)}))

    assert files_of(done.after) == files


def test_another_name_is_no_slip_of_the_pen():
    files = page("left-in-hand").sound.files
    text = files[EXAMPLE].replace("in waste bin", "in waste tub")

    done = mended(set_of({**files, EXAMPLE: text}))

    assert done.mended == ()
