"""YAML to a tree with places: the 1.2 core schema, and nothing that runs, repeats or refers.

PyYAML gives the events; what a plain word means is decided here, so that `no` stays a word.
"""

from __future__ import annotations

import re
from dataclasses import dataclass, field

import yaml as pyyaml

from compiler.findings import Finding, Level, Mark, Rule
from compiler.source import Source, Span
from compiler.syntax import limits
from compiler.syntax.spelling import alike, folded, quoted
from compiler.syntax.tree import Entry, Mapping, Node, Refused, Scalar, Sequence
from compiler.syntax.yaml_words import explained

BROKEN_YAML = Rule(
    "broken-yaml",
    Level.MUST,
    "The YAML cannot be read: a bracket, quotation mark, colon or the indentation is wrong.",
    ("yaml-1-2-2",),
    waivable=False,
)
UNSUPPORTED_YAML = Rule(
    "unsupported-yaml",
    Level.MUST,
    "A tag, anchor, alias, merge key, directive or second document: only plain data is read.",
    ("yaml-1-2-2",),
    waivable=False,
)
DUPLICATE_KEY = Rule(
    "duplicate-key",
    Level.MUST,
    "A map holds the same key twice.",
    ("yaml-1-2-2",),
    waivable=False,
)
UNREADABLE_SIGN = Rule(
    "unreadable-sign",
    Level.MUST,
    "A control character, or one that overrides the direction of writing, is in the text.",
    ("yaml-1-2-2",),
    waivable=False,
)

RULES = (BROKEN_YAML, UNSUPPORTED_YAML, DUPLICATE_KEY, UNREADABLE_SIGN)

_Loader = getattr(pyyaml, "CSafeLoader", pyyaml.SafeLoader)

# YAML 1.2.2, section 5.1, production c-printable, with two exceptions: a byte order mark may
# stand at the very start only, and the two signs that override the direction of writing may
# not stand anywhere, because a text that holds one is read otherwise than it is checked.
_UNPRINTABLE = re.compile(
    "[^\t\n\r\x20-\x7e\x85\xa0-\u202c\u202f-\ud7ff\ue000-\ufefe\uff00-\ufffd"
    "\U00010000-\U0010ffff]"
)

# YAML 1.2.2, section 10.3.2: what plain scalars of the core schema stand for.
_NULL = {"", "~", "null", "Null", "NULL"}
_TRUE = {"true", "True", "TRUE"}
_FALSE = {"false", "False", "FALSE"}
_INTEGER = re.compile(r"[-+]?[0-9]{1,18}|0o[0-7]{1,20}|0x[0-9a-fA-F]{1,15}")
_FLOAT = re.compile(r"[-+]?(?:\.[0-9]+|[0-9]+(?:\.[0-9]*)?)(?:[eE][-+]?[0-9]+)?")
_NO_NUMBER = re.compile(r"[-+]?\.(?:inf|Inf|INF)|\.(?:nan|NaN|NAN)")


def read(
    source: Source, start: int = 0, end: int | None = None
) -> tuple[Node | None, list[Finding]]:
    """The tree of a stretch of `source`, or None where there is nothing or it is broken."""
    text = source.text[start:end]
    if text.startswith("\ufeff"):
        text, start = text[1:], start + 1
    if bad := unreadable(source, text, start):
        return None, bad
    reading = _Reading(source, start, text)
    try:
        for event in pyyaml.parse(text, Loader=_Loader):
            reading.take(event)
    except pyyaml.MarkedYAMLError as error:
        reading.broken(error)
        return None, reading.findings
    except _Enough:
        return None, reading.findings
    return reading.root, reading.findings


def unreadable(source: Source, text: str, start: int) -> list[Finding]:
    """A finding for the first sign in `text` that is no text, if there is one."""
    match = _UNPRINTABLE.search(text)
    if match is None:
        return []
    at = source.span(start + match.start(), start + match.end())
    return [
        Finding(
            UNREADABLE_SIGN,
            f"The text holds the invisible character U+{ord(match[0]):04X}.",
            Mark(at, "here"),
            remedy="delete it, or save the file again as plain UTF-8 text",
        )
    ]


def meaning(word: str) -> str | int | float | bool | None:
    """What a plain scalar stands for in the core schema.

    >>> [meaning(word) for word in ("no", "yes", "1:30", "2026-11-01", "0o14", "1e3", "~")]
    ['no', 'yes', '1:30', '2026-11-01', 12, 1000.0, None]
    """
    if word in _NULL:
        return None
    if word in _TRUE or word in _FALSE:
        return word in _TRUE
    if word[0] not in "+-.0123456789":
        return word
    if _INTEGER.fullmatch(word):
        return int(word, 0) if word[:2] in ("0o", "0x") else int(word)
    if _NO_NUMBER.fullmatch(word):
        return float(word.replace(".", ""))
    # The length is bounded because turning digits into a number costs their square.
    if len(word) <= 40 and _FLOAT.fullmatch(word):
        return float(word)
    return word


def _places(event: pyyaml.Event) -> tuple[int, int]:
    """Where an event begins and ends; both marks are counted in characters."""
    first, last = event.start_mark, event.end_mark
    return (first.index if first else 0), (last.index if last else 0)


class _Enough(Exception):  # noqa: N818 - never leaves this module, and is no error of the program
    """Reading on would only cost time."""


@dataclass(slots=True)
class _Open:
    """A map or list whose end has not been met."""

    start: int
    entries: list[Entry] | None
    """For a map."""
    items: list[Node]
    """For a list; for a map, the key that waits for its value."""
    keys: dict[str, Span] = field(default_factory=dict)
    refused: bool = False
    """It stands where a key belongs, and is read only to be passed over."""


class _Reading:
    """One run over the events of a stretch of text."""

    def __init__(self, source: Source, start: int, text: str) -> None:
        self.source = source
        self.start = start
        self.text = text
        self.root: Node | None = None
        self.findings: list[Finding] = []
        self.open: list[_Open] = []
        self.documents = 0

    def span(self, start: int, end: int) -> Span:
        """A span of the source, without white space at its end."""
        while end > start and self.text[end - 1].isspace():
            end -= 1
        return Span(self.source, self.start + start, self.start + end)

    def take(self, event: pyyaml.Event) -> None:
        """The next event."""
        start, end = _places(event)
        if isinstance(event, pyyaml.ScalarEvent):
            at = self.span(start, end)
            self._refuse_marks(event, at)
            value = meaning(event.value) if event.implicit[0] else event.value
            self._put(Scalar(value, event.value, at))
        elif isinstance(event, pyyaml.CollectionStartEvent):
            self._refuse_marks(event, self.span(start, end or start + 1))
            self._descend(event, start)
        elif isinstance(event, pyyaml.CollectionEndEvent):
            self._ascend(end)
        elif isinstance(event, pyyaml.AliasEvent):
            at = self.span(start, end)
            self._refuse(f"The alias {quoted('*' + (event.anchor or ''))} is not read.", at)
            self._put(Refused(at))
        elif isinstance(event, pyyaml.DocumentStartEvent):
            self._begin(event, start, end)

    def broken(self, error: pyyaml.MarkedYAMLError) -> None:
        """The one finding of text that is no YAML."""
        place, message, remedy, tagged = explained(error, self.text)
        place = max(0, min(place, len(self.text.rstrip()) - 1))
        rule = UNSUPPORTED_YAML if tagged else BROKEN_YAML
        at = Span(self.source, self.start + place, self.start + min(place + 1, len(self.text)))
        self.findings.append(Finding(rule, message, Mark(at, "here"), remedy=remedy))

    def _begin(self, event: pyyaml.DocumentStartEvent, start: int, end: int) -> None:
        self.documents += 1
        at = self.span(start, max(end, start + 1))
        if self.documents > 1:
            self._refuse("A second document begins here.", at, "keep one document in the file")
            raise _Enough
        if event.version or event.tags:
            self._refuse("A YAML directive is not read.", at, "delete the line")

    def _refuse(self, message: str, at: Span, remedy: str = "") -> None:
        self.findings.append(
            Finding(
                UNSUPPORTED_YAML,
                message,
                Mark(at, "here"),
                remedy=remedy or "write the value out; quote it if it begins with a sign",
            )
        )
        if len(self.findings) >= limits.MOST_REFUSALS:
            raise _Enough

    def _refuse_marks(
        self, event: pyyaml.ScalarEvent | pyyaml.CollectionStartEvent, at: Span
    ) -> None:
        if event.tag is not None:
            self._refuse(f"The tag {quoted(event.tag)} is not read.", at)
        if event.anchor is not None:
            self._refuse(f"The anchor {quoted('&' + event.anchor)} is not read.", at)

    def _descend(self, event: pyyaml.CollectionStartEvent, start: int) -> None:
        if len(self.open) >= limits.DEEPEST_YAML:
            self.findings.append(
                limits.too_deep(self.span(start, start + 1), limits.DEEPEST_YAML)
            )
            raise _Enough
        level = _Open(start, [] if isinstance(event, pyyaml.MappingStartEvent) else None, [])
        level.refused = self._awaits_key()
        self.open.append(level)

    def _awaits_key(self) -> bool:
        return bool(self.open) and self.open[-1].entries is not None and not self.open[-1].items

    def _ascend(self, end: int) -> None:
        level = self.open.pop()
        at = self.span(level.start, end)
        if level.refused:
            self._refuse("A list or map cannot be a key.", at, "use a word as the key")
            self._put(Refused(at))
        elif level.entries is not None:
            self._put(Mapping(tuple(level.entries), at))
        else:
            self._put(Sequence(tuple(level.items), at))

    def _put(self, node: Node) -> None:
        """Give a finished node to the list or map that is open."""
        if not self.open:
            self.root = node
            return
        level = self.open[-1]
        if level.entries is None or not level.items:
            level.items.append(node)
            return
        key = level.items.pop()
        if isinstance(key, Scalar):
            self._enter(level, level.entries, key, node)

    def _enter(self, level: _Open, entries: list[Entry], key: Scalar, node: Node) -> None:
        name = folded(key.text)
        if name == "<<":
            self._refuse("A merge key is not read.", key.at, "write the entries out")
            return
        first = level.keys.setdefault(alike(name), key.at)
        if first is not key.at:
            self.findings.append(
                Finding(
                    DUPLICATE_KEY,
                    f"The key {quoted(name)} occurs twice.",
                    Mark(key.at, "again here"),
                    (Mark(first, "first here"),),
                    remedy="keep one of them",
                )
            )
            return
        entries.append(Entry(name, key.at, node))
