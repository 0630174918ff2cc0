"""The page of each rule: prose, a faulty and a sound example, and what the checker says of it.

A page is `rules/pages/<slug>.md` with the headings *What it finds*, *Why it matters*, *Faulty*
and *Sound*. Examples are fenced blocks named after what they hold, see `FILES`; what an example
leaves out comes from `rules/pages/common/`, or from `common/translated/` when it has a
translation. In a faulty example `<!-- finds -->` (in YAML and PO files `# finds`) ends the line
where the rule must strike, and it must strike nowhere else.

Examples of the family *keeping* are read on one fixed day, see `READ_ON`.

Examples of the family *sheet* are made into posters, because validating cannot find what they
show. Blocks named `machine` and `theme` say what must be true of the computer and of the theme
for that; the tests arrange it, and `explain` shows the blocks only. Examples of the family
*theme* are a `look`: the `theme.yaml` of a theme that is based on the default.
"""

from __future__ import annotations

import datetime
import re
from collections.abc import Iterator
from dataclasses import dataclass
from functools import cache
from importlib.resources import files
from pathlib import Path
from textwrap import indent, wrap

from compiler.catalogue import FAMILIES, rules, waivable
from compiler.findings import Finding, Rule
from compiler.pipeline import check_texts, in_language, read_texts
from compiler.products.theme import theme_in
from compiler.report.style import Style
from compiler.report.text import blocks_of
from compiler.rules import keeping, sheet
from compiler.rules.sources import citations, published
from compiler.source import Source
from compiler.storage import CLINIC, KIT, SIGN_OFFS

EXAMPLE, WORDS, CLINIC_WORDS = "example.md", "es/example.po", "es/clinic.po"
MACHINE, THEME, LOOK = "machine.txt", "theme.css", "theme.yaml"
FILES = {
    "protocol": EXAMPLE,
    "clinic": CLINIC,
    "kit": KIT,
    "po": WORDS,
    "po-clinic": CLINIC_WORDS,
    "sign-offs": SIGN_OFFS,
    "machine": MACHINE,
    "theme": THEME,
    "look": LOOK,
}
"""What a block is called, and the file it stands for."""
TITLES = {MACHINE: "the computer", THEME: "added to poster.css of the theme"}
"""What `explain` writes above blocks that are not files of a set."""
HEADS = {"protocol": ("---", "head.md"), "po": ('msgid ""', "translated/head.po")}
"""How these blocks begin when they bring their own head, and the head for those that do not."""
HEADINGS = ("What it finds", "Why it matters", "Faulty", "Sound")
READ_ON = datetime.date(2027, 1, 15)
"""The day of all examples of the family *keeping*, so that the manual is the same every day."""
_FENCE = re.compile(r"^```([\w-]+)\n(.*?)^```$", re.MULTILINE | re.DOTALL)
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
    printed: bool = False
    """Whether its posters are made to find them."""
    on: datetime.date | None = None
    """The day on which it is read; given for the family *keeping* alone."""


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
    parts = re.split(r"^## (.+)\n", _read(f"{slug}.md"), flags=re.MULTILINE)
    sections = {
        name.strip(): body.strip() for name, body in zip(parts[1::2], parts[2::2], strict=True)
    }
    return Page(
        rule=rule,
        family=next(f for f, members in FAMILIES.items() if rule in members),
        what=_joined(sections[HEADINGS[0]]),
        why=_joined(sections[HEADINGS[1]]),
        faulty=_example(sections[HEADINGS[2]], rule),
        sound=_example(sections[HEADINGS[3]], rule),
    )


def _joined(prose: str) -> str:
    return "\n\n".join(" ".join(block.split()) for block in prose.split("\n\n"))


def _read(name: str) -> str:
    return files("compiler").joinpath("rules/pages", name).read_text(encoding="utf-8")


def _example(section: str, rule: Rule) -> Example:
    blocks = _FENCE.findall(section)
    translated = any(kind.startswith("po") for kind, _ in blocks)
    wanted = (CLINIC, KIT, CLINIC_WORDS) if translated else (CLINIC, KIT)
    common = "common/translated" if translated else "common"
    texts = {name: _read(f"{common}/{name}") for name in wanted}
    shown: list[str] = []
    marks: set[tuple[str, int, str]] = set()
    for kind, body in blocks:
        own, head = HEADS.get(kind, ("", ""))
        whole = body if body.startswith(own) else _read(f"common/{head}") + body
        lines: list[str] = []
        for number, line in enumerate(whole.splitlines(), 1):
            bare, slugs = _unmarked(line)
            lines.append(bare)
            marks |= {(FILES[kind], number, slug or rule.slug) for slug in slugs}
        texts[FILES[kind]] = "\n".join(lines) + "\n"
        title = [f"{TITLES.get(FILES[kind], FILES[kind])}:", ""] if len(blocks) > 1 else []
        shown.append("\n".join([*title, *(_unmarked(line)[0] for line in body.splitlines())]))
    on = READ_ON if rule in keeping.RULES else None
    return Example(texts, "\n\n".join(shown), frozenset(marks), rule in sheet.RULES, on)


def _unmarked(line: str) -> tuple[str, list[str]]:
    """A line without its marks, and the slugs they name; empty for the page's own."""
    slugs: list[str] = []
    while found := _MARK.search(line):
        slugs.append(found[1] or found[2] or "")
        line = line[: found.start()]
    return line, slugs


def findings_of(example: Example) -> list[Finding]:
    """What the checker says of an example, and what making its sheets says."""
    found = check_texts(example.files, example.on)
    if LOOK in example.files:
        look = theme_in(Source(LOOK, example.files[LOOK]), Path("example"))
        found += look.findings
    return [*found, *_printing(example)] if example.printed else found


def _printing(example: Example) -> Iterator[Finding]:
    # imported here because it brings in the PDF engine, which few pages need
    from compiler.products.sheet import Order
    from compiler.wording.words import words
    from compiler.workshop import MAKERS

    texts = {name: Source(name, text) for name, text in example.files.items()}
    protocol_set = read_texts(texts)
    for protocol in protocol_set.protocols:
        for language in protocol_set.clinic.languages if protocol_set.clinic else ():
            sheet_in = in_language(protocol_set, protocol, language)
            order = Order(
                sheet_in.protocol,
                sheet_in.clinic,
                sheet_in.kit,
                words(language),
                code="0",
                link=sheet_in.clinic.name,
                written_in=sheet_in.sources,
            )
            for kind in sheet_in.clinic.products or ("poster",):
                yield from MAKERS[kind]((order,)).findings


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
        f"What is said of it:\n\n{_said(told, style, width)}",
        f"Sound:\n\n{indent(shown.sound.shown, '    ')}",
        "Source:\n" + "\n".join(_source_lines(rule, width)),
        _waiving(rule, width),
    ]
    return "\n\n".join(blocks) + "\n"


def _said(told: list[Finding], style: Style, width: int) -> str:
    if not told:
        return "    Nothing here: it depends on computer or theme. wallward compile finds it."
    return indent(blocks_of(told, style, width - 4), "    ")


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
    if not waivable(rule):
        return "This finding cannot be waived."
    how = "To accept it, write in the protocol's head, with a reason and a date:"
    return f'{_folded(how, width)}\n\n    allow: {{{rule.slug}: "reason, 2026-11-01"}}'
