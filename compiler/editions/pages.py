"""The web pages of editions: what is current, what to open and print, what to take down.

Plain HTML without scripts; their own policy (Content Security Policy Level 3) lets them load
nothing. Each check code is an anchor, so that a QR address ending in `#` leads to its sheet.
"""

from __future__ import annotations

import datetime
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from pathlib import PurePosixPath
from urllib.parse import quote

from markupsafe import Markup

from compiler.check_code import shown
from compiler.editions.print_shop import NAME as ZIP
from compiler.editions.record import EditionRecord, PublishedSheet, Tongue, off_the_walls
from compiler.editions.shelf import NUMBER
from compiler.products.html import fill, isolated, unbroken, with_values
from compiler.products.theme import theme_named
from compiler.wording.words import Words, words

SPOKEN = ("poster", "card", "steps", "page", "observer", "tags")
"""What kinds of sheets are called on a page."""


@dataclass(frozen=True, slots=True)
class File:
    """A link to one file of a sheet."""

    address: str
    form: str
    """What it is, for the person who opens it: "PDF, A2"."""


@dataclass(frozen=True, slots=True)
class Entry:
    """One sheet in one language."""

    name: str
    """The kind of sheet, in the page's language."""
    title: str
    tongue: Tongue
    anchors: tuple[str, ...]
    codes: tuple[str, ...]
    links: tuple[str, ...]
    """What its QR codes hold."""
    files: tuple[File, ...]
    tags: tuple[str, ...] = ()
    """The language of each code, where there are several."""
    unreviewed: bool = False


@dataclass(frozen=True, slots=True)
class Group:
    """The sheets of one language under a protocol."""

    tongue: Tongue | None
    """Nothing for sheets that hold all languages."""
    title: str
    entries: tuple[Entry, ...]


@dataclass(frozen=True, slots=True)
class Section:
    """One protocol."""

    anchor: str
    title: str
    facts: tuple[str, ...]
    groups: tuple[Group, ...]


@dataclass(frozen=True, slots=True)
class Gone:
    """A sheet to take off the walls."""

    entry: Entry
    instead: tuple[File, ...]
    """What to hang up in its place; nothing when there is no such sheet any more."""


@dataclass(frozen=True, slots=True)
class Past:
    """What the first page tells of earlier editions."""

    before: EditionRecord | None = None
    """The edition that was current until now."""
    days: tuple[tuple[int, str], ...] = ()
    """Earlier editions with the days they were published, the newest first."""
    older: tuple[tuple[str, int], ...] = ()
    """Codes of still earlier ones that are no longer valid, with their last edition."""


class EditionPage:
    """What a template reads."""

    def __init__(self, record: EditionRecord, past: Past | None, theme: str) -> None:
        """A page of an edition; with its past it is the first page, else the edition's own."""
        self.record, self.past, self.theme = record, past, theme
        self.words: Words = words(record.languages[0].tag)
        self.below = f"edition-{record.edition}/" if past else ""
        before = past.before.languages if past and past.before else ()
        self.tongues = {tongue.tag: tongue for tongue in (*before, *record.languages)}

    def html(self) -> str:
        """The whole document."""
        theme = theme_named(self.theme)
        css = theme.css("editions.css")
        values = {
            "page": self,
            "say": self.words.say,
            "mark": self.mark,
            "number_name": NUMBER,
            "css": Markup(with_values(css, theme.colours)),
        }
        return fill(theme, "editions.html", self.words.direction, values)

    def mark(self, text: str) -> Markup:
        """Text in which numbers, codes and addresses keep their order and stay together."""
        return isolated(text) if self.words.direction == "rtl" else unbroken(text)

    @property
    def published(self) -> str:
        """The day, as the sheets write days."""
        return self.day(self.record.published)

    def day(self, iso: str) -> str:
        """A day as ISO 8601, which nobody misreads, and in the language's own form."""
        try:
            return f"{iso} ({self.words.date(datetime.date.fromisoformat(iso))})"
        except ValueError:
            return iso

    @property
    def zip(self) -> str:
        """Where the print shop's file is."""
        return f"{self.below}{ZIP}"

    @property
    def sections(self) -> Iterator[Section]:
        """The protocols, then what is of the whole set."""
        titles = [*self.record.titles.items(), ("", self.record.clinic)]
        for number, (name, title) in enumerate(titles, 1):
            sheets = [sheet for sheet in self.record.sheets if sheet.protocol == name]
            if sheets:
                facts = tuple(self._facts(sheets[0])) if name else ()
                groups = tuple(self._groups(sheets, title))
                yield Section(f"protocol-{number}", title, facts, groups)

    def _facts(self, sheet: PublishedSheet) -> Iterator[str]:
        say = self.words.say
        if sheet.edition:
            yield say("Edition {edition}", edition=sheet.edition)
        if sheet.valid_from:
            yield say("Valid from {date}", date=self.day(sheet.valid_from))
        if sheet.review_by:
            yield say("Review by {date}", date=self.day(sheet.review_by))

    def _groups(self, sheets: Sequence[PublishedSheet], title: str) -> Iterator[Group]:
        several = [s for s in sheets if len(s.shown) > 1]
        for tongue in self.record.languages:
            own = [
                self._entry(sheet, self.below)
                for sheet in sheets
                if len(sheet.shown) == 1 and sheet.shown[0].language == tongue.tag
            ]
            if own:
                yield Group(tongue, own[0].title or title, tuple(own))
        if several:
            yield Group(None, title, tuple(self._entry(s, self.below) for s in several))

    def _entry(self, sheet: PublishedSheet, below: str) -> Entry:
        first = sheet.shown[0]
        return Entry(
            name=self.words.say(sheet.product),
            title=first.title,
            tongue=self.tongues.get(first.language, Tongue(first.language, "", "ltr")),
            anchors=tuple(s.code for s in sheet.shown),
            codes=tuple(shown(s.code) for s in sheet.shown),
            links=tuple(dict.fromkeys(s.link for s in sheet.shown)),
            files=tuple(_files(sheet, below)),
            tags=tuple(s.language for s in sheet.shown) if len(sheet.shown) > 1 else (),
            unreviewed=not all(s.reviewed for s in sheet.shown),
        )

    @property
    def gone(self) -> list[Gone]:
        """Sheets of the edition before whose codes are no longer valid."""
        before = self.past.before if self.past else None
        if not before:
            return []
        off = set(off_the_walls(before, self.record))
        new = {key: sheet for sheet in self.record.sheets for key in sheet.places}
        return [
            Gone(
                self._entry(_only(sheet, off), f"edition-{before.edition}/"),
                self._instead(new.get(_only(sheet, off).places[0])),
            )
            for sheet in before.sheets
            if off & {s.code for s in sheet.shown}
        ]

    def _instead(self, sheet: PublishedSheet | None) -> tuple[File, ...]:
        return tuple(_files(sheet, self.below)) if sheet else ()


def _only(sheet: PublishedSheet, codes: set[str]) -> PublishedSheet:
    """The sheet with only those of its languages that have these codes."""
    kept = tuple(s for s in sheet.shown if s.code in codes)
    return PublishedSheet(
        sheet.product,
        sheet.protocol,
        sheet.edition,
        sheet.valid_from,
        sheet.review_by,
        kept,
        sheet.files,
    )


def _files(sheet: PublishedSheet, below: str) -> Iterator[File]:
    for file in sheet.files:
        ending = PurePosixPath(file.name).suffix.lstrip(".").upper()
        forms: Iterable[str] = filter(None, (ending, file.paper))
        yield File(quote(f"{below}{file.name}"), ", ".join(forms))
