"""A check code as somebody read it off a wall: what was meant, or why it cannot be right."""

from __future__ import annotations

from collections.abc import Iterator

from compiler.check_code import ALPHABET, LENGTH, is_whole

LOOK_ALIKES = "0O 1IL 2Z 5S 8B UV"
"""Signs that are never used in a code, because they are taken for one another."""


def tidied(text: str) -> str:
    """The signs of a code as typed: capitals, without spaces, hyphens and the like.

    >>> tidied(" ajf2-mcma ")
    'AJF2MCMA'
    """
    return "".join(sign for sign in text.upper() if sign.isalnum())


def strange_signs(code: str) -> tuple[str, ...]:
    """The signs that no code has, each once and in order.

    >>> strange_signs("A0F2MCMA")
    ('0', '2')
    """
    return tuple(dict.fromkeys(sign for sign in code if sign not in ALPHABET))


def likely_meant(code: str) -> tuple[str, ...]:
    """The whole codes that one wrong sign or one swap of neighbours turns into this reading.

    A whole code has none beside it, because its check sign would show each of those slips. Of a
    reading with one strange sign only that sign is put right.
    """
    if len(code) != LENGTH or is_whole(code):
        return ()
    tried = dict.fromkeys([*_one_other(code), *_swapped(code)])
    return tuple(meant for meant in tried if is_whole(meant))


def _one_other(code: str) -> Iterator[str]:
    for place in range(LENGTH):
        for sign in ALPHABET:
            yield code[:place] + sign + code[place + 1 :]


def _swapped(code: str) -> Iterator[str]:
    for place in range(LENGTH - 1):
        here, there = code[place], code[place + 1]
        yield code[:place] + there + here + code[place + 2 :]
