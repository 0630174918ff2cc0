"""A language's catalogue: translations found by kind of text and exact source text."""

from __future__ import annotations

from dataclasses import dataclass

from compiler.findings import Finding, Level, Mark, Rule
from compiler.source import Source
from compiler.wording.portable import Damage, Entry, read_entries

CATALOGUE_DAMAGED = Rule(
    "catalogue-damaged",
    Level.MUST,
    "A translation file breaks the PO format, so some of its texts cannot be read.",
    ("gettext-po",),
    waivable=False,
)
CATALOGUE_ENTRY_REPEATED = Rule(
    "catalogue-entry-repeated",
    Level.MUST,
    "A translation file translates the same text twice.",
    ("gettext-po",),
    waivable=False,
)
RULES = (CATALOGUE_DAMAGED, CATALOGUE_ENTRY_REPEATED)


@dataclass(frozen=True, slots=True)
class Catalogue:
    """One PO file, read."""

    source: Source
    headers: dict[str, str]
    """The header's fields, in the order written."""
    entries: dict[tuple[str, str], Entry]
    """By kind and source text, in the order written; neither the header nor retired ones."""
    retired: tuple[Entry, ...] = ()
    """Texts that are no longer in use; never printed, kept for translators."""
    header: Entry | None = None
    """The entry with the empty source text."""

    def find(self, context: str, text: str) -> Entry | None:
        """The entry for exactly this text; nothing is ever guessed."""
        return self.entries.get((context, text))

    @property
    def language(self) -> str:
        """The BCP 47 tag in its header, or empty."""
        return self.headers.get("Language", "").replace("_", "-")


def read_catalogue(source: Source) -> tuple[Catalogue, list[Finding]]:
    """Everything in the file that can be read, and a finding for all that cannot."""
    entries: dict[tuple[str, str], Entry] = {}
    retired: list[Entry] = []
    findings: list[Finding] = []
    for entry in read_entries(source):
        if isinstance(entry, Damage):
            findings.append(
                Finding(
                    CATALOGUE_DAMAGED,
                    entry.message,
                    Mark(entry.at, "cannot be read"),
                    remedy="mend this line in a text editor, or take the entry out",
                )
            )
        elif entry.retired:
            retired.append(entry)
        elif entry.key in entries:
            findings.append(_repeated(entry, entries[entry.key]))
        else:
            entries[entry.key] = entry
    header = entries.pop(("", ""), None)
    headers = _fields(header.text) if header else {}
    return Catalogue(source, headers, entries, tuple(retired), header), findings


def _repeated(entry: Entry, first: Entry) -> Finding:
    """The finding for a text translated twice; the first translation counts."""
    return Finding(
        CATALOGUE_ENTRY_REPEATED,
        f"“{entry.source}” is translated twice in this file.",
        Mark(entry.at, "again here"),
        (Mark(first.at, "first here"),),
        remedy="keep the better translation and delete the other entry",
    )


def _fields(text: str) -> dict[str, str]:
    """The header's lines as fields."""
    pairs = (line.partition(":") for line in text.split("\n") if ":" in line)
    return {name.strip(): value.strip() for name, _, value in pairs}
