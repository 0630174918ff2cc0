"""The short code on a sheet that tells which content it shows, to be read aloud; hashes."""

from __future__ import annotations

import hashlib
from collections.abc import Iterable

ALPHABET = "34679ACDEFGHJKMNPQRTWXY"
"""23 signs, a prime number, without look-alikes: no 0 O, 1 I L, 2 Z, 5 S, 8 B, U V."""
LENGTH = 8


def check_code(content: Iterable[bytes]) -> str:
    """The code of some content: seven signs from its SHA-256, and a check sign.

    The parts are told apart by their lengths, so that moving text between them changes it.

    >>> check_code([b"gown", b"gloves"]) == check_code([b"gowng", b"loves"])
    False
    """
    digest = hashlib.sha256()
    for part in content:
        digest.update(len(part).to_bytes(8, "big"))
        digest.update(part)
    number = int.from_bytes(digest.digest(), "big")
    values = []
    for _ in range(LENGTH - 1):
        number, value = divmod(number, len(ALPHABET))
        values.append(value)
    return "".join(ALPHABET[value] for value in [*values, _check(values)])


def sha256(data: bytes) -> str:
    """The whole hash of some bytes (FIPS 180-4), in hexadecimal digits.

    >>> sha256(b"abc")[:8]
    'ba7816bf'
    """
    return hashlib.sha256(data).hexdigest()


def is_whole(code: str) -> bool:
    """Whether a code as read can be right: every single wrong sign and every swap shows.

    Weights are different and the alphabet's size is prime, so that a weighted sum tells all of
    them (the principle of ISO/IEC 7064).
    """
    if len(code) != LENGTH or any(sign not in ALPHABET for sign in code):
        return False
    values = [ALPHABET.index(sign) for sign in code]
    return _check(values[:-1]) == values[-1]


def _check(values: list[int]) -> int:
    """The value that brings the weighted sum to a multiple of the alphabet's size."""
    total = sum(weight * value for weight, value in enumerate(values, 2))
    return -total % len(ALPHABET)


def shown(code: str) -> str:
    """The code in two groups of four, as it is printed.

    >>> shown("3467ACDE")
    '3467 ACDE'
    """
    return f"{code[:4]} {code[4:]}"
