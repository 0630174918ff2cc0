"""Whatever the text: findings, never an exception, every place inside its file, and in time."""

import time

import pytest
from hypothesis import example, given, settings
from hypothesis import strategies as st

from compiler.findings import must_fix
from compiler.model.read_clinic import read_clinic
from compiler.model.read_kit import read_kit
from compiler.model.read_protocol import read_protocol
from compiler.source import Source
from tests.reading.cases import HEAD, SOUND, read_set

JUNK = st.one_of(
    st.text(max_size=200),
    st.binary(max_size=200).map(lambda junk: junk.decode("latin-1")),
    st.text("[]{}:,-#&*!|>'\"%@`?\n\t ab~0<", max_size=120),
    st.lists(
        st.sampled_from(
            ["---\n", "# A `donning in change room`\n", "1. ", "   - ", "> ", "**b** ", "`wear gown`",
             "`decide a`", "`if b`", "\n", "    ", "\t", "```\n", "<script>", "![a](../b)", "title: x\n",
             "kind: gloves", "{", "}", "[", ": ", "&a ", "*a ", "!!str ", "\ufeff", "\u2028", "\x85",
             "\U0001f9e4", "allow:\n  x-y: z\n", "`if`", "`decide`", "`", "*", "_"]
        ),
        max_size=25,
    ).map("".join),
)  # fmt: skip


def check(read):
    """The invariants of anything read."""
    for finding in read.findings:
        places = [finding.at, *finding.path]
        for mark in places:
            span = mark.span
            assert 0 <= span.start <= span.end <= len(span.source.text)
            assert span.line >= 1
            assert span.column >= 1
        assert finding.message.endswith(".")
        assert "\n" not in finding.message
        assert finding.remedy
    for value in (read.clinic, read.kit, read.protocol):
        if value is None:
            assert must_fix(read.findings)


@pytest.mark.parametrize("name", sorted(SOUND))
@settings(max_examples=150, deadline=None)
@given(text=JUNK)
@example(text="{}")
@example(text="0\n=\n    \u2028")
@example(text="areas: {}\nlanguages: []\nplaces: {a: {}}\n")
def test_junk_as_a_whole_file(name, text):
    check(read_set({**SOUND, name: text}))


@settings(max_examples=150, deadline=None)
@given(JUNK)
def test_junk_as_a_body(text):
    check(read_set({**SOUND, "protocol.md": HEAD + text}))


@pytest.mark.parametrize("name", sorted(SOUND))
@settings(max_examples=100, deadline=None)
@given(data=st.data())
def test_sound_files_with_a_piece_cut_out_or_put_in(name, data):
    text = SOUND[name]
    start = data.draw(st.integers(0, len(text)))
    end = data.draw(st.integers(start, min(len(text), start + 30)))
    piece = data.draw(
        st.sampled_from(["", "`", "\n", "   ", "*", "[", "{", ":", "- ", "<b>", "\t", "0"])
    )

    check(read_set({**SOUND, name: text[:start] + piece + text[end:]}))


LARGE = {
    "brackets in a line": HEAD + "# A `donning in change room`\n\n1. " + "[" * 1_900,
    "a line without end": HEAD + "# A `donning in change room`\n\n1. " + "a" * 300_000,
    "brackets in lines": HEAD + ("1. " + "[" * 1_900 + "\n") * 500,
    "stars": HEAD + "# A\n\n1. " + "**a " * 490,
    "underscores": HEAD + "# A\n\n1. " + "_a*" * 660,
    "backticks": HEAD + "# A\n\n1. " + "".join("`" * n + "a" for n in range(60)),
    "quotes in quotes": HEAD + "> " * 20_000 + "a",
    "lists in lists": HEAD + "".join("  " * n + "- a\n" for n in range(300)),
    "a long line of list marks": HEAD + "- " * 20_000 + "a",
    "many steps": HEAD
    + "# A `donning in change room`\n\n"
    + "1. **Wait.** `handrub`\n" * 5_000,
    "many unknown phrases": HEAD
    + "# A `donning in change room`\n\n"
    + "1. **X.** `wear gwn`\n" * 300,
    "half-open tags": HEAD + "# A\n\n1. " + "<a " * 650,
    "comments": HEAD + "# A\n\n1. " + "<!-- " * 390,
    "link references": HEAD + "".join(f"[{n}]: /a{n}\n" for n in range(3_000)),
    "open link references": HEAD + "[a\n" * 3_000,
    "pictures in pictures": HEAD + "# A\n\n1. " + "![" * 50 + "](a)" * 50,
    "entities": HEAD + "# A\n\n1. " + "&amp" * 490,
    "a long head": "---\n" + "a: b\n" * 5_000 + "---\n",
    "a deep head": "---\n" + "".join(" " * n + f"a{n}:\n" for n in range(2_000)) + "---\n",
    "no end of hyphens": "---\n" * 20_000,
}


@pytest.mark.parametrize("what", LARGE)
def test_large_texts_end_in_findings_and_in_time(what):
    """A bound against reading that costs the square of the length; no measure of speed."""
    start = time.process_time()

    check(read_set({**SOUND, "protocol.md": LARGE[what]}))

    assert time.process_time() - start < 5


@pytest.mark.parametrize(
    "text",
    [
        "a: &a [x]\n" + "".join(f"b{n}: &b{n} [*a, *a, *a]\n" for n in range(3_000)),
        "[" * 50_000,
        "{" * 50_000,
        "- " * 50_000,
        "a: " * 20_000,
        "? " * 20_000,
        "a: '" + "''" * 100_000,
        "gloves: {kind: " + "g" * 200_000 + "}\n",
        "".join(f"item {n}: {{kind: glovs}}\n" for n in range(1_500)),
        "x" * 200_000 + ": 1\n",
        "gloves: 9" + "9" * 100_000 + "\n",
    ],
)
def test_large_yaml_ends_in_findings_and_in_time(text):
    start = time.process_time()
    for name in ("kit.yaml", "clinic.yaml"):
        read = read_set({**SOUND, name: text})
        check(read)
        assert must_fix(read.findings)

    assert time.process_time() - start < 8


def test_without_clinic_or_kit_the_protocol_is_still_read():
    source = Source("protocol.md", SOUND["protocol.md"].replace("wear gloves", "wear"))
    clinic, _ = read_clinic(Source("clinic.yaml", SOUND["clinic.yaml"]))
    kit, _ = read_kit(Source("kit.yaml", SOUND["kit.yaml"]), None)

    for pair in ((None, None), (clinic, None), (None, kit)):
        protocol, findings = read_protocol(source, *pair)
        assert protocol is None
        assert "broken-phrase" in [finding.rule.slug for finding in findings]
