"""Every rule has a page, and what the page says is what the checker does.

The examples are the oracle: a faulty one carries a mark on each line where a rule strikes, and
the marks are complete; a sound one carries none. Written by hand, not taken from a run.
"""

from __future__ import annotations

import re
import tomllib
from collections import Counter
from dataclasses import replace
from pathlib import Path

import pytest

import compiler
from compiler.catalogue import FAMILIES, rules
from compiler.findings import Finding
from compiler.manual import EXAMPLE, HEADINGS, Example, explained, page
from compiler.report.style import Style
from compiler.wording.cells import cells
from tests.arranged import findings_of

RULES = Path(compiler.__file__).parent / "rules"
PAGES = RULES / "pages"
SLUGS = list(rules())
WAIVING = {"waiver-unused", "waiver-refused", "waiver-without-reason"}
PROVED = [
    rule.slug
    for family in (
        "integrity",
        "hand hygiene",
        "dirty to clean",
        "protection",
        "reuse",
        "proof",
        "wording",
    )
    for rule in FAMILIES[family]
    if rule.slug not in WAIVING
]
"""Rules whose findings come from following the steps; only these are waived in a head."""
SEEN = {"read", "restated", "memory"}
WIDEST = 100
CURES = {
    "add", "avoid", "disallow", "dont", "ensure", "forbid", "must", "never", "no", "not",
    "prefer", "put", "require", "should", "take", "use", "write",
}  # fmt: skip
"""First words that would name the cure, or turn "allow SLUG" into its opposite."""


def places(findings: list[Finding]) -> list[tuple[str, int, str]]:
    return [(f.at.span.source.path, f.at.span.line, f.rule.slug) for f in findings]


def told(findings: list[Finding]) -> str:
    """For people who read a failure."""
    return "\n".join(
        f"{f.at.span.source.path}:{f.at.span.line} {f.rule.slug}: {f.message}" for f in findings
    )


@pytest.mark.parametrize("slug", SLUGS)
def test_the_page_has_its_sections_in_order(slug: str):
    text = (PAGES / f"{slug}.md").read_text(encoding="utf-8")
    sections = re.split(r"^## (.+)\n", text, flags=re.MULTILINE)

    assert sections[0].strip() == "", "nothing stands before the first heading"
    assert tuple(name.strip() for name in sections[1::2]) == HEADINGS
    assert all(body.strip() for body in sections[2::2])
    for prose in sections[2:5:2]:
        assert prose.strip().endswith(".")
        assert "```" not in prose


@pytest.mark.parametrize("slug", SLUGS)
def test_the_faulty_example_is_told_at_its_marks_and_nowhere_else(slug: str):
    faulty = page(slug).faulty
    found = findings_of(faulty)

    assert slug in {mark[2] for mark in faulty.marks}, "no line is marked for this rule"
    assert set(places(found)) == faulty.marks, told(found)


@pytest.mark.parametrize("slug", SLUGS)
def test_one_fault_is_told_once(slug: str):
    """Two things missing in one line may be two findings; the same words twice may not."""
    found = findings_of(page(slug).faulty)
    said = Counter((*place, f.message) for place, f in zip(places(found), found, strict=True))

    assert set(said.values()) == {1}, told(found)


@pytest.mark.parametrize("slug", SLUGS)
def test_the_sound_example_has_no_fault(slug: str):
    sound = page(slug).sound
    found = findings_of(sound)

    assert sound.marks == frozenset()
    assert found == [], told(found)


@pytest.mark.parametrize("slug", SLUGS)
def test_the_examples_are_two_and_show_what_is_checked(slug: str):
    shown = page(slug)

    assert shown.faulty.shown != shown.sound.shown
    for example in (shown.faulty, shown.sound):
        assert example.shown.strip()
        assert "finds" not in example.shown
        assert written(example), "an example has a block named protocol, clinic or kit"


def written(example: Example) -> bool:
    common = {n: (PAGES / "common" / n).read_text("utf-8") for n in ("clinic.yaml", "kit.yaml")}
    return any(common.get(name) != text for name, text in example.files.items())


@pytest.mark.parametrize("slug", SLUGS)
def test_the_page_prints_within_the_screen(slug: str):
    """Examples and addresses are printed as they are; all else is folded."""
    shown = page(slug)
    as_written = {
        f"    {line}".rstrip()
        for example in (shown.faulty, shown.sound)
        for line in example.shown.splitlines()
    }
    text = explained(slug, Style())
    wide = [
        line
        for line in text.splitlines()
        if cells(line) > WIDEST
        and line.rstrip() not in as_written
        and not re.fullmatch(r" +https?://\S+", line)
    ]

    assert wide == []
    assert text.startswith(f"{slug} · {shown.rule.level.value} · {shown.family}\n")
    assert f"allow: {{{slug}: " in " ".join(text.split()) or not shown.rule.waivable


@pytest.mark.parametrize("slug", SLUGS)
def test_the_slug_names_the_fault(slug: str):
    """The words "allow SLUG" read as English: a fault can be allowed, a cure cannot."""
    assert re.fullmatch(r"[a-z]+(?:-[a-z]+)*", slug)
    assert slug.split("-")[0] not in CURES


@pytest.mark.parametrize("slug", SLUGS)
def test_what_a_rule_cites_is_a_known_source(slug: str):
    known = tomllib.loads((RULES / "sources.toml").read_text(encoding="utf-8"))

    for key in rules()[slug].cites:
        assert key in known
        assert known[key]["seen"] in SEEN
        assert re.match(r"https?://[^ ]+\Z", known[key]["url"])


@pytest.mark.parametrize("slug", PROVED)
def test_a_waiver_does_what_the_page_says_of_it(slug: str):
    """What the page offers to accept is accepted; what it does not offer stays."""
    shown = page(slug)
    head, first, body = shown.faulty.files[EXAMPLE].partition("\n---\n")
    waiver = f'allow: {{{slug}: "agreed by the infection prevention group, 2026-11-01"}}'
    files = {**shown.faulty.files, EXAMPLE: f"{head}\n{waiver}{first}{body}"}
    found = {f.rule.slug for f in findings_of(replace(shown.faulty, files=files))}

    assert (slug in found) != shown.rule.waivable
    assert ("waiver-refused" in found) != shown.rule.waivable
    assert "waiver-unused" not in found


def test_nothing_else_is_offered_for_waiving():
    """What reading, translating and printing find is not reached by a waiver in a head."""
    others = set(SLUGS) - set(PROVED) - WAIVING

    assert [slug for slug in sorted(others) if rules()[slug].waivable] == []


def test_every_page_belongs_to_a_rule():
    pages = {path.stem for path in PAGES.glob("*.md")}

    assert pages - set(SLUGS) == set(), "pages without a rule"


def test_the_shared_head_is_a_head_and_a_blank_line():
    head = (PAGES / "common" / "head.md").read_text(encoding="utf-8")

    assert head.startswith("---\n")
    assert head.endswith("\n---\n\n")


def test_a_page_without_a_rule_cannot_be_asked_for():
    with pytest.raises(KeyError):
        page("rule-that-is-not")


def test_a_mark_is_needed_where_a_rule_strikes():
    """Taking the marks away from a faulty example is noticed."""
    faulty = page("worn-twice").faulty
    unmarked = Example(faulty.files, faulty.shown, frozenset())

    assert EXAMPLE in unmarked.files
    assert set(places(findings_of(unmarked))) != unmarked.marks
