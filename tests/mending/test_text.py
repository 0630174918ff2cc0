"""What a mend writes: numbers, indentation, and words that do not belie the phrase.

That a step's other lines stand below its first words, and so move when its number gets longer,
is CommonMark 0.31.2, section 5.2, https://spec.commonmark.org/0.31.2/#list-items.
"""

from __future__ import annotations

import pytest

from compiler.manual import EXAMPLE, page
from compiler.mending.lists import rearranged
from compiler.mending.proof import mended
from compiler.mending.writing import difference
from compiler.model.protocol import every_step
from tests.mending.sets import files_of, set_of
from tests.mending.taking_off import (
    GLOVES_OFF,
    PUTTING_ON,
    RUB,
    body_after,
    taking_off,
    with_body,
)

LOOK = "**Look around.**"


def test_numbers_go_on_and_what_stands_below_a_step_moves_with_its_number():
    lines = [f"{n}. {LOOK}" for n in range(2, 9)]
    done = mended(
        taking_off(
            f"1. {GLOVES_OFF}",
            *lines,
            "9. **Stop.**",
            "   > Wait here.",
            "",
            "   More words.",
        )
    )
    before = page("left-in-hand").faulty.files[EXAMPLE]

    assert body_after(done).split("\n") == [
        f"1. {GLOVES_OFF}",
        f"2. {RUB}",
        *(f"{n}. {LOOK}" for n in range(3, 10)),
        "10. **Stop.**",
        "    > Wait here.",
        "",
        "    More words.",
    ]
    assert before.partition("# Taking off")[0] == PUTTING_ON
    assert "Wait here." in [
        c for p in done.after.protocols[0].parts for s in p.steps for c in s.cautions
    ]


@pytest.mark.parametrize(
    ("written", "wanted"),
    [
        (["1) A", "2) B"], ["1) A", "2) NEW", "3) B"]),
        (["1. A", "1. B"], ["1. A", "1. NEW", "1. B"]),
        (["1. A", "3. B"], ["1. A", "2. NEW", "3. B"]),
        (["1. A", "", "2. B"], ["1. A", "", "2. NEW", "", "3. B"]),
        ([" 1.  A", " 2.  B"], [" 1.  A", " 2.  NEW", " 3.  B"]),
        (["1. A", "2. B", "", "Words."], ["1. A", "2. NEW", "3. B", "", "Words."]),
    ],
)
def test_a_list_keeps_its_way_of_being_written(written, wanted):
    def lines(rows):
        return [r.replace("A", GLOVES_OFF).replace("B", LOOK).replace("NEW", RUB) for r in rows]

    done = mended(taking_off(*lines(written)))

    assert body_after(done) == "\n".join(lines(wanted))


def test_a_step_under_an_answer_is_put_below_it_or_after_the_fork_whichever_mends_more():
    done = mended(
        taking_off(
            "1. **Choose.** `decide gloves state`",
            "   - **Torn.** `if torn`",
            f"     1. {GLOVES_OFF}",
            "   - **Whole.** `if whole`",
            f"     1. {GLOVES_OFF}",
            "2. **Look around.**",
        )
    )

    assert done.left == ()
    assert body_after(done).endswith(f"     1. {GLOVES_OFF}\n2. {RUB}\n3. {LOOK}")


def test_a_step_is_put_under_the_one_answer_that_lacks_it():
    done = mended(
        taking_off(
            "1. **Choose.** `decide gloves state`",
            "   - **Torn.** `if torn`",
            f"     1. {GLOVES_OFF}",
            "   - **Whole.** `if whole`",
            f"     1. {GLOVES_OFF}",
            f"     2. {RUB}",
        )
    )

    assert done.left == ()
    assert f"     1. {GLOVES_OFF}\n     2. {RUB}\n   - **Whole.**" in body_after(done)
    assert body_after(done).count("handrub") == 2


@pytest.mark.parametrize("words", ["Then do step 2.", "See steps 1 to 3."])
def test_nothing_is_numbered_again_where_the_text_speaks_of_numbers(words):
    done = mended(taking_off(f"1. **Begin.** {words}", f"2. {GLOVES_OFF}", f"3. {LOOK}"))

    assert done.mended == ()
    assert {f.rule.slug for f in done.left} == {"last-hand-hygiene-missing"}


def test_a_list_with_words_between_its_steps_is_left():
    protocol = taking_off(f"1. {GLOVES_OFF}", "", "Words.", "", f"2. {LOOK}").protocols[0]

    assert rearranged(protocol.source, protocol.parts[-1].steps, [1, 0]) is None


def test_hand_hygiene_is_in_the_words_of_the_protocol():
    own = "**Wash.** Sing while you do. `handwash`"
    text = PUTTING_ON.replace("**Clean your hands.** `handrub`", own)
    body = f"{text}# Taking off `doffing in bay`\n\n1. {GLOVES_OFF}\n"

    done = mended(with_body(body))

    assert body_after(done) == f"1. {GLOVES_OFF}\n2. {own}\n"


def test_without_any_it_is_in_our_words_and_the_clinics_times():
    body = page("first-hand-hygiene-missing").faulty.files[EXAMPLE].replace(RUB, LOOK)
    times = {"rub: 20 to 30 s": "rub: 25 to 35 s", "wash: 40 to 60 s": "wash: 50 to 50 s"}

    rubbed = mended(with_body(body, clinic=times))
    washed = mended(
        with_body(body, clinic=times, head="precautions: [standard]\nhazard: spores")
    )

    line = "**Clean your hands.** Rub until dry, 25 to 35 seconds. `handrub`"
    assert files_of(rubbed.after)[EXAMPLE].count(line) == 2
    line = "**Wash your hands.** Use soap and water, 50 seconds. `handwash`"
    assert files_of(washed.after)[EXAMPLE].count(line) == 2


def test_without_any_nothing_is_written_into_another_language():
    body = page("first-hand-hygiene-missing").faulty.files[EXAMPLE].replace(RUB, LOOK)

    done = mended(with_body(body, clinic={"languages: [en]": "languages: [es]"}))

    assert done.mended == ()


def test_a_step_that_speaks_of_rubbing_is_changed_as_a_whole():
    """A sheet must not say "rub" where the checker was told of soap and water."""
    rub = "**Clean your hands.** Rub until dry, 20 to 30 seconds. `handrub`"
    done = mended(
        taking_off(
            f"1. {GLOVES_OFF}", f"2. {rub}", head="precautions: [standard]\nhazard: spores"
        )
    )

    wash = "**Wash your hands.** Use soap and water, 40 to 60 seconds. `handwash`"
    assert body_after(done) == f"1. {GLOVES_OFF}\n2. {wash}"


def test_gloves_are_cleaned_in_words_that_say_gloves():
    done = mended(
        taking_off(
            f"1. {RUB}",
            f"2. {GLOVES_OFF}",
            f"3. {RUB}",
            clinic={"on gloves: forbidden": "on gloves: allowed"},
        )
    )

    gloves = "**Clean your gloves.** Rub until dry, 20 to 30 seconds. `handrub on gloves`"
    assert body_after(done) == f"1. {gloves}\n2. {GLOVES_OFF}\n3. {RUB}"


def test_on_gloves_is_dropped_where_none_are_worn():
    done = mended(
        taking_off(
            f"1. {GLOVES_OFF}",
            "2. **Rub until dry.** `handrub on gloves`",
            clinic={"on gloves: forbidden": "on gloves: allowed"},
        )
    )

    assert body_after(done) == f"1. {GLOVES_OFF}\n2. **Rub until dry.** `handrub`"


def test_a_mend_of_an_echo_is_not_offered():
    """Taken off twice: hand hygiene between the two would only hide that."""
    done = mended(
        taking_off(
            f"1. {GLOVES_OFF}",
            "2. **Take off the gloves.** `remove gloves by cuffs`",
            f"3. {RUB}",
        )
    )

    assert "hand-hygiene-skipped" in {f.rule.slug for f in done.left}
    assert "hand-hygiene-skipped" not in {f.rule.slug for f in done.mended}


def test_the_difference_of_one_example_reads_well(golden):
    done = mended(set_of(page("dirty-hands-in-store").faulty.files))
    [(before, after)] = done.changed

    golden("mending/dirty-hands-in-store.diff", difference(before, after))


def test_every_step_is_read_from_the_mended_text():
    done = mended(taking_off(f"1. {GLOVES_OFF}", f"2. {LOOK}"))

    for part in done.after.protocols[0].parts:
        for step in every_step(part.steps):
            assert step.at.source.text == files_of(done.after)[EXAMPLE]
