"""Leaving a step out, held against the same text with the step's lines taken out."""

from __future__ import annotations

import re

import pytest

from compiler.findings import Finding
from compiler.following.steps import named_steps
from compiler.following.without import difference
from compiler.pipeline import check_texts, read_texts
from compiler.source import Source
from tests.command.running import EXAMPLE
from tests.published.build import texts
from tests.published.sequences import sequences

Told = set[tuple[str, int, str]]


NUMBER = re.compile(r"(\s*)(\d+)(\. )")


def without_lines(text: str, first: int, last: int) -> str:
    """The text without these lines; the step that moves up takes the number that is free.

    A list inside a paragraph has to begin with 1 (CommonMark 0.31.2, section 5.3).
    """
    lines = text.split("\n")
    gone, kept = NUMBER.match(lines[first - 1]), NUMBER.match("".join(lines[last : last + 1]))
    assert gone
    if kept and kept[1] == gone[1]:
        lines[last] = kept[1] + gone[2] + lines[last][kept.end(2) :]
    return "\n".join(lines[: first - 1] + lines[last:])


def told(findings: list[Finding], first: int = 0, last: int = -1) -> Told:
    """Slug, line in the whole text, and message."""
    gone = last - first + 1
    return {
        (f.rule.slug, f.at.span.line + (gone if 0 < first <= f.at.span.line else 0), f.message)
        for f in findings
    }


def agree_on_every_step(files: dict[str, str], name: str) -> int:
    protocol_set = read_texts({n: Source(n, text) for n, text in files.items()})
    protocol, clinic, kit = protocol_set.protocols[0], protocol_set.clinic, protocol_set.kit
    assert clinic
    assert kit
    with_it = told(check_texts(files))
    steps = named_steps(protocol, clinic)
    come = 0
    for at, named in enumerate(steps):
        later = [s for s in steps[at + 1 :] if len(s.inside) <= len(named.inside)]
        last = last_line(files[name], named.line, later[0].line if later else 0)
        cut = {**files, name: without_lines(files[name], named.line, last)}
        change = difference(protocol, clinic, kit, named.step)
        expected = told(check_texts(cut), named.line, last)
        found = with_it - told(change.go) | told(change.come)
        assert found == expected, named.called
        come += bool(change.come)
    return come


def last_line(text: str, first: int, following: int) -> int:
    """The last line of a step: before the next step, the next answer or the next heading."""
    lines = text.split("\n")
    indent = len(lines[first - 1]) - len(lines[first - 1].lstrip())
    last = first
    while last < len(lines) and last + 1 != following:
        line = lines[last]
        if line.startswith("#") or (line.strip() and len(line) - len(line.lstrip()) <= indent):
            break
        last += 1
    return last


@pytest.mark.parametrize("sequence", sequences()[1::6], ids=lambda s: s.key)
def test_a_published_sequence_without_a_step_is_as_its_text_without_the_line(sequence):
    assert agree_on_every_step(texts(sequence), f"{sequence.key}.md") > 5


@pytest.mark.parametrize("name", sorted(path.name for path in EXAMPLE.glob("[!R]*.md")))
def test_the_example_without_a_step_is_as_its_text_without_the_lines(name):
    files = {n: (EXAMPLE / n).read_text(encoding="utf-8") for n in ("kit.yaml", name)}
    clinic = (EXAMPLE / "clinic.yaml").read_text(encoding="utf-8")
    files["clinic.yaml"] = re.sub(r"(?m)^languages: .*$", "languages: [en]", clinic)
    order = {n: files[n] for n in ("clinic.yaml", "kit.yaml", name)}

    assert agree_on_every_step(order, name) > 5
