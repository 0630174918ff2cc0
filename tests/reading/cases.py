"""Literate cases: a heading, a sentence, files, and the findings that must come of them.

A case gives any of `clinic.yaml`, `kit.yaml` and `protocol.md` as fenced blocks; what it leaves
out comes from the folder `sound`. A block `body` is a protocol below the sound head, with lines
counted from its own first line. The block `finds` lists all findings in reading order; an empty
one means that there are none.
"""

import re
from dataclasses import dataclass
from pathlib import Path

from compiler.findings import Finding, in_reading_order
from compiler.model.clinic import Clinic
from compiler.model.kit import Kit
from compiler.model.protocol import Protocol
from compiler.model.read_clinic import read_clinic
from compiler.model.read_kit import read_kit
from compiler.model.read_protocol import read_protocol
from compiler.source import Source

HERE = Path(__file__).parent
SOUND = {file.name: file.read_text(encoding="utf-8") for file in (HERE / "sound").iterdir()}
HEAD = SOUND["protocol.md"].split("# Putting on")[0]

_CASE = re.compile(r"^# (.+)$", re.MULTILINE)
_BLOCK = re.compile(r"^(`{3,}|~{3,})(\S+)\n(.*?)^\1$", re.MULTILINE | re.DOTALL)


@dataclass(frozen=True)
class Read:
    """Everything that reading a set gives."""

    clinic: Clinic | None
    kit: Kit | None
    protocol: Protocol | None
    findings: list[Finding]


@dataclass(frozen=True)
class Case:
    """One heading of a case file."""

    file: Path
    title: str
    blocks: dict[str, str]
    finds_at: tuple[int, int]
    """Where the expected findings stand in the file's text."""

    @property
    def files(self) -> dict[str, str]:
        """The set, completed."""
        given = {name: text for name, text in self.blocks.items() if name in SOUND}
        if "body" in self.blocks:
            given["protocol.md"] = HEAD + self.blocks["body"]
        return {**SOUND, **given}

    def shown(self) -> str:
        """The findings as a case file shows them."""
        above = HEAD.count("\n") if "body" in self.blocks else 0
        return "".join(_shown(finding, above) + "\n" for finding in self.findings())

    def findings(self) -> list[Finding]:
        """All findings, in reading order."""
        return in_reading_order(read_set(self.files).findings)


def read_set(files: dict[str, str]) -> Read:
    """Reads a set whose files are given as texts."""
    clinic, findings = read_clinic(Source("clinic.yaml", files["clinic.yaml"]))
    kit, more = read_kit(Source("kit.yaml", files["kit.yaml"]), clinic)
    protocol, most = read_protocol(Source("protocol.md", files["protocol.md"]), clinic, kit)
    return Read(clinic, kit, protocol, findings + more + most)


def read_body(body: str) -> Read:
    """Reads a protocol's body in the sound set."""
    return read_set({**SOUND, "protocol.md": HEAD + body})


def cases() -> list[Case]:
    """All cases of the folder."""
    return [case for file in sorted((HERE / "cases").glob("*.md")) for case in _cases(file)]


def _cases(file: Path) -> list[Case]:
    text = file.read_text(encoding="utf-8")
    # Headings inside fenced blocks are no cases.
    bare = _BLOCK.sub(lambda match: re.sub(r"[^\n]", " ", match[0]), text)
    heads = list(_CASE.finditer(bare))
    ends = [head.start() for head in heads[1:]] + [len(text)]
    found = []
    for head, end in zip(heads, ends, strict=True):
        blocks = list(_BLOCK.finditer(text, head.end(), end))
        finds = next(block for block in blocks if block[2] == "finds")
        texts = {block[2]: block[3] for block in blocks}
        found.append(Case(file, head[1], texts, finds.span(3)))
    return found


def accept(file: Path) -> None:
    """Writes what is found now into a case file."""
    text = file.read_text(encoding="utf-8")
    for case in reversed(_cases(file)):
        start, end = case.finds_at
        text = text[:start] + case.shown() + text[end:]
    file.write_text(text, encoding="utf-8")


def _shown(finding: Finding, above: int) -> str:
    span = finding.at.span
    line = span.line - (above if span.source.path == "protocol.md" else 0)
    where = "" if span.source.path == "protocol.md" else span.source.path + " "
    words = span.text.split("\n")[0]
    return (
        f"{finding.rule.slug} {where}{line}:{span.column} {words!r}\n"
        f"    {finding.message}\n    {finding.remedy}"
    )
