"""A protocol in another language: every text replaced, and whatever makes that unsafe found."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass, field, replace

from compiler.findings import Finding, Level, Mark, Rule
from compiler.model.clinic import Clinic
from compiler.model.faithful import RULES as FAITHFUL
from compiler.model.faithful import compared, short
from compiler.model.kit import Kit
from compiler.model.protocol import Branch, Fork, Protocol, every_step
from compiler.model.texts import (
    clinic_messages,
    messages,
    reworded,
    reworded_clinic,
    reworded_kit,
)
from compiler.source import Span
from compiler.wording.catalogue import Catalogue
from compiler.wording.messages import Message
from compiler.wording.numbers import folded
from compiler.wording.portable import Entry

TRANSLATION_MISSING = Rule(
    "translation-missing",
    Level.MUST,
    "A text has no translation, so a sheet would mix two languages.",
    waivable=False,
)
TRANSLATION_FUZZY = Rule(
    "translation-fuzzy",
    Level.MUST,
    "A translation is marked as uncertain, so it is not used; often the source text changed.",
    ("gettext-po",),
    waivable=False,
)
TRANSLATION_ANSWERS_ALIKE = Rule(
    "translation-answers-alike",
    Level.MUST,
    "Two answers of one fork differ in the source and read the same in the translation.",
    waivable=False,
)
TRANSLATION_IN_ANOTHER_LANGUAGE = Rule(
    "translation-in-another-language",
    Level.MUST,
    "A translation file says that it is in another language than its folder.",
    waivable=False,
)
TRANSLATION_UNUSED = Rule(
    "translation-unused",
    Level.MAY,
    "A translation is for a text that the protocol does not have.",
    waivable=False,
)
RULES = (
    TRANSLATION_MISSING,
    TRANSLATION_FUZZY,
    TRANSLATION_ANSWERS_ALIKE,
    TRANSLATION_IN_ANOTHER_LANGUAGE,
    TRANSLATION_UNUSED,
    *FAITHFUL,
)
FEW = 3
"""More missing texts than this in one file are told as one finding."""
UPDATE = "run wallward translate, then fill in what is empty"


@dataclass(slots=True)
class _Translator:
    """Looks texts up and keeps what it noticed."""

    catalogue: Catalogue | None
    language: str
    written_in: str = "en"
    """The language of the source texts."""
    findings: list[Finding] = field(default_factory=list)
    used: set[tuple[str, str]] = field(default_factory=set)

    def __call__(self, message: Message) -> str:
        """The translation, or the source text with a finding."""
        if not self.catalogue:
            return message.text
        entry = self.catalogue.find(*message.key)
        if message.key not in self.used:
            self.used.add(message.key)
            self.findings.extend(self._judged(entry, message))
        return folded(entry.text) if entry and entry.usable else message.text

    def _judged(self, entry: Entry | None, message: Message) -> Iterator[Finding]:
        """What is wrong with the translation of one text."""
        shown = short(message.text)
        if entry and entry.usable:
            yield from compared(entry, message, self.written_in, self.language)
        elif entry and entry.text.strip():
            yield Finding(
                TRANSLATION_FUZZY,
                f"The {self.language} translation of {shown} is marked as uncertain.",
                Mark(entry.at, "not used"),
                (Mark(message.at, "the source text"),),
                remedy='correct it, then take away the word "fuzzy" above it',
            )
        else:
            yield Finding(
                TRANSLATION_MISSING,
                f"{shown} has no {self.language} translation.",
                Mark(entry.at if entry else message.at, "nothing yet" if entry else ""),
                (Mark(message.at, "the source text"),) if entry else (),
                remedy="translate this text" if entry else UPDATE,
            )


def translated(
    protocol: Protocol, catalogue: Catalogue | None, language: str, written_in: str = "en"
) -> tuple[Protocol, list[Finding]]:
    """The protocol in `language`, with what stands in the way of printing it.

    Standing answers and answers from the command line name questions in the source language:
    resolve them before translating.
    """
    translator = _Translator(catalogue, language, written_in)
    result = reworded(protocol, translator)
    findings = _closed(translator, messages(protocol), protocol.at, f"“{protocol.title}”")
    for before, after in zip(_forks(protocol), _forks(result), strict=True):
        findings += _answers_alike(before, after, catalogue, language)
    return result, findings


def translated_clinic(
    clinic: Clinic,
    kit: Kit,
    catalogue: Catalogue | None,
    language: str,
    written_in: str = "en",
) -> tuple[Clinic, Kit, list[Finding]]:
    """Clinic and kit in `language`: names that are printed change, keys stay as written."""
    translator = _Translator(catalogue, language, written_in)
    pair = reworded_clinic(clinic, translator), reworded_kit(kit, translator)
    named = f"“{clinic.name}”"
    return *pair, _closed(translator, clinic_messages(clinic, kit), clinic.at, named)


def _closed(
    translator: _Translator, wanted: Iterable[Message], at: Span, named: str
) -> list[Finding]:
    """The findings about the texts, and those about the file as a whole."""
    catalogue, language = translator.catalogue, translator.language
    if not catalogue:
        count = len({message.key for message in wanted})
        message = f"{named} has no {language} translation file; {count} texts are missing."
        return [Finding(TRANSLATION_MISSING, message, Mark(at), remedy=UPDATE)]
    findings = _gathered(translator.findings, language)
    said = catalogue.language
    if said and catalogue.header and _base(said) != _base(language):
        findings.append(
            Finding(
                TRANSLATION_IN_ANOTHER_LANGUAGE,
                f"The file for {language} says that it is in {said}.",
                Mark(_language_line(catalogue)),
                remedy=f"put the right file here, or write Language: {language} in its header",
            )
        )
    findings += (
        Finding(
            TRANSLATION_UNUSED,
            f"The text {short(entry.source)} is not in the protocol.",
            Mark(entry.at),
            remedy="run wallward translate, which puts it aside",
        )
        for key, entry in catalogue.entries.items()
        if key not in translator.used and entry.text
    )
    return findings


def _gathered(findings: list[Finding], language: str) -> list[Finding]:
    """Many missing texts of one file are one fault: the file waits for its translator."""
    missing = [f for f in findings if f.rule is TRANSLATION_MISSING]
    if len(missing) <= FEW:
        return findings
    first = missing[0]
    whole = replace(
        first,
        message=f"{len(missing)} texts have no {language} translation; this is the first.",
        remedy="translate the texts of this file",
    )
    return [whole, *(f for f in findings if f.rule is not TRANSLATION_MISSING)]


def _language_line(catalogue: Catalogue) -> Span:
    """Where the header names the language."""
    start = catalogue.source.text.index("Language:")
    end = catalogue.source.text.find("\\n", start)
    return catalogue.source.span(start, max(end, start + len("Language:")))


def _forks(protocol: Protocol) -> Iterator[Fork]:
    """Every fork, in reading order."""
    for part in protocol.parts:
        yield from (step.fork for step in every_step(part.steps) if step.fork)


def _answers_alike(
    before: Fork, after: Fork, catalogue: Catalogue | None, language: str
) -> Iterator[Finding]:
    """Answers of one fork that a reader of the translation cannot tell apart."""
    seen: dict[str, Branch] = {}
    for source, branch in zip(before.branches, after.branches, strict=True):
        shown = (branch.lead or branch.answer).casefold()
        written = source.lead or source.answer
        first = seen.setdefault(shown, source)
        if first is source or written.casefold() == (first.lead or first.answer).casefold():
            continue
        yield Finding(
            TRANSLATION_ANSWERS_ALIKE,
            f"{short(written)} and {short(first.lead or first.answer)}"
            f" are one and the same in {language}.",
            Mark(_translation_of(source, catalogue), "this answer"),
            (
                Mark(_translation_of(first, catalogue), "reads like this one"),
                Mark(source.at, "the source text"),
            ),
            remedy="translate the two answers so that they differ",
        )


def _translation_of(branch: Branch, catalogue: Catalogue | None) -> Span:
    """Where an answer's words are translated."""
    key = ("branch", branch.lead) if branch.lead else ("answer", branch.answer)
    entry = catalogue.find(*key) if catalogue else None
    return entry.at if entry else branch.at


def _base(tag: str) -> str:
    """The language of a tag, without script and region."""
    return tag.replace("_", "-").partition("-")[0].casefold()
