"""The page of each rule: prose, a faulty and a sound example, and what the checker says of it.

A page is `rules/pages/<slug>.md` with the headings *What it finds*, *Why it matters*, *Faulty*
and *Sound*. Examples are fenced blocks named `protocol`, `clinic` or `kit`; what an example
leaves out comes from `rules/pages/common/`. In a faulty example `<!-- finds -->` (in YAML
`# finds`) ends the line where the rule must strike, and it must strike nowhere else.
"""

from __future__ import annotations

import re
from dataclasses import dataclass
from functools import cache
from importlib.resources import files
from textwrap import indent, wrap

from compiler.catalogue import FAMILIES, rules
from compiler.findings import Finding, Rule
from compiler.pipeline import check_texts
from compiler.report.style import Style
from compiler.report.text import blocks_of
from compiler.rules.sources import citations, published
from compiler.storage import CLINIC, KIT

EXAMPLE = "example.md"
FILES = {"protocol": EXAMPLE, "clinic": CLINIC, "kit": KIT}
HEADINGS = ("What it finds", "Why it matters", "Faulty", "Sound")
_FENCE = re.compile(r"^```(\w+)\n(.*?)^```$", re.MULTILINE | re.DOTALL)
_MARK = re.compile(r"[ \t]*(?:<!-- finds(?:: ([\w-]+))? -->|# finds(?:: ([\w-]+))?)[ \t]*$")


@dataclass(frozen=True, slots=True)
class Example:
    """One example of a page, ready to be checked."""

    files: dict[str, str]
    """Texts by file name, marks removed, completed from the common set."""
    shown: str
    """What the page shows: the blocks as written, marks removed."""
    marks: frozenset[tuple[str, int, str]]
    """File, line and slug of every finding that must come."""


@dataclass(frozen=True, slots=True)
class Page:
    """One rule, explained."""

    rule: Rule
    family: str
    what: str
    why: str
    faulty: Example
    sound: Example


@cache
def page(slug: str) -> Page:
    """The page of a rule.

    Raises:
        KeyError: when no rule has that slug.
    """
    rule = rules()[slug]
    folder = files("compiler").joinpath("rules/pages")
    text = folder.joinpath(f"{slug}.md").read_text(encoding="utf-8")
    parts = re.split(r"^## (.+)\n", text, flags=re.MULTILINE)
    sections = {
        name.strip(): body.strip() for name, body in zip(parts[1::2], parts[2::2], strict=True)
    }
    common = {
        name: folder.joinpath("common", name).read_text(encoding="utf-8")
        for name in (CLINIC, KIT, "head.md")
    }
    return Page(
        rule=rule,
        family=next(f for f, members in FAMILIES.items() if rule in members),
        what=_joined(sections[HEADINGS[0]]),
        why=_joined(sections[HEADINGS[1]]),
        faulty=_example(sections[HEADINGS[2]], common, slug),
        sound=_example(sections[HEADINGS[3]], common, slug),
    )


def _joined(prose: str) -> str:
    return "\n\n".join(" ".join(block.split()) for block in prose.split("\n\n"))


def _example(section: str, common: dict[str, str], slug: str) -> Example:
    texts = {CLINIC: common[CLINIC], KIT: common[KIT]}
    shown: list[str] = []
    marks: set[tuple[str, int, str]] = set()
    for kind, body in _FENCE.findall(section):
        name = FILES[kind]
        whole = body
        if kind == "protocol" and not body.startswith("---"):
            whole = common["head.md"] + body
        lines = whole.splitlines()
        for number, line in enumerate(lines, 1):
            if found := _MARK.search(line):
                marks.add((name, number, found[1] or found[2] or slug))
                lines[number - 1] = line[: found.start()]
        texts[name] = "\n".join(lines) + "\n"
        shown.append("\n".join(_MARK.sub("", line) for line in body.splitlines()))
    return Example(texts, "\n\n".join(shown), frozenset(marks))


def findings_of(example: Example) -> list[Finding]:
    """What the checker says of an example."""
    return check_texts(example.files)


def explained(slug: str, style: Style, width: int = 78) -> str:
    """The page of a rule for a terminal, with what the checker prints of the faulty example."""
    shown = page(slug)
    rule = shown.rule
    told = [f for f in findings_of(shown.faulty) if f.rule is rule]
    title = f"{style.paint('slug', slug)} {style.dot} {rule.level.value}"
    blocks = [
        f"{title} {style.dot} {shown.family}",
        _folded(shown.what, width),
        _folded(f"Why: {shown.why}", width),
        f"Faulty:\n\n{indent(shown.faulty.shown, '    ')}",
        f"What is said of it:\n\n{indent(blocks_of(told, style, width - 4), '    ')}",
        f"Sound:\n\n{indent(shown.sound.shown, '    ')}",
        "Source:\n" + "\n".join(_source_lines(rule, width)),
        _waiving(rule, width),
    ]
    return "\n\n".join(blocks) + "\n"


def _folded(text: str, width: int) -> str:
    return "\n\n".join("\n".join(wrap(block, width)) for block in text.split("\n\n"))


def _source_lines(rule: Rule, width: int) -> list[str]:
    lines: list[str] = []
    for citation in citations(rule.cites):
        lines += wrap(citation, width, initial_indent="  ", subsequent_indent="    ")
    known = published()
    lines += [f"    {known[key].url}" for key in rule.cites if known[key].url]
    return lines


def _waiving(rule: Rule, width: int) -> str:
    if rule.waivable:
        return _folded(
            "To accept it, write in the protocol's head, with a reason and a date: "
            f'allow: {{{rule.slug}: "reason, 2026-11-01"}}',
            width,
        )
    return "This finding cannot be waived."
