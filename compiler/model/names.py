"""Names: which ones may be declared, and what a name in a text refers to."""

from __future__ import annotations

from collections.abc import Iterable

from compiler.findings import Finding, Level, Mark, Rule
from compiler.source import Span
from compiler.syntax.spelling import RESERVED, advice, alike, choice, meant, nearest, quoted
from compiler.syntax.tree import Name, Word

UNKNOWN_ITEM = Rule(
    "unknown-item",
    Level.MUST,
    "An item is named that the kit does not hold.",
    waivable=False,
)
UNKNOWN_PLACE = Rule(
    "unknown-place",
    Level.MUST,
    "A place is named that the clinic does not declare.",
    waivable=False,
)
UNKNOWN_AREA = Rule(
    "unknown-area",
    Level.MUST,
    "An area is named that the clinic does not declare.",
    waivable=False,
)
UNKNOWN_AGENT = Rule(
    "unknown-agent",
    Level.MUST,
    "A disinfectant is named that the clinic does not declare.",
    waivable=False,
)
UNUSABLE_NAME = Rule(
    "unusable-name",
    Level.MUST,
    "A declared name cannot be used in a phrase: it holds a joining word, or is too long.",
    waivable=False,
)
NAME_USED_TWICE = Rule(
    "name-used-twice",
    Level.MUST,
    "An item and a place have the same name.",
    waivable=False,
)

RULES = (
    UNKNOWN_ITEM,
    UNKNOWN_PLACE,
    UNKNOWN_AREA,
    UNKNOWN_AGENT,
    UNUSABLE_NAME,
    NAME_USED_TWICE,
)

_LONGEST = 60


class Names:
    """The declared names of one sort, found whatever their case and spacing."""

    def __init__(self, rule: Rule, noun: str, declared: Iterable[str] | None) -> None:
        """Without declared names, because their file could not be read, any name will do."""
        self.rule = rule
        self.noun = noun
        self.any = declared is None
        self.by_key = {alike(name): name for name in declared or ()}

    def find(
        self, word: Word | Name, findings: list[Finding], others: tuple[Names, ...] = ()
    ) -> str | None:
        """The declared name; the closest one, with a finding; or None, with a finding."""
        key = alike(word.text)
        if (name := self.by_key.get(key)) is not None:
            return name
        if self.any:
            return word.text
        close = nearest(word.text, self.by_key.values())
        message = f"No {self.noun} is called {quoted(word.text)}."
        for other in others:
            if key in other.by_key:
                message = (
                    f"{quoted(other.by_key[key])} names {_a(other.noun)}, not {_a(self.noun)}."
                )
                close = []
        remedy = (
            f"did you mean {choice(close)}?"
            if close
            else advice(word.text, self.by_key.values(), self.noun)
        )
        mark = Mark(word.at, "not known")
        likely = meant(word.text, close)
        findings.append(Finding(self.rule, message, mark, remedy=remedy, meant=likely))
        # Reading on with the likely meaning spares the author a tail of findings
        # that would all go away with this one.
        return close[0] if close else None


def usable(name: str, at: Span, findings: list[Finding]) -> bool:
    """Whether a name can stand in a phrase; a finding when it cannot."""
    words = name.casefold().split()
    joining = [word for word in words if word in RESERVED]
    if not words:
        message, remedy = "The name is empty.", "write a name"
    elif joining:
        message = f"The name {quoted(name)} holds the joining word {quoted(joining[0])}."
        remedy = "leave the word out of the name, or join it to its neighbour with a hyphen"
    elif "`" in name:
        message, remedy = f"The name {quoted(name)} holds a backtick.", "leave it out"
    elif len(name) > _LONGEST:
        message = f"The name {quoted(name)} is longer than {_LONGEST} characters."
        remedy = "shorten it"
    else:
        return True
    findings.append(Finding(UNUSABLE_NAME, message, Mark(at, "declared here"), remedy=remedy))
    return False


def used_twice(name: str, at: Span, first: Span) -> Finding:
    """What is said of an item that is called like a place."""
    return Finding(
        NAME_USED_TWICE,
        f"{quoted(name)} is the name of an item and of a place.",
        Mark(at, "the item"),
        (Mark(first, "the place"),),
        remedy="give one of them another name",
    )


def _a(noun: str) -> str:
    return f"an {noun}" if noun[0] in "aeiou" else f"a {noun}"
