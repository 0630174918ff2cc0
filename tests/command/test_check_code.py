"""The code on a sheet: every slip of a single sign, and every swap, is noticed.

The principle is that of the check character systems of ISO/IEC 7064 (Information technology,
Security techniques, Check character systems, ISO 2003), which state that such systems detect all
single substitutions and all, or nearly all, transpositions; from memory, the standard itself
could not be seen. Here nothing is taken on trust: all of them are tried.
"""

from __future__ import annotations

from itertools import combinations

import pytest

from compiler.check_code import ALPHABET, LENGTH, check_code, is_whole

CODES = [check_code([text.encode()]) for text in ("", "gown", "gloves", "mask", "protocol 5")]


@pytest.mark.parametrize("code", CODES)
def test_a_code_is_whole(code):
    assert len(code) == LENGTH
    assert is_whole(code)


@pytest.mark.parametrize("code", CODES)
def test_every_single_wrong_sign_is_noticed(code):
    for place, right in enumerate(code):
        for wrong in ALPHABET:
            slip = code[:place] + wrong + code[place + 1 :]
            assert is_whole(slip) == (wrong == right), slip


@pytest.mark.parametrize("code", CODES)
def test_every_swap_is_noticed_neighbours_and_others(code):
    tried = 0
    for here, there in combinations(range(LENGTH), 2):
        if code[here] != code[there]:
            signs = list(code)
            signs[here], signs[there] = signs[there], signs[here]
            assert not is_whole("".join(signs)), signs
            tried += 1
    assert tried > 20


def test_a_code_that_is_cut_lengthened_or_mistyped_is_noticed():
    for code in CODES:
        assert not is_whole(code[:-1])
        assert not is_whole(code + ALPHABET[0])
        assert not is_whole(code.lower())
        assert not is_whole("O" + code[1:])


def test_signs_that_look_alike_are_not_used():
    """Pairs that are commonly mistaken for one another: common practice, no source."""
    for pair in ("0O", "1I", "1L", "IL", "2Z", "5S", "8B", "UV"):
        assert len(set(pair) & set(ALPHABET)) < 2, pair
    assert len(set(ALPHABET)) == len(ALPHABET) == 23


def test_another_order_or_another_cut_of_the_content_is_another_code():
    codes = {check_code(x) for x in ([b"ab", b"c"], [b"a", b"bc"], [b"abc"], [b"c", b"ab"], [])}

    assert len(codes) == 5
