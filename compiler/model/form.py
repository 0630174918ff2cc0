"""A YAML map read as a form: known keys, wanted values, and a finding for whatever differs."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping
from typing import TypeVar

from compiler.findings import Finding, Level, Mark, Rule
from compiler.source import Source, Span
from compiler.syntax import yaml
from compiler.syntax.spelling import advice, alike, folded, meant, nearest, quoted
from compiler.syntax.tree import Entry, Node, Refused, Scalar, Sequence, Word
from compiler.syntax.tree import Mapping as Map

MISSING_KEY = Rule(
    "missing-key",
    Level.MUST,
    "A key that is needed is not there, or is empty.",
    waivable=False,
)
UNKNOWN_KEY = Rule(
    "unknown-key",
    Level.MUST,
    "A key is written that means nothing here.",
    waivable=False,
)
WRONG_VALUE = Rule(
    "wrong-value",
    Level.MUST,
    "A value is not of the kind, or not one of those, that its key takes.",
    waivable=False,
)

RULES = (MISSING_KEY, UNKNOWN_KEY, WRONG_VALUE)

Value = TypeVar("Value")


class Form:
    """One map of keys."""

    def __init__(
        self,
        node: Node | None,
        what: str,
        at: Span,
        keys: tuple[str, ...],
        findings: list[Finding],
    ) -> None:
        """Takes the map apart; `keys` are all that mean something in it."""
        self.what = what
        """What the map describes, as words for a message."""
        self.at = at
        """Where a missing key is missed."""
        self.findings = findings
        self.entries: dict[str, Entry] = {}
        self.broken = not (node is None or isinstance(node, Map))
        """It is no map at all, so that no single key can be missing from it."""
        self.absent: dict[str, str] = {}
        """The keys that are missing, each with an example."""
        self.absence: Finding | None = None
        """The one finding about all of them."""
        if isinstance(node, Map):
            for entry in node.entries:
                if alike(entry.key) in keys:
                    self.entries[alike(entry.key)] = entry
                else:
                    self._unknown(entry, keys)
        elif self.broken and not isinstance(node, Refused):
            self.wrong(at, f"{what[:1].upper()}{what[1:]} is not a map of keys.", _keys(keys))

    def _unknown(self, entry: Entry, keys: tuple[str, ...]) -> None:
        close = [key for key in nearest(entry.key, keys) if key not in self.entries]
        if close:
            # What was meant is likely enough to go on with.
            self.entries.setdefault(close[0], entry)
        self.findings.append(
            Finding(
                UNKNOWN_KEY,
                f"{quoted(entry.key)} is not a key of {self.what}.",
                Mark(entry.key_at, "not known"),
                remedy=advice(
                    entry.key, close or [key for key in keys if key not in self.entries], "key"
                ),
                meant=meant(entry.key, close),
            )
        )

    def wrong(self, at: Span, message: str, remedy: str, likely: str = "") -> None:
        """Reports a value."""
        mark = Mark(at, "here")
        self.findings.append(Finding(WRONG_VALUE, message, mark, remedy=remedy, meant=likely))

    def missing(self, key: str, example: str = "") -> None:
        """Reports a key that is not there."""
        entry = self.entries.get(key)
        if self.broken or (entry is not None and isinstance(entry.value, Refused)):
            return
        if entry is not None:
            message, mark = f"The key {quoted(key)} has no value.", Mark(entry.key_at, "here")
            remedy = (
                f"write {key}: {example}" if example else "write a value, or delete the key"
            )
            self.findings.append(Finding(MISSING_KEY, message, mark, remedy=remedy))
            return
        self.absent[key] = example
        if self.absence is not None:
            self.findings.remove(self.absence)
        keys = ", ".join(map(quoted, self.absent))
        self.absence = Finding(
            MISSING_KEY,
            f"The key{'s' * (len(self.absent) > 1)} {keys} "
            f"{'are' if len(self.absent) > 1 else 'is'} missing from {self.what}.",
            Mark(self.at, "here"),
            remedy="write, for example, "
            + "; ".join(f"{each}: {like}" for each, like in self.absent.items()),
        )
        self.findings.append(self.absence)

    def value(self, key: str) -> Entry | None:
        """The entry, unless it is missing, empty or was refused before."""
        entry = self.entries.get(key)
        if entry is None or isinstance(entry.value, Refused):
            return None
        value = entry.value
        if isinstance(value, Scalar):
            return entry if value.text.strip() else None
        return entry if (value.entries if isinstance(value, Map) else value.items) else None

    def text(self, key: str, example: str = "") -> Word | None:
        """A text; with an `example`, one that must be there."""
        entry = self.value(key)
        if entry is None:
            if example or key in self.entries:
                self.missing(key, example)
            return None
        word = text_of(entry.value)
        if word is None:
            self.wrong(entry.at, f"The value of {quoted(key)} is not a text.", "write one text")
        return word

    def one_of(self, key: str, choices: Mapping[str, Value], default: Value) -> Value:
        """A value that is one of a few words."""
        word = self.text(key)
        return default if word is None else self.chosen(word, key, choices, default)

    def chosen(
        self, word: Word, key: str, choices: Mapping[str, Value], default: Value
    ) -> Value:
        """What `word` stands for; reported, and guessed, when it is none of the choices."""
        known = {alike(name): value for name, value in choices.items()}
        if alike(word.text) in known:
            return known[alike(word.text)]
        close = nearest(word.text, choices)
        self.wrong(
            word.at,
            f"{quoted(word.text)} is not a value that {quoted(key)} takes.",
            advice(word.text, choices, "value"),
            meant(word.text, close),
        )
        return choices[close[0]] if close else default

    def measure(
        self, key: str, read: Callable[[str], Value | None], example: str, default: Value
    ) -> Value:
        """A value with a unit, read by one of the functions of `measures`."""
        word = self.text(key)
        if word is None:
            return default
        found = read(word.text)
        if found is None:
            self.wrong(
                word.at,
                f"The value of {quoted(key)} cannot be read: {quoted(word.text)}.",
                f"write {key}: {example}",
            )
            return default
        return found

    def text_in(self, entry: Entry, message: str, remedy: str) -> Word | None:
        """The text of a row of a map of names; reported when there is none."""
        word = text_of(entry.value)
        if word is not None and word.text:
            return word
        if not isinstance(entry.value, Refused):
            self.wrong(entry.at, message, remedy)
        return None

    def flag(self, key: str, default: bool) -> bool:
        """True or false."""
        return self.one_of(key, {"true": True, "false": False}, default)

    def rows(self, key: str) -> Iterable[Entry]:
        """The entries of a map of names below `key`."""
        entry = self.value(key)
        if entry is None:
            return ()
        if not isinstance(entry.value, Map):
            self.wrong(entry.at, f"{quoted(key)} is not a map of names.", "write NAME: VALUE")
            return ()
        return entry.value.entries

    def texts(self, key: str) -> list[Word]:
        """A list of texts, or one text on its own."""
        entry = self.value(key)
        if entry is None:
            return []
        nodes = entry.value.items if isinstance(entry.value, Sequence) else (entry.value,)
        found: list[Word] = []
        for node in nodes:
            if (word := text_of(node)) is not None and word.text:
                found.append(word)
            elif not isinstance(node, Refused):
                self.wrong(
                    node.at if node.at.text else entry.at,
                    f"{quoted(key)} holds something that is not a text.",
                    f"write {key}: [one, two]",
                )
        return found

    def below(self, key: str, keys: tuple[str, ...]) -> Form:
        """The form below `key`; an empty one when it is not there."""
        entry = self.value(key)
        node = entry.value if entry else None
        return Form(node, f'"{key}"', entry.key_at if entry else self.at, keys, self.findings)


def whole(
    source: Source, keys: tuple[str, ...] | None, what: str
) -> tuple[Map | None, list[Finding]]:
    """The one map that a YAML file must be."""
    node, findings = yaml.read(source)
    at = node.at if node else source.span(0, min(1, len(source.text)))
    if node is None:
        if not findings:
            findings.append(empty(at, what, keys))
        return None, findings
    if not isinstance(node, Map):
        if not isinstance(node, Refused):
            first = source.span(at.start, min(at.end, at.start + 20))
            message = f"{what[:1].upper()}{what[1:]} is not a map of keys."
            remedy = _keys(keys) if keys else "write NAME: {KEY: VALUE}"
            findings.append(Finding(WRONG_VALUE, message, Mark(first, "here"), remedy=remedy))
        return None, findings
    return node, findings


def empty(at: Span, what: str, keys: tuple[str, ...] | None = None) -> Finding:
    """What is said of a file that holds nothing."""
    message = f"{what[:1].upper()}{what[1:]} is empty."
    remedy = _keys(keys) if keys else "write NAME: {KEY: VALUE}"
    return Finding(MISSING_KEY, message, Mark(at, "here"), remedy=remedy)


def text_of(node: Node) -> Word | None:
    """The text of a scalar that holds one; numbers and true or false count as written."""
    return Word(folded(node.text), node.at) if isinstance(node, Scalar) else None


def _keys(keys: tuple[str, ...]) -> str:
    return "write KEY: VALUE with the keys " + ", ".join(keys)
