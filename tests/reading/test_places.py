"""Every place lies in its file and covers the word it names, whatever signs stand before it."""

import re

from hypothesis import given, settings
from hypothesis import strategies as st

from compiler.model.protocol import every_step
from compiler.source import Source
from compiler.syntax.spelling import folded
from compiler.syntax.tree import Mapping, Scalar, Sequence
from compiler.syntax.yaml import read
from tests.reading.cases import HEAD, SOUND, read_body, read_set

# Signs outside the first plane, combining and joined signs, and letters written from the right.
ODD = st.sampled_from(
    ["", "😀", "🧤🏽", "é", "e\u0301", "手", "قفاز", "👩‍⚕️", "\u00a0", "ﬁ", "𝒢"]
)
PLAIN = st.text("abcxyz 手é😀", min_size=1, max_size=9).map(folded).filter(bool)


def written(value, depth=0):
    """A value as YAML, in one of several ways."""
    if isinstance(value, dict):
        if depth % 2:
            return "{" + ", ".join(f"{k}: {written(v, 1)}" for k, v in value.items()) + "}"
        pad = "  " * depth
        return "".join(
            f"\n{pad}{k}: {written(v, depth + 2 if isinstance(v, dict) else 1)}"
            for k, v in value.items()
        )
    if isinstance(value, list):
        return "[" + ", ".join(written(each, 1) for each in value) + "]"
    return value


VALUES = st.recursive(
    PLAIN,
    lambda inner: (
        st.lists(inner, max_size=3) | st.dictionaries(PLAIN, inner, min_size=1, max_size=3)
    ),
    max_leaves=8,
)


def scalars(node):
    """Every key and scalar below a node, with its place."""
    if isinstance(node, Mapping):
        for entry in node.entries:
            yield entry.key, entry.key_at
            yield from scalars(entry.value)
    elif isinstance(node, Sequence):
        for item in node.items:
            yield from scalars(item)
    else:
        assert isinstance(node, Scalar)
        yield node.text, node.at


@settings(deadline=None)
@given(st.dictionaries(PLAIN, VALUES, min_size=1, max_size=4), ODD)
def test_yaml_places_cover_keys_and_values(value, odd):
    text = f"# {odd}\n{written(value).lstrip()}\n"
    node, findings = read(Source("kit.yaml", text))

    if not findings:
        for word, at in scalars(node):
            assert folded(at.text) == word
            assert at.source.line(at.line)[at.column - 1 :].startswith(at.text.split("\n")[0])


@settings(deadline=None)
@given(
    odd=ODD,
    lead=PLAIN,
    rest=PLAIN,
    quote=st.booleans(),
    split=st.booleans(),
    step=st.integers(1, 120),
)
def test_markdown_places_cover_the_words(odd, lead, rest, quote, split, step):
    gap = "\n" + " " * (len(str(step)) + 2) if split else " "
    caution = " " * (len(str(step)) + 2) + f"> {odd}{rest}\n" if quote else ""
    body = (
        f"# {odd}Part `donning in change room`\n\n"
        f"{step}. {odd} gloves **{lead}** gloves &amp; {rest} {odd} `wear{gap}gwn` `wear gloves`\n{caution}"
    )
    read = read_body(body)
    unknown = [f for f in read.findings if f.rule.slug == "unknown-item"]

    assert [finding.at.span.text for finding in unknown] == ["gwn"]
    assert read.protocol.parts[0].begin.at.text == "donning in change room"
    for found in every_step(read.protocol.parts[0].steps):
        for phrase in found.phrases:
            assert folded(phrase.at.text) in ("wear gwn", "wear gloves")


@settings(deadline=None)
@given(st.lists(st.tuples(ODD, PLAIN, PLAIN), min_size=1, max_size=4))
def test_leads_are_covered_where_they_stand_even_when_words_repeat(steps):
    body = "# Part `donning in change room`\n\n" + "".join(
        f"{number}. **{lead}** {lead} {odd}{rest} **{lead}** `handrub`\n"
        for number, (odd, lead, rest) in enumerate(steps, 1)
    )
    read = read_body(body)

    for step, (_, lead, _) in zip(read.protocol.parts[0].steps, steps, strict=True):
        line = step.at.source.line(step.at.line)
        assert step.lead == step.at.text == lead
        assert step.at.column == line.index("**") + 3


def test_columns_count_characters():
    """Not bytes and not UTF-16 units: the sign before the fault counts once."""
    read = read_set({**SOUND, "kit.yaml": SOUND["kit.yaml"] + "😀😀: {kind: glovs}\n"})
    at = read.findings[0].at.span

    assert (at.line, at.column, at.text) == (5, 12, "glovs")


def test_a_byte_order_mark_shifts_nothing_but_the_first_line():
    kit = read_set({**SOUND, "kit.yaml": "\ufeff" + SOUND["kit.yaml"] + "a: {kind: b}\n"})
    body = read_set({**SOUND, "protocol.md": "\ufeff" + SOUND["protocol.md"] + "7. `x`\n"})

    assert [f.at.span.text for f in kit.findings] == ["b"]
    assert [f.at.span.text for f in body.findings] == ["x", "x"]


def test_every_phrase_of_the_sound_set_is_covered():
    protocol = read_set(SOUND).protocol
    codes = [
        folded(code) for code in re.findall(r"`([^`]+)`", SOUND["protocol.md"][len(HEAD) :])
    ]
    found = []
    for part in protocol.parts:
        found.append(part.begin.at)
        for step in every_step(part.steps):
            found += [phrase.at for phrase in step.phrases]
            if step.fork:
                found.append(step.fork.at)
                found += [branch.at for branch in step.fork.branches]

    assert sorted(codes) == sorted(at.text for at in found)
