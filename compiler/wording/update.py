"""Brings a translation file up to date with the text; no work of a translator is lost."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass, replace
from difflib import SequenceMatcher
from pathlib import PurePosixPath

from compiler.findings import Finding
from compiler.source import Source
from compiler.wording.catalogue import Catalogue, read_catalogue
from compiler.wording.messages import Message
from compiler.wording.portable import Entry

NEAR = 0.5
"""How alike two texts of the same step are, at least, to be one text edited."""
ALIKE = 0.75
"""The same for texts of different steps, because steps are renumbered."""
ESCAPES = str.maketrans({"\\": "\\\\", '"': '\\"', "\n": "\\n", "\t": "\\t", "\r": "\\r"})
REVIEW = ("X-Reviewed-By", "X-Review-Date")


@dataclass(frozen=True, slots=True)
class Updated:
    """A translation file after an update."""

    text: str
    """The whole file; the old text when it is damaged."""
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
) -> tuple[Updated, list[Finding]]:
    """The file for `language`, in reading order, the same bytes for the same input.

    Args:
        old: The file as it is, or nothing when there is none yet.
        messages: The texts to be translated.
        language: A BCP 47 tag.
        title: What the file is about, such as clinic and protocol; for the header.
        folder: Written before the file names of references.

    Returns:
        The new text, and what is damaged in the old one, which is then left alone.
    """
    known, findings = read_catalogue(old or Source("", ""))
    if findings and old:
        return Updated(old.text), findings
    wanted = _wanted(messages, folder)
    gone = [entry for key, entry in known.entries.items() if key not in wanted]
    live: list[Entry] = []
    fresh = changed = 0
    for entry in wanted.values():
        before = known.entries.get(entry.key) or _revived(known, entry)
        if not before and (before := _edited(entry, gone)):
            gone.remove(before)
            before = _doubted(before)
            changed += 1
        elif not before:
            fresh += 1
        live.append(_carried(entry, before))
    keys = {entry.key for entry in live}
    retired = [entry for entry in known.retired if entry.key not in keys]
    leaving = [replace(entry, retired=True) for entry in gone if entry.text]
    differs = bool(old) and keys != set(known.entries)
    blocks = [
        _header(known, language, title, differs),
        *map(_written, [*live, *retired, *leaving]),
    ]
    return Updated("\n".join(blocks), fresh, changed, len(leaving)), []


def _wanted(messages: Iterable[Message], folder: str) -> dict[tuple[str, str], Entry]:
    """One empty entry for each text, with all the places where it stands."""
    wanted: dict[tuple[str, str], Entry] = {}
    for message in messages:
        entry = wanted.get(message.key) or Entry(message.context, message.text, "", message.at)
        name = f"{folder}/{PurePosixPath(message.at.source.path).name}"
        # The manual of gettext isolates names with spaces by U+2068 and U+2069.
        name = f"\u2068{name}\u2069" if " " in name else name
        wanted[message.key] = replace(
            entry,
            hints=_once(entry.hints, message.comment),
            references=_once(entry.references, f"{name}:{message.at.line}"),
        )
    return wanted


def _once(lines: tuple[str, ...], line: str) -> tuple[str, ...]:
    """The lines with one more, unless it is there or empty."""
    return lines if line in lines or not line else (*lines, line)


def _revived(known: Catalogue, entry: Entry) -> Entry | None:
    """A retired entry for exactly this text: the author took it back."""
    return next((old for old in known.retired if old.key == entry.key), None)


def _edited(entry: Entry, gone: list[Entry]) -> Entry | None:
    """The translated entry that this text was before the author edited it, if one is likely."""
    best, choice = 0.0, None
    for old in gone:
        if not old.text or old.context != entry.context:
            continue
        same_step = bool(set(map(_place, old.hints)) & set(map(_place, entry.hints)))
        ratio = SequenceMatcher(None, old.source, entry.source, autojunk=False).ratio()
        if ratio >= (NEAR if same_step else ALIKE) and ratio + same_step > best:
            best, choice = ratio + same_step, old
    return choice


def _place(hint: str) -> str:
    """The step in a hint, without what the step does."""
    return hint.partition(" — ")[0]


def _doubted(old: Entry) -> Entry:
    """The entry marked for a look, with the text that its translation was made for."""
    made_for = old.previous if old.fuzzy and old.previous else old.source
    flags = ("fuzzy", *(flag for flag in old.flags if flag != "fuzzy"))
    return replace(old, previous=made_for, flags=flags)


def _carried(entry: Entry, old: Entry | None) -> Entry:
    """The entry with what a translator did for it before."""
    if not old:
        return entry
    return replace(
        entry, text=old.text, flags=old.flags, notes=old.notes, previous=old.previous
    )


def _header(known: Catalogue, language: str, title: str, differs: bool) -> str:
    """The entry with the empty source text; fields of other programs are kept.

    A review holds for the texts that were reviewed: it goes when texts come or go.
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
        **dict.fromkeys(REVIEW, ""),
    }
    kept = {name: value for name, value in known.headers.items() if value}
    fields |= kept | {"Project-Id-Version": title, "Language": language}
    if differs:
        fields |= dict.fromkeys(REVIEW, "")
    notes = known.header.notes if known.header else (f"{title}: {language}",)
    lines = [f"# {note}".rstrip() for note in notes]
    lines += ['msgid ""', 'msgstr ""']
    lines += [_quoted(f"{name}: {value}\n") for name, value in fields.items()]
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
    return f'"{text.translate(ESCAPES)}"'
