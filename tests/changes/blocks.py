"""A protocol's text as blocks of lines, one for each step, found here without the compiler."""

from __future__ import annotations

import re
from dataclasses import dataclass

STEP = re.compile(r"^( *)\d+\. \*\*(.+?)\*\*(.*)$")


@dataclass(frozen=True)
class Block:
    """One step with everything below it."""

    first: int
    """Its first line, counted from 0."""
    end: int
    """The line after its last."""
    indent: int
    above: int
    """The line of the answer or heading that it stands below."""
    lead: str
    line: str

    @property
    def phrases(self) -> list[str]:
        """The words between its marks."""
        return re.findall(r"`([^`]+)`", self.line)

    @property
    def verbs(self) -> set[str]:
        """The first words of its phrases."""
        return {phrase.split()[0] for phrase in self.phrases}


def blocks(lines: list[str]) -> list[Block]:
    """All steps in reading order."""
    found = []
    for at, line in enumerate(lines):
        if met := STEP.match(line):
            indent = len(met[1])
            end = at + 1
            while end < len(lines) and (not lines[end].strip() or _indent(lines[end]) > indent):
                end += 1
            while not lines[end - 1].strip():
                end -= 1
            above = next(
                k
                for k in range(at, -1, -1)
                if lines[k].startswith("#")
                or (lines[k].lstrip().startswith("- ") and _indent(lines[k]) < indent)
            )
            found.append(Block(at, end, indent, above, met[2], line))
    return found


def siblings(all_blocks: list[Block]) -> list[list[Block]]:
    """Steps of one list together."""
    lists: dict[int, list[Block]] = {}
    for block in all_blocks:
        lists.setdefault(block.above, []).append(block)
    return list(lists.values())


def _indent(line: str) -> int:
    return len(line) - len(line.lstrip())
