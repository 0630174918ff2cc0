"""Numbers in a text of any script, so that a dose of 20 seconds stays one in translation."""

from __future__ import annotations

import re
import unicodedata
from collections import Counter

# Between digits: decimal signs first, then signs that only group thousands.
DECIMAL = {"\u066b": ".", "\uff0e": ".", "\uff0c": ","}
GROUPED = re.compile(r"(?<=\d)[.,'’\u066c\u00a0\u2009\u202f](?=\d{3}(?!\d))")
NUMBER = re.compile(r"\d+(?:[.,]\d+)?")
DIGIT = re.compile(r"\d")  # in any script
SPACE = re.compile(r"[ \t\r\n]+")


def numbers(text: str) -> Counter[str]:
    """The numbers written in digits, whatever the script of the digits.

    >>> numbers("Rub for 20 to 30 seconds") == numbers("افرك من ٢٠ إلى ٣٠ ثانية")
    True
    >>> sorted(numbers("1.5 m, 10,000 ppm").elements())
    ['1.5', '10000']
    """
    if not DIGIT.search(text):
        return Counter()
    plain = "".join(map(_plain, text))
    return Counter(found.replace(",", ".") for found in NUMBER.findall(GROUPED.sub("", plain)))


def folded(text: str) -> str:
    """White space folded as in the source text; spaces that forbid a break stay."""
    return SPACE.sub(" ", text).strip(" ")


def _plain(sign: str) -> str:
    """A digit as an ASCII digit, a decimal sign as a full stop, anything else as it is."""
    if sign < "\x80":
        return sign
    digit = unicodedata.decimal(sign, -1)
    return DECIMAL.get(sign, sign) if digit < 0 else str(digit)
