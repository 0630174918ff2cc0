"""The gettext PO format as text: lines in, entries with places out, every damage reported.

The format is the one of the GNU gettext manual, section "The Format of PO Files". Read here
strictly, because a reader that guesses would drop a caution from a wall without a word.
"""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import dataclass, field

from compiler.source import Source, Span

STRING = re.compile(
    r"(?P<word>msgctxt|msgid_plural|msgid|msgstr)?(?P<index>\[\d+\])?[ \t]*"
    r'"(?P<text>(?:[^"\\]|\\.)*)"[ \t]*'
)
PLAIN = re.compile(
    r"(?P<comments>(?:#[ .:].*\n)*)"
    r'(?:msgctxt "(?P<context>[^"\\\x00-\x1f\x7f]*)"\n)?'
    r'msgid "(?P<source>[^"\\\x00-\x1f\x7f]+)"\n'
    r'msgstr "(?P<text>[^"\\\x00-\x1f\x7f]*)"\n(?=\n|\Z)'
)
KEYS = ("msgctxt", "msgid ", "|")
ESCAPE = re.compile(r"\\(.)")
SIGNS = {"n": "\n", "t": "\t", "r": "\r", '"': '"', "\\": "\\"}
CONTROL = re.compile(r"[\x00-\x08\x0b-\x1f\x7f]")


@dataclass(frozen=True, slots=True)
class Entry:
    """One text and its translation."""

    context: str
    """`msgctxt`: the kind of text; empty when there is none."""
    source: str
    """`msgid`: the source text, which together with the context is the key."""
    text: str
    """`msgstr`: the translation; empty when there is none yet."""
    at: Span
    """The words of the translation, or the empty quotes that wait for it."""
    flags: tuple[str, ...] = ()
    notes: tuple[str, ...] = ()
    """What translators wrote (`# …`)."""
    hints: tuple[str, ...] = ()
    """What the compiler wrote for translators (`#. …`)."""
    references: tuple[str, ...] = ()
    """Where the text stands (`#: …`), one line each."""
    previous: str = ""
    """The source text that the translation was made for, when it has changed since."""
    retired: bool = False
    """Whether the protocol no longer has this text (`#~`)."""

    @property
    def key(self) -> tuple[str, str]:
        """What it is found by."""
        return self.context, self.source

    @property
    def fuzzy(self) -> bool:
        """Whether somebody must look at it before it may be used."""
        return "fuzzy" in self.flags

    @property
    def usable(self) -> bool:
        """Whether it may be printed."""
        return bool(self.text.strip()) and not self.fuzzy and not self.retired


@dataclass(frozen=True, slots=True)
class Damage:
    """A place where the file is not a PO file."""

    at: Span
    message: str


@dataclass(slots=True)
class _Draft:
    """An entry while its lines are read."""

    strings: dict[str, str] = field(default_factory=dict)
    """By keyword; previous texts have a bar before it."""
    comments: dict[str, list[str]] = field(default_factory=dict)
    """By the sign after the number sign."""
    word: str = ""
    """The keyword that a continued string belongs to."""
    first: tuple[int, int] = (0, 0)
    """Where its first keyword stands."""
    words_at: tuple[int, int] = (0, 0)
    """Where the first non-empty piece of the translation stands."""
    retired: bool = False
    broken: bool = False

    @property
    def begun(self) -> bool:
        """Whether any line went into it."""
        return bool(self.strings or self.comments or self.retired or self.broken)


def read_entries(source: Source) -> Iterator[Entry | Damage]:
    """Entries in the order written, damages where they are met; a damaged entry is left out."""
    text = source.text.removeprefix("\ufeff")
    shift = len(source.text) - len(text)
    draft = _Draft()
    start = 0
    while start <= len(text):
        if not draft.begun and (plain := PLAIN.match(text, start)):
            yield _plain_entry(plain, source, shift)
            start = plain.end()
        end = text.find("\n", start)
        end = len(text) if end < 0 else end
        line = text[start:end].strip()
        offset = text.find(line, start) + shift
        start = end + 1
        if _begins_another(draft, line):
            yield from _finish(draft, source)
            draft = _Draft()
        problem = _take(draft, line, offset)
        if problem and not draft.broken:
            draft.broken = True
            if not draft.retired:
                yield Damage(source.span(offset, offset + len(line)), problem)
    yield from _finish(draft, source)


def _plain_entry(found: re.Match[str], source: Source, shift: int) -> Entry:
    """An entry written as most are, taken whole: five times as fast as line by line."""
    comments: dict[str, list[str]] = {}
    for line in found["comments"].splitlines():
        comments.setdefault(line[1], []).append(line[2:].strip())
    start, end = found.span("text")
    edge = 0 if end > start else 1
    return Entry(
        context=found["context"] or "",
        source=found["source"],
        text=found["text"],
        at=source.span(start + shift - edge, end + shift + edge),
        notes=tuple(comments.get(" ", ())),
        hints=tuple(comments.get(".", ())),
        references=tuple(comments.get(":", ())),
    )


def _begins_another(draft: _Draft, text: str) -> bool:
    """Whether this line belongs to the next entry. Empty lines inside an entry are lawful."""
    done = draft.broken or "msgstr" in draft.strings
    if not text or not (done or draft.strings):
        return done
    retired = text.startswith("#~")
    if retired and draft.retired:
        text = text[2:].lstrip()
    elif text[0] == "#":
        return done or retired or "msgid" in draft.strings
    elif draft.retired:
        return True
    return text.startswith(KEYS) and (done or "msgid" in draft.strings)


def _take(draft: _Draft, text: str, offset: int) -> str:
    """Put one line into the draft; what is wrong with it, or nothing."""
    if text.startswith("#~"):
        draft.retired = True
        rest = text[2:].lstrip()
        offset += len(text) - len(rest)
        text = "#" + rest if rest.startswith("|") else rest
    if text.startswith("#|"):
        rest = text[2:].lstrip()
        return _take_string(draft, rest, offset + len(text) - len(rest), "|")
    if text.startswith("#"):
        sign = text[1] if text[1:2] and text[1] in ".:," else " "
        content = text[2:] if sign != " " else text[1:]
        draft.comments.setdefault(sign, []).append(content.strip())
        return ""
    return _take_string(draft, text, offset, "") if text else ""


def _take_string(draft: _Draft, text: str, offset: int, mark: str) -> str:
    """Put one string line into the draft; what is wrong with it, or nothing."""
    found = STRING.fullmatch(text)
    if not found:
        return _what_is_wrong(text)
    word = found["word"] or ""
    if word == "msgid_plural" or found["index"]:
        return "Plural forms are not used here: each text has one translation."
    if word and (problem := _out_of_order(draft, word, mark)):
        return problem
    if word:
        draft.word = mark + word
        draft.strings[draft.word] = ""
        if len(draft.strings) == 1:
            draft.first = (offset, offset + len(word))
    elif draft.word[:1] != mark if mark else draft.word[:1] in ("", "|"):
        return "This line continues a text, and there is none before it."
    piece, problem = _unescaped(found["text"])
    if draft.word == "msgstr" and not draft.strings["msgstr"]:
        quote = offset + found.start("text")
        draft.words_at = (
            (quote, quote + len(found["text"])) if piece else (quote - 1, quote + 1)
        )
    draft.strings[draft.word] += piece
    return problem


def _out_of_order(draft: _Draft, word: str, mark: str) -> str:
    """Whether this keyword may not come here."""
    if mark + word in draft.strings:
        return f"This entry has {word} twice."
    if not mark and word == "msgctxt" and "msgid" in draft.strings:
        return "msgctxt stands before msgid."
    if not mark and word == "msgstr" and "msgid" not in draft.strings:
        return "This entry has no msgid."
    return ""


def _what_is_wrong(text: str) -> str:
    """Say why a line is not a string line."""
    word = text[: len(text) - len(text.lstrip("_abcdefghijklmnopqrstuvwxyz"))]
    if not word.startswith("msg") and text[:1] != '"':
        return "This line is neither a comment nor a text in quotes."
    if word not in ("", "msgctxt", "msgid", "msgstr"):
        return "Only msgctxt, msgid and msgstr may stand before a text."
    body = text.removeprefix(word).lstrip()
    if not body.startswith('"'):
        return "A text begins with a straight quotation mark."
    if re.fullmatch(r'"(?:[^"\\]|\\.)*', body):
        return "This text has no quotation mark at its end."
    return 'A quotation mark inside a text is written \\".'


def _unescaped(text: str) -> tuple[str, str]:
    """The text meant, and what is wrong with it."""
    if "\\" in text:
        strange = next((s for s in ESCAPE.findall(text) if s not in SIGNS), "")
        if strange:
            return "", f"A backslash before {strange} has no meaning here."
        text = ESCAPE.sub(lambda found: SIGNS[found[1]], text)
    if CONTROL.search(text.replace("\r", "")):
        return "", "This text holds a control character."
    return text, ""


def _finish(draft: _Draft, source: Source) -> Iterator[Entry | Damage]:
    """The entry that the lines make."""
    strings = draft.strings
    if draft.broken or not strings:
        return
    if "msgid" not in strings or "msgstr" not in strings:
        absent = "msgstr" if "msgid" in strings else "msgid"
        if not draft.retired:
            yield Damage(source.span(*draft.first), f"This entry has no {absent}.")
        return
    comments = draft.comments
    flags = [flag.strip() for line in comments.get(",", ()) for flag in line.split(",")]
    yield Entry(
        context=strings.get("msgctxt", ""),
        source=strings["msgid"],
        text=strings["msgstr"],
        at=source.span(*draft.words_at),
        flags=tuple(flags),
        notes=tuple(comments.get(" ", ())),
        hints=tuple(comments.get(".", ())),
        references=tuple(comments.get(":", ())),
        previous=strings.get("|msgid", ""),
        retired=draft.retired,
    )
