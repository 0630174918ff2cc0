"""Brings a translation file up to date with the text; no work of a translator is lost."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator
from dataclasses import dataclass, replace
from difflib import SequenceMatcher
from pathlib import PurePosixPath

from compiler.findings import Finding
from compiler.source import Source
from compiler.wording.catalogue import Catalogue, read_catalogue
from compiler.wording.messages import Message
from compiler.wording.portable import Entry
from compiler.wording.review import FIELDS

NEAR = 0.5
"""How alike two texts of the same step are, at least, to be one text edited."""
ALIKE = 0.75
"""The same for texts of different steps, because steps are renumbered."""
Wanted = dict[tuple[str, str], Entry]
"""The texts to be translated, by kind and text, in reading order."""
REMARK = "- "
"""Begins a hint that is no place of the text."""
Remarks = Callable[[tuple[str, str]], Iterable[str]]
"""Takes kind and source text, gives lines for translators."""
ESCAPES = str.maketrans({"\\": "\\\\", '"': '\\"', "\n": "\\n", "\t": "\\t", "\r": "\\r"})


def no_remarks(key: tuple[str, str]) -> Iterable[str]:
    """Nothing to tell beyond place and phrases."""
    return ()


@dataclass(frozen=True, slots=True)
class Updated:
    """A translation file after an update."""

    text: str
    """The whole file; the old text when it is damaged."""
    catalogue: Catalogue
    """The same, read; places are those of the source texts."""
    fresh: int = 0
    """How many texts are new and wait for a translation."""
    changed: int = 0
    """How many have an old translation that must be looked at."""
    retired: int = 0
    """How many went out of use now."""


def update_catalogue(
    old: Source | None,
    messages: Iterable[Message],
    language: str,
    title: str,
    folder: str = "protocols",
    remarks: Remarks = no_remarks,
) -> tuple[Updated, list[Finding]]:
    """The file for `language`, in reading order, the same bytes for the same input.

    Args:
        old: The file as it is, or nothing when there is none yet.
        messages: The texts to be translated.
        language: A BCP 47 tag.
        title: What the file is about, such as clinic and protocol; for the header.
        folder: Written before the file names of references.
        remarks: What else translators are told beside each text.

    Returns:
        The new text, and what is damaged in the old one, which is then left alone.
    """
    known, findings = read_catalogue(old or Source("", ""))
    if findings and old:
        return Updated(old.text, known), findings
    return updated(known, gathered(messages, folder), language, title, remarks), []


def updated(
    known: Catalogue, wanted: Wanted, language: str, title: str, remarks: Remarks = no_remarks
) -> Updated:
    """A file that was read and is not damaged, brought up to date; see `update_catalogue`."""
    gone = [entry for key, entry in known.entries.items() if key not in wanted]
    live: dict[tuple[str, str], Entry] = {}
    fresh = changed = 0
    revivable = {entry.key: entry for entry in reversed(known.retired)}
    for key, entry in wanted.items():
        before = known.entries.get(key) or revivable.get(key)
        if not before and (before := _edited(entry, gone)):
            gone.remove(before)
            before = _doubted(before)
            changed += 1
        elif not before:
            fresh += 1
        live[key] = _carried(entry, before, remarks(key))
    retired = [entry for entry in known.retired if entry.key not in live]
    leaving = [replace(entry, retired=True) for entry in gone if entry.text]
    headers = _fields(known, language, title)
    now = Catalogue(
        known.source,
        headers,
        live,
        (*retired, *leaving),
        known.header,
    )
    return Updated(_file(now, title), now, fresh, changed, len(leaving))


def rewritten(catalogue: Catalogue) -> str:
    """The file with the header that the catalogue has now, its entries as they were."""
    return _file(catalogue, catalogue.headers.get("Project-Id-Version", ""))


def gathered(messages: Iterable[Message], folder: str) -> Wanted:
    """One empty entry for each text, with all the places where it stands."""
    first: dict[tuple[str, str], Message] = {}
    hints: dict[tuple[str, str], dict[str, None]] = {}
    references: dict[tuple[str, str], dict[str, None]] = {}
    names: dict[str, str] = {}
    for message in messages:
        path = message.at.source.path
        if path not in names:
            name = f"{folder}/{PurePosixPath(path).name}"
            # The manual of gettext isolates names with spaces by U+2068 and U+2069.
            names[path] = f"\u2068{name}\u2069" if " " in name else name
        first.setdefault(message.key, message)
        if message.comment:
            hints.setdefault(message.key, {})[message.comment] = None
        place = f"{names[path]}:{message.at.line}"
        references.setdefault(message.key, {})[place] = None
    return {
        key: Entry(
            *key, "", m.at, hints=tuple(hints.get(key, ())), references=tuple(references[key])
        )
        for key, m in first.items()
    }


def _edited(entry: Entry, gone: list[Entry]) -> Entry | None:
    """The translated entry that this text was before the author edited it, if one is likely."""
    best, choice = 0.0, None
    for old in gone:
        if not old.text or old.context != entry.context:
            continue
        same_step = bool(_places(old) & _places(entry))
        ratio = SequenceMatcher(None, old.source, entry.source, autojunk=False).ratio()
        if ratio >= (NEAR if same_step else ALIKE) and ratio + same_step > best:
            best, choice = ratio + same_step, old
    return choice


def _places(entry: Entry) -> set[str]:
    """The steps in its hints, without what the steps do."""
    return {hint.partition(" — ")[0] for hint in entry.hints if not hint.startswith(REMARK)}


def _doubted(old: Entry) -> Entry:
    """The entry marked for a look, with the text that its translation was made for."""
    made_for = old.previous if old.fuzzy and old.previous else old.source
    flags = ("fuzzy", *(flag for flag in old.flags if flag != "fuzzy"))
    return replace(old, previous=made_for, flags=flags)


def _carried(entry: Entry, old: Entry | None, remarks: Iterable[str]) -> Entry:
    """The entry with what a translator did for it before, and with remarks for the next one."""
    hints = (*entry.hints, *(f"{REMARK}{remark}" for remark in remarks))
    return Entry(
        entry.context,
        entry.source,
        old.text if old else "",
        entry.at,
        old.flags if old else (),
        old.notes if old else (),
        hints,
        entry.references,
        old.previous if old else "",
    )


def _file(catalogue: Catalogue, title: str) -> str:
    """Header and entries, an empty line between any two."""
    entries = (*catalogue.entries.values(), *catalogue.retired)
    return "\n".join([_header(catalogue, title), *map(_written, entries)])


def _fields(known: Catalogue, language: str, title: str) -> dict[str, str]:
    """The header's fields; those of other programs are kept.

    A review too: its hash tells whether it still holds.
    """
    fields = {
        "Project-Id-Version": title,
        # What gettext writes until an editor saves the file; some readers refuse an empty date.
        "PO-Revision-Date": "YEAR-MO-DA HO:MI+ZONE",
        "Last-Translator": "",
        "Language-Team": "",
        "Language": language,
        "MIME-Version": "1.0",
        "Content-Type": "text/plain; charset=UTF-8",
        "Content-Transfer-Encoding": "8bit",
        **dict.fromkeys(FIELDS, ""),
    }
    kept = {name: value for name, value in known.headers.items() if value}
    return fields | kept | {"Project-Id-Version": title, "Language": language}


def _header(catalogue: Catalogue, title: str) -> str:
    """The entry with the empty source text."""
    first = f"{title}: {catalogue.headers.get('Language', '')}"
    notes = catalogue.header.notes if catalogue.header else (first,)
    lines = [f"# {note}".rstrip() for note in notes]
    lines += ['msgid ""', 'msgstr ""']
    lines += [_quoted(f"{name}: {value}\n") for name, value in catalogue.headers.items()]
    return "\n".join(lines) + "\n"


def _written(entry: Entry) -> str:
    """An entry as PO lines, one line a text: finding a change in a listing stays easy."""
    return "\n".join(_lines(entry)) + "\n"


def _lines(entry: Entry) -> Iterator[str]:
    """The lines of an entry, in the order that gettext writes them."""
    yield from (f"# {note}".rstrip() for note in entry.notes)
    mark = "#~ " if entry.retired else ""
    if not entry.retired:
        yield from (f"#. {hint}" for hint in entry.hints)
        yield from (f"#: {reference}" for reference in entry.references)
    if entry.flags:
        yield f"#, {', '.join(entry.flags)}"
    if entry.previous and entry.fuzzy:
        yield f"{'#~|' if entry.retired else '#|'} msgid {_quoted(entry.previous)}"
    if entry.context:
        yield f"{mark}msgctxt {_quoted(entry.context)}"
    yield f"{mark}msgid {_quoted(entry.source)}"
    yield f"{mark}msgstr {_quoted(entry.text)}"


def _quoted(text: str) -> str:
    """A text between quotation marks."""
    if text.isprintable() and '"' not in text and "\\" not in text:
        return f'"{text}"'  # as nearly all are
    return f'"{text.translate(ESCAPES)}"'
