"""The phrase language: a recursive descent over the words of one code span.

The formal grammar is printed in the author's guide, `protocols/README.md`; a test holds this
parser against it. Words compare without regard to case; a joining word ends a name.
"""

from __future__ import annotations

import re
from collections.abc import Callable
from dataclasses import replace
from functools import lru_cache

from compiler.findings import Finding, Level, Mark, Rule
from compiler.source import Source, Span
from compiler.syntax import spelling
from compiler.syntax.phrase_words import FORMS, GRIPS, HABITS, OPENINGS
from compiler.syntax.spelling import RESERVED, choice, nearest, quoted
from compiler.syntax.tree import CodeSpan, Name, PhraseTree

UNKNOWN_PHRASE = Rule(
    "unknown-phrase",
    Level.MUST,
    "Words between backticks are no phrase of the phrase language.",
    waivable=False,
)
BROKEN_PHRASE = Rule(
    "broken-phrase",
    Level.MUST,
    "A phrase begins well, but lacks a word or has one that does not belong.",
    waivable=False,
)

RULES = (UNKNOWN_PHRASE, BROKEN_PHRASE)

_NUMBER = re.compile(r"[0-9]{1,4}")
_UNITS = {"s": 1, "min": 60}


def read_phrase(code: CodeSpan) -> tuple[PhraseTree | None, list[Finding]]:
    """The phrase in a code span, and what is wrong with it.

    A misspelt word gives a finding, and is read as the word it was meant to be.
    """
    if not code.words:
        return None, [_unknown(code, "", [])]
    known = _sound(code.words) if len(code.words) <= _USUAL else None
    if known:
        return _said_again(known, code), []
    opening = code.words[0].casefold()
    if opening in OPENINGS:
        return _read(code, opening)
    meant = [] if opening in HABITS else nearest(opening, OPENINGS)
    tree = _read(code, meant[0])[0] if meant else None
    return tree, [_unknown(code, opening, meant)]


_USUAL = 16
"""Words of the longest phrases that are remembered."""


@lru_cache(maxsize=4_096)
def _sound(words: tuple[str, ...]) -> PhraseTree | None:
    """What these words say, somewhere; nothing unless all is well. Protocols repeat phrases."""
    text = " ".join(words)
    code = CodeSpan(words, Span(Source("", text), 0, len(text)))
    opening = words[0].casefold()
    tree, findings = _read(code, opening) if opening in OPENINGS else (None, [])
    return None if findings else tree


def _said_again(tree: PhraseTree, code: CodeSpan) -> PhraseTree:
    """The same phrase in another place."""

    def here(name: Name) -> Name:
        return Name(name.text, code, name.first, name.end)

    return PhraseTree(
        tree.verb,
        code.at,
        tuple([here(name) for name in tree.names]),
        here(tree.place) if tree.place else None,
        here(tree.agent) if tree.agent else None,
        tree.grip,
        tree.assistant,
        tree.on_gloves,
        tree.seconds,
    )


def _read(code: CodeSpan, opening: str) -> tuple[PhraseTree | None, list[Finding]]:
    words = _Words(code, opening)
    try:
        tree = _RULES[opening](words)
        words.end()
    except _Misfit as misfit:
        return None, [*words.findings, misfit.finding]
    return tree, words.findings


def _unknown(code: CodeSpan, opening: str, meant: list[str]) -> Finding:
    written = " ".join(code.words)
    verbs = [HABITS[opening]] if opening in HABITS else meant
    forms = [_shortest(FORMS[OPENINGS[verb.split()[0]]]) for verb in verbs[:2]]
    known = ", ".join(FORMS)
    return Finding(
        UNKNOWN_PHRASE,
        f"{quoted(written)} is not a phrase." if written else "The phrase is empty.",
        Mark(code.word(0, 1).at if code.words else code.at, "not known"),
        remedy=f"write {choice(forms)}" if forms else f"begin with one of: {known}",
        meant=spelling.meant(opening, meant),
    )


def _shortest(form: str) -> str:
    """A form without its optional pieces, as it can be copied."""
    return re.sub(r" \[[^]]*]", "", form).replace("s|min", "s")


class _Misfit(Exception):  # noqa: N818 - a word in the wrong place, caught in this module
    def __init__(self, finding: Finding) -> None:
        self.finding = finding


class _Words:
    """The words of a phrase, read from left to right."""

    def __init__(self, code: CodeSpan, opening: str) -> None:
        self.code = code
        self.keys = [opening, *(word.casefold() for word in code.words[1:])]
        self.verb = OPENINGS[opening]
        self.at = code.at
        self.next = 0
        self.findings: list[Finding] = []

    def misfit(self, message: str, at: Span, remedy: str = "") -> _Misfit:
        remedy = remedy or f"the usual form is: {FORMS[self.verb].replace('|', ' or ')}"
        return _Misfit(Finding(BROKEN_PHRASE, message, Mark(at, "here"), remedy=remedy))

    def opens(self) -> None:
        """Passes over the verb itself, however many words it has."""
        for word in self.verb.split():
            self.expect(word)

    def passes(self, *choices: str) -> str:
        """The next word if it is one of `choices`, and goes past it; else empty."""
        if self.next < len(self.keys) and self.keys[self.next] in choices:
            self.next += 1
            return self.keys[self.next - 1]
        return ""

    def expect(self, *choices: str) -> str:
        """As `passes`, where nothing else can stand."""
        if word := self.passes(*choices):
            return word
        wanted = choice(list(choices))
        found = self.here()
        if self.next < len(self.keys):
            message = f"{quoted(found.text)} stands where the phrase needs {wanted}."
            if meant := nearest(found.text, choices):
                remedy = f"did you mean {choice(meant[:1])}?"
                slip = self.misfit(message, found.at, remedy).finding
                self.findings.append(replace(slip, meant=spelling.meant(found.text, meant)))
                self.next += 1
                return meant[0]
            raise self.misfit(message, found.at)
        raise self.misfit(f"The phrase ends where it needs {wanted}.", found.at)

    def here(self) -> Name:
        """The next word; at the end, the last."""
        at = min(self.next, len(self.keys) - 1)
        return self.code.word(at, at + 1)

    def name(self, noun: str) -> Name:
        """The longest run of words that are not joining words."""
        first = self.next
        while self.next < len(self.keys) and self.keys[self.next] not in RESERVED:
            self.next += 1
        if self.next == first:
            raise self.misfit(f"The phrase does not name {noun}.", self.here().at)
        return self.code.word(first, self.next)

    def end(self) -> None:
        """Nothing may be left."""
        if self.next < len(self.keys):
            left = self.here()
            raise self.misfit(f"{quoted(left.text)} does not belong here.", left.at)


def _plain(words: _Words) -> PhraseTree:
    words.opens()
    return PhraseTree(words.verb, words.at)


def _about(noun: str) -> Callable[[_Words], PhraseTree]:
    """Phrases of a verb and a name."""

    def read(words: _Words) -> PhraseTree:
        words.opens()
        return PhraseTree(words.verb, words.at, (words.name(noun),))

    return read


def _hygiene(words: _Words) -> PhraseTree:
    words.opens()
    on_gloves = bool(words.passes("on") and words.expect("gloves"))
    return PhraseTree(words.verb, words.at, on_gloves=on_gloves)


def _wear(words: _Words) -> PhraseTree:
    words.opens()
    names = (words.name("an item"),)
    place = words.name("a place") if words.passes("from") else None
    assistant = _with_assistant(words)
    return PhraseTree(words.verb, words.at, names, place, assistant=assistant)


def _remove(words: _Words) -> PhraseTree:
    words.opens()
    names = [words.name("an item")]
    while words.passes("and"):
        names.append(words.name("an item"))
    grip = words.expect(*GRIPS) if words.passes("by") else ""
    assistant = _with_assistant(words)
    return PhraseTree(words.verb, words.at, tuple(names), grip=grip, assistant=assistant)


def _with_assistant(words: _Words) -> bool:
    return bool(words.passes("with") and words.expect("assistant"))


def _put_in(words: _Words) -> PhraseTree:
    words.opens()
    names = (words.name("an item"),)
    place = words.name("a place") if words.passes("in") else None
    return PhraseTree(words.verb, words.at, names, place)


def _keep(words: _Words) -> PhraseTree:
    words.opens()
    names = (words.name("an item"),)
    words.expect("on", "in")
    return PhraseTree(words.verb, words.at, names, words.name("a place"))


def _disinfect(words: _Words) -> PhraseTree:
    words.opens()
    names = (words.name("an item or a place"),)
    agent = words.name("an agent") if words.passes("with") else None
    return PhraseTree(words.verb, words.at, names, agent=agent)


def _takes(words: _Words) -> PhraseTree:
    words.opens()
    word = words.here()
    if not _NUMBER.fullmatch(word.text):
        raise words.misfit("The phrase does not give a time as a number.", word.at)
    words.next += 1
    seconds = int(word.text) * _UNITS[words.expect(*_UNITS)]
    return PhraseTree(words.verb, words.at, seconds=seconds)


_RULES: dict[str, Callable[[_Words], PhraseTree]] = {
    "donning": _about("an area"),
    "doffing": _about("an area"),
    "at": _about("an area"),
    "go": _about("an area"),
    "handrub": _hygiene,
    "handwash": _hygiene,
    "wear": _wear,
    "remove": _remove,
    "discard": _put_in,
    "keep": _keep,
    "send": _put_in,
    "disinfect": _disinfect,
    "check": _about("an item"),
    "observed": _plain,
    "touch": _about("a place"),
    "decide": _about("a question"),
    "if": _about("an answer"),
    "takes": _takes,
}
