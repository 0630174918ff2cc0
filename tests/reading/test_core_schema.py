"""Plain words of YAML mean what YAML 1.2.2 says they mean, and nothing else.

Source: Ben-Kiki, Evans, döt Net: YAML Ain't Markup Language, version 1.2.2, 2021,
yaml.org/spec/1.2.2, section 10.3.2 (core schema, tag resolution).
"""

import math
import re

import pytest
from hypothesis import given
from hypothesis import strategies as st

from compiler.source import Source
from compiler.syntax.tree import Scalar
from compiler.syntax.yaml import meaning, read

# The table of section 10.3.2, row by row: pattern and what it resolves to.
TABLE = [
    (r"null|Null|NULL|~|", lambda word: None),
    (r"true|True|TRUE|false|False|FALSE", lambda word: word[0] in "tT"),
    (r"[-+]?[0-9]+", lambda word: int(word, 10)),
    (r"0o[0-7]+", lambda word: int(word, 0)),
    (r"0x[0-9a-fA-F]+", lambda word: int(word, 0)),
    (r"[-+]?(\.[0-9]+|[0-9]+(\.[0-9]*)?)([eE][-+]?[0-9]+)?", float),
    (r"[-+]?(\.inf|\.Inf|\.INF)", lambda word: float(word.replace(".", ""))),
    (r"\.nan|\.NaN|\.NAN", lambda word: math.nan),
]


def by_the_table(word):
    for pattern, value in TABLE:
        if re.fullmatch(pattern, word):
            return value(word)
    return word


def same(one, other):
    return type(one) is type(other) and (one == other or (one != one and other != other))


@given(st.text("0123456789abcdefoxEinfNAINFtrueTRUEs~.+-", max_size=12))
def test_words_resolve_as_the_table_says(word):
    assert same(meaning(word), by_the_table(word))


@given(st.one_of([st.from_regex(pattern, fullmatch=True) for pattern, _ in TABLE[:4]]))
def test_words_of_each_row_resolve_as_the_table_says(word):
    if len(word) <= 15 and word.isascii():
        assert same(meaning(word), by_the_table(word))


@pytest.mark.parametrize(
    "word",
    ["no", "yes", "on", "off", "y", "N", "1:30", "2026-11-01", "1_000", "0b1", "0O7", "-0x1"],
)
def test_what_only_yaml_1_1_knows_is_text(word):
    node, findings = read(Source("kit.yaml", f"key: {word}\n"))

    assert findings == []
    assert node.entries[0].value == Scalar(word, word, node.entries[0].value.at)


@pytest.mark.parametrize("word", ['"true"', "'7'", "|\n  7", ">\n  ~"])
def test_quoted_and_block_scalars_are_text(word):
    node, findings = read(Source("kit.yaml", f"key: {word}\n"))

    assert findings == []
    assert isinstance(node.entries[0].value.value, str)


@pytest.mark.parametrize(
    "word", ["9" * 100_000, "1" * 50_000 + "." + "1" * 50_000, "0x" + "f" * 9_000]
)
def test_numbers_too_long_to_mean_anything_are_text(word):
    assert meaning(word) == word
