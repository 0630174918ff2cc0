"""Translation files of a set: brought up to date, counted, and marked as reviewed."""

from __future__ import annotations

import datetime
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace

from compiler.findings import Finding
from compiler.model.kit import Kit
from compiler.model.protocol import Protocol, every_step
from compiler.pipeline import ProtocolSet, to_translate
from compiler.products.pictograms import meaning, pictogram_for
from compiler.source import Source
from compiler.wording.catalogue import RULES as DAMAGES
from compiler.wording.catalogue import Catalogue
from compiler.wording.cells import cells
from compiler.wording.glossary import Glossary, glossary
from compiler.wording.packaged import packaged
from compiler.wording.review import reviewed, signed
from compiler.wording.update import (
    Remarks,
    Updated,
    gathered,
    no_remarks,
    rewritten,
    updated,
)

COLUMNS = ("language", "texts", "translated", "marked", "empty", "reviewed")


@dataclass(frozen=True, slots=True)
class Brought:
    """One translation file, up to date with the text."""

    language: str
    stem: str
    """A protocol's name, or `clinic`."""
    updated: Updated
    differs: bool
    """Whether it has to be written."""
    catalogue: Catalogue
    """The file as it is now."""
    fixed: Catalogue | None
    """The fixed words of the sheets, which are reviewed with the clinic's."""
    findings: tuple[Finding, ...]
    """What is damaged in it; then nothing was changed."""

    @property
    def translated(self) -> int:
        """How many texts may be printed."""
        return sum(entry.usable for entry in self.catalogue.entries.values())

    @property
    def marked(self) -> int:
        """How many have a translation that somebody must look at."""
        entries = self.catalogue.entries.values()
        return sum(entry.fuzzy and bool(entry.text.strip()) for entry in entries)

    @property
    def left(self) -> int:
        """How many may not be printed yet."""
        return len(self.catalogue.entries) - self.translated

    @property
    def reviewed(self) -> bool:
        """Whether somebody has reviewed it as it is."""
        return reviewed(self.catalogue, self.fixed)


def brought_up_to_date(
    protocol_set: ProtocolSet, folder: str, languages: Sequence[str] = ()
) -> Iterator[Brought]:
    """The files of a set with the texts as they are now, language by language.

    Args:
        protocol_set: The set.
        folder: Its name, written before the file names of references.
        languages: Those wanted; nothing for all that need a translation.
    """
    pictures = {p.name: _pictures(p, protocol_set.kit) for p in protocol_set.protocols}
    texts = [
        (s, title, gathered(found, folder)) for s, title, found in to_translate(protocol_set)
    ]
    damaged = _damaged(protocol_set)
    for language in languages or protocol_set.foreign:
        fixed = packaged(language)
        names = glossary(protocol_set.translations.get((language, "clinic")), language)
        for stem, title, wanted in texts:
            old = protocol_set.sources.get(f"{language}/{stem}.po")
            known = protocol_set.translations.get((language, stem), NONE)
            told = damaged.get(known.source.path, ())
            remarks = _remarks(pictures[stem], names) if stem in pictures else no_remarks
            now = (
                Updated(known.source.text, known)
                if told
                else updated(known, wanted, language, title, remarks)
            )
            yield Brought(
                language,
                stem,
                now,
                old is None or now.text != old.text,
                now.catalogue,
                fixed if stem == "clinic" else None,
                told,
            )


NONE = Catalogue(Source("", ""), {}, {})
"""Stands for a file that is not there yet."""


def _damaged(protocol_set: ProtocolSet) -> dict[str, tuple[Finding, ...]]:
    """What is damaged in translation files, by their paths."""
    found: dict[str, tuple[Finding, ...]] = {}
    for finding in protocol_set.findings:
        if finding.rule in DAMAGES:
            path = finding.at.span.source.path
            found[path] = (*found.get(path, ()), finding)
    return found


def _pictures(protocol: Protocol, kit: Kit | None) -> dict[tuple[str, str], list[str]]:
    """What the pictograms beside each text show, by kind and text."""
    found: dict[tuple[str, str], list[str]] = {}
    for part in protocol.parts:
        for step in every_step(part.steps):
            name = pictogram_for(step, kit or Kit({}))
            texts = [("lead", step.lead), ("detail", step.detail)]
            for key in texts + [("caution", caution) for caution in step.cautions]:
                shown = found.setdefault(key, [])
                if name and meaning(name) not in shown:
                    shown.append(meaning(name))
    return found


def _remarks(pictures: dict[tuple[str, str], list[str]], names: Glossary) -> Remarks:
    """For translators: the picture beside a text, and what the clinic calls things."""

    def remarks(key: tuple[str, str]) -> Iterator[str]:
        yield from (f"picture: {shown}" for shown in pictures.get(key, ()))
        if hint := names.hint(key[1]):
            yield f"glossary: {hint}"

    return remarks


def reviewed_now(brought: Brought, who: str, on: datetime.date) -> Brought:
    """The file with a review of its texts in its header."""
    catalogue = signed(brought.catalogue, who, on, brought.fixed)
    now = replace(brought.updated, text=rewritten(catalogue), catalogue=catalogue)
    return replace(brought, catalogue=catalogue, updated=now)


def coverage_table(brought: Sequence[Brought]) -> str:
    """How far each language is, as a table of plain text; empty for no language."""
    rows: list[tuple[str, ...]] = []
    for language in dict.fromkeys(each.language for each in brought):
        files = [each for each in brought if each.language == language]
        marked, left = sum(each.marked for each in files), sum(each.left for each in files)
        translated = sum(each.translated for each in files)
        done = sum(each.reviewed for each in files)
        figures = (translated + left, translated, marked, left - marked)
        rows.append((language, *map(str, figures), f"{done} of {len(files)} files"))
    if not rows:
        return ""
    table = [COLUMNS, *rows]
    widths = [max(cells(row[i]) for row in table) for i in range(len(COLUMNS))]
    return "\n" + "".join(_line(row, widths) for row in table)


def _line(row: tuple[str, ...], widths: list[int]) -> str:
    first, *figures, last = row
    shown = [
        f"{first:<{widths[0]}}",
        *(f"{f:>{w}}" for f, w in zip(figures, widths[1:], strict=False)),
    ]
    return "  ".join([*shown, last]).rstrip() + "\n"
