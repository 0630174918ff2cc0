"""Forks: each answer compared, what holds in all of them told once.

There is no outside source: the answers are those of the protocols themselves.
"""

from __future__ import annotations

from compiler.comparing.against import TOO_MANY_WAYS
from tests.comparison.comparing import compared_texts, sentences
from tests.published.build import texts
from tests.published.sequences import of_source

FORK = """1. **Look at the gown.** `decide gown state`
   - **Soaked.** `if soaked`
     1. **Roll it off with the gloves.** `remove gown and gloves` `discard gown in room bin` `discard gloves in room bin`
   - **Dry.** `if dry`
     1. **Take off the gloves.** `remove gloves` `discard gloves in room bin`
     2. **Take off the gown.** `remove gown` `discard gown in room bin`
"""
OFF = """1. **Take off the gloves.** `remove gloves` `discard gloves in room bin`
2. **Take off the gown.** `remove gown` `discard gown in room bin`
"""


def who() -> dict[str, str]:
    return texts(next(s for s in of_source("who-covid-ppe-2020") if "mask" in s.items))


def changed(before: str, after: str) -> dict[str, str]:
    files = who()
    [name] = [name for name in files if name.endswith(".md")]
    assert before in files[name]
    return {**files, name: files[name].replace(before, after)}


def test_a_difference_in_one_answer_is_told_with_the_answer():
    comparison = compared_texts(changed(OFF, FORK), "who-covid-ppe-2020")

    [told] = comparison.differences
    assert told.difference.sentence == (
        "Takes the gloves and the gown off in one movement; WHO 2020 takes the gloves off first."
    )
    assert told.when == (("gown state", ("soaked",)),)


def test_a_difference_in_every_answer_is_told_once():
    files = changed(OFF, FORK)
    [name] = [name for name in files if name.endswith(".md")]
    goggles = "**Take off the eye protection.**"
    lines = files[name].splitlines()
    eyes = next(i for i, line in enumerate(lines) if goggles in line)
    mask = next(i for i, line in enumerate(lines) if "**Take off the mask.**" in line)
    lines[eyes], lines[mask] = lines[mask], lines[eyes]

    comparison = compared_texts({**files, name: "\n".join(lines) + "\n"}, "who-covid-ppe-2020")

    order = "Takes the mask off before the eye protection; WHO 2020 takes the eye protection off first."
    assert sentences(comparison).count(order) == 1
    assert [t.when for t in comparison.differences if t.difference.sentence == order] == [()]


def test_branches_that_only_differ_in_where_things_go_tell_nothing():
    fork = FORK.replace("remove gown and gloves", "remove gloves").replace(
        "`discard gown in room bin` `discard gloves in room bin`",
        "`discard gloves in room bin`\n     2. **Gown.** `remove gown` `discard gown in room bin`",
        1,
    )

    assert sentences(compared_texts(changed(OFF, fork), "who-covid-ppe-2020")) == []


def test_too_many_answers_are_said_to_be_too_many():
    many = "".join(
        f"1. **Choose {word}.** `decide choice {word}`\n   - **Yes.** `if yes`\n   - **No.** `if no`\n"
        for word in ("one", "two", "three", "four", "five", "six", "seven")
    )
    comparison = compared_texts(changed(OFF, many + FORK), "who-covid-ppe-2020")

    assert comparison.not_compared == (TOO_MANY_WAYS,)
    assert [t.when for t in comparison.differences] == [(("gown state", ("soaked",)),)]


def test_a_part_that_is_not_there_is_said_not_to_be_compared():
    files = who()
    [name] = [name for name in files if name.endswith(".md")]
    head, donning, _, doffing = files[name].split("\n# ")
    only = {**files, name: f"{head}\n# {donning}\n"}

    comparison = compared_texts(only, "who-covid-ppe-2020")

    assert comparison.not_compared == (
        "The protocol has no part for taking off, so that is not compared.",
    )
    assert sentences(comparison) == []
    assert doffing.startswith("Taking off")
