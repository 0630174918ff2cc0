"""The phases in order: read, build, prove, translate, lay out, write. Read this file first."""

from __future__ import annotations

import datetime
from collections.abc import Iterable, Iterator
from dataclasses import dataclass, field, replace
from pathlib import Path

from compiler.analysis.memory import Memory
from compiler.analysis.world import Setting
from compiler.catalogue import check
from compiler.content import content_of, kept_hashes, of_the_set
from compiler.findings import Finding, in_reading_order
from compiler.model.clinic import Clinic
from compiler.model.kit import Kit
from compiler.model.protocol import Protocol, every_step
from compiler.model.read_clinic import read_clinic
from compiler.model.read_kit import read_kit
from compiler.model.read_protocol import read_protocol
from compiler.model.sign_offs import SignOff, read_sign_offs
from compiler.model.texts import clinic_messages, messages
from compiler.model.translate import translated, translated_clinic
from compiler.products.theme_choice import chosen, theme_findings
from compiler.rules import keeping, translations
from compiler.source import Source, Span
from compiler.storage import CLINIC, KIT, SIGN_OFFS, TRANSLATIONS, open_source, protocols_in
from compiler.wording.catalogue import Catalogue, read_catalogue
from compiler.wording.messages import Message
from compiler.wording.packaged import packaged, without_words
from compiler.wording.review import reviewed

NEWEST = 20
"""So many of the last sign-offs are looked at when a set is validated."""
Translations = dict[tuple[str, str], Catalogue]
"""Catalogues by language and name: a protocol's name, or `clinic`."""


@dataclass(frozen=True, slots=True)
class ProtocolSet:
    """A set as read: what could be built, and every finding on the way."""

    clinic: Clinic | None
    kit: Kit | None
    protocols: tuple[Protocol, ...]
    translations: Translations
    sources: dict[str, Source] = field(repr=False)
    """Every file read, by name: clinic.yaml, kit.yaml, NAME.md, es/NAME.po."""
    findings: tuple[Finding, ...]
    folder: Path | None = None
    """Where it was read from; nothing for a set given as texts."""
    sign_offs: tuple[SignOff, ...] = ()
    """Who approved or refused it, and just which text; read with a whole set only."""

    @property
    def foreign(self) -> tuple[str, ...]:
        """The languages that need a translation."""
        return self.clinic.languages[1:] if self.clinic else ()

    @property
    def answers(self) -> dict[str, tuple[str, ...]]:
        """Every question that the protocols ask, with its answers."""
        asked: dict[str, dict[str, None]] = {}
        for protocol in self.protocols:
            for part in protocol.parts:
                for step in every_step(part.steps):
                    if step.fork:
                        known = asked.setdefault(step.fork.question, {})
                        known.update(dict.fromkeys(b.answer for b in step.fork.branches))
        return {question: tuple(answers) for question, answers in asked.items()}

    def without(self, paths: set[str]) -> ProtocolSet:
        """The set without the protocols of these files; none at all when it cannot be built."""
        left = tuple(p for p in self.protocols if p.source.path not in paths)
        shared = {s.path for n, s in self.sources.items() if n in (CLINIC, KIT)}
        return replace(self, protocols=() if shared & paths else left)


@dataclass(frozen=True, slots=True)
class Version:
    """One protocol in one language, with clinic and kit in the same."""

    protocol: Protocol
    clinic: Clinic
    kit: Kit
    language: str
    reviewed: bool
    """Whether a person has reviewed the translation; the source language needs none."""
    findings: tuple[Finding, ...]
    sources: tuple[Source, ...] = ()
    """The files that its words are written in."""


def read_texts(sources: dict[str, Source], folder: Path | None = None) -> ProtocolSet:
    """Builds clinic, kit, protocols and catalogues from sources by name."""
    findings: list[Finding] = []
    clinic = kit = None
    protocols: list[Protocol] = []
    translations: Translations = {}
    if CLINIC in sources:
        clinic, told = read_clinic(sources[CLINIC])
        findings += told
    if clinic and KIT in sources:
        kit, told = read_kit(sources[KIT], clinic)
        findings += told
    for name, source in sources.items():
        if name.endswith(".md") and clinic and kit:
            protocol, told = read_protocol(source, clinic, kit)
            findings += told
            protocols += [protocol] if protocol else []
        elif name.endswith(".po"):
            language, _, stem = name.removesuffix(".po").partition("/")
            translations[language, stem], told = read_catalogue(source)
            findings += told
    signed: tuple[SignOff, ...] = ()
    if SIGN_OFFS in sources:
        signed, told = read_sign_offs(sources[SIGN_OFFS])
        findings += told
    told_in_order = tuple(in_reading_order(findings))
    return ProtocolSet(
        clinic, kit, tuple(protocols), translations, sources, told_in_order, folder, signed
    )


def open_set(folder: Path, files: Iterable[Path]) -> ProtocolSet:
    """Reads a set from disk, with the translations of the protocols wanted.

    Raises:
        UnreadableSourceError: when one of its files cannot be used at all.
    """
    files = list(files)
    sources = {path.name: open_source(path) for path in (folder / CLINIC, folder / KIT, *files)}
    stems = ["clinic", *(path.stem for path in files)]
    for path in sorted((folder / TRANSLATIONS).glob("*/*.po")):
        if path.stem in stems:
            sources[f"{path.parent.name}/{path.name}"] = open_source(path)
    if set(files) == set(protocols_in(folder)) and (folder / SIGN_OFFS).exists():
        sources[SIGN_OFFS] = open_source(folder / SIGN_OFFS)
    return read_texts(sources, folder)


def in_language(protocol_set: ProtocolSet, protocol: Protocol, language: str) -> Version:
    """A protocol in one language of its clinic, with what is wrong with the translation."""
    clinic, kit = protocol_set.clinic, protocol_set.kit
    assert clinic
    assert kit
    written_in = clinic.languages[0]
    sources = _sources(protocol_set, protocol.name, language)
    if language == written_in:
        return Version(protocol, clinic, kit, language, True, (), sources)
    words = protocol_set.translations.get((language, "clinic"))
    text = protocol_set.translations.get((language, protocol.name))
    fixed = packaged(language)
    its_clinic, its_kit, told = translated_clinic(clinic, kit, words, language, written_in)
    foreign, told_too = translated(protocol, text, language, written_in)
    told += (
        *told_too,
        *translations.checked(words, words, fixed, language),
        *translations.checked(text, words, None, language),
    )
    is_reviewed = reviewed(words, fixed) and reviewed(text)
    return Version(
        foreign,
        its_clinic,
        its_kit,
        language,
        is_reviewed,
        tuple(in_reading_order(told)),
        sources,
    )


def _sources(protocol_set: ProtocolSet, name: str, language: str) -> tuple[Source, ...]:
    """The files that a sheet's words come from, its protocol's first."""
    clinic = protocol_set.clinic
    native = clinic is not None and language == clinic.languages[0]
    names = (
        (f"{name}.md", CLINIC, KIT)
        if native
        else (f"{language}/{name}.po", f"{language}/clinic.po")
    )
    found = map(protocol_set.sources.get, names)
    return tuple(source for source in found if source)


def validated(
    protocol_set: ProtocolSet,
    languages: Iterable[str] | None = None,
    on: datetime.date | None = None,
) -> list[Finding]:
    """Every finding of a set: reading it, proving each protocol, and every translation.

    Args:
        protocol_set: The set.
        languages: Those whose translations are wanted; nothing for all of the clinic's.
        on: The day as of which owner, edition and dates are judged; nothing to leave them out.
    """
    findings = list(protocol_set.findings)
    wanted = protocol_set.foreign if languages is None else tuple(languages)
    if protocol_set.clinic and protocol_set.kit:
        spoken = protocol_set.clinic.languages if languages is None else wanted
        findings += without_words(_places_of(protocol_set.clinic, spoken))
        findings += _signed_otherwise(protocol_set)
        findings += theme_findings(protocol_set.clinic, protocol_set.folder)
        memory = Memory(Setting(protocol_set.clinic, protocol_set.kit))
        for protocol in protocol_set.protocols:
            findings += check(protocol, protocol_set.clinic, protocol_set.kit, memory)
            findings += keeping.checked(protocol, on) if on else ()
            for language in wanted:
                findings += in_language(protocol_set, protocol, language).findings
    return in_reading_order(findings)


def _signed_otherwise(protocol_set: ProtocolSet) -> Iterator[Finding]:
    """Worth a look when there are sign-offs and none is for the text as it is now."""
    newest = protocol_set.sign_offs[-NEWEST:]
    source = protocol_set.sources.get(SIGN_OFFS)
    if source and newest and not any(covers(sign_off, protocol_set) for sign_off in newest):
        yield keeping.signed_otherwise(source)


def covers(sign_off: SignOff, protocol_set: ProtocolSet) -> bool:
    """Whether a sign-off is for the clinic's own files as they are now, whatever the theme.

    Where what was signed is no longer kept, the theme and the compiler must be the same too.
    """
    folder = protocol_set.folder
    kept = kept_hashes(folder, sign_off.content) if folder else None
    if kept is None:
        theme = chosen("", protocol_set.clinic, folder)
        return (
            content_of(protocol_set.sources, sign_off.languages, theme).hash == sign_off.content
        )
    now = content_of(protocol_set.sources, sign_off.languages)
    then, found = ({n: h for n, h in x.items() if of_the_set(n)} for x in (kept, now.hashes))
    return then == found


def _places_of(clinic: Clinic, tags: Iterable[str]) -> Iterator[tuple[str, Span]]:
    """Each language with the place where the clinic names it."""
    places = dict(zip(clinic.languages, clinic.languages_at, strict=False))
    return ((tag, places.get(tag, clinic.at)) for tag in tags)


def check_texts(files: dict[str, str], on: datetime.date | None = None) -> list[Finding]:
    """Findings of a set given as texts by file name, as `validate` would tell them."""
    sources = {name: Source(name, text) for name, text in files.items()}
    return validated(read_texts(sources), on=on)


def to_translate(protocol_set: ProtocolSet) -> Iterator[tuple[str, str, Iterable[Message]]]:
    """What translators get: file stem, title, and the texts of each."""
    clinic, kit = protocol_set.clinic, protocol_set.kit
    if clinic and kit:
        yield "clinic", clinic.name, clinic_messages(clinic, kit)
        for protocol in protocol_set.protocols:
            yield protocol.name, f"{clinic.name}: {protocol.title}", messages(protocol)
