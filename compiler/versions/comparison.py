"""Reads two versions, leaves out what is the same in both, and compares the rest."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from contextlib import suppress
from dataclasses import replace
from pathlib import PurePosixPath

from compiler.catalogue import check
from compiler.changes.compare import changed
from compiler.changes.judging import ground, names
from compiler.changes.sides import Comparison, NotBuilt, Side
from compiler.changes.signed import Signatures
from compiler.findings import Finding, UnreadableSourceError
from compiler.model.protocol import Protocol
from compiler.model.sign_offs import SignOff, read_sign_offs
from compiler.pipeline import ProtocolSet, covers, in_language, read_texts
from compiler.source import Source
from compiler.storage import CLINIC, KIT, SIGN_OFFS
from compiler.versions.given import Given

Sources = dict[str, Source]
COMMON = ("clinic", "kit")
"""The names, without their endings, of files that all protocols share."""


def comparison(old: Given, new: Given) -> Comparison:
    """Compares two versions; only what differs is read, and proved only what may differ."""
    protocols = sum(name.endswith(".md") for name in new.sources)
    if _texts(old.sources) == _texts(new.sources):
        return Comparison(old.words, new.words, (), (), protocols)
    olds, news = _differing(old.sources, new.sources)
    before, after = read_texts(olds), read_texts(news)
    sides = _side(before, old), _side(after, new)
    if old.one and new.one and old.one != new.one:
        # two files were named: they are compared whatever they are called
        sides = _under_one_name(sides[0], old.one), _under_one_name(sides[1], old.one)
    return Comparison(
        old.words,
        new.words,
        tuple(changed(*sides)),
        (*_not_built(before, olds), *_not_built(after, news)),
        protocols,
        after.clinic.languages[0] if after.clinic else "en",
    )


def _differing(olds: Sources, news: Sources) -> tuple[Sources, Sources]:
    """Both without what is the same to the letter and cannot be judged otherwise than before.

    A protocol is left out when its text and its translations are the same, unless the clinic or
    the kit differ in what a proof reads; its translations, unless names or languages differ.
    """
    before_it, after_it = _texts(olds), _texts(news)
    every = olds.keys() | news.keys()
    unlike = {name for name in every if before_it.get(name) != after_it.get(name)}
    stems = {PurePosixPath(name).stem for name in unlike}
    before, after = (read_texts(dict(_common(sources))) for sources in (olds, news))
    judged, said = (
        about(before.clinic, before.kit) == about(after.clinic, after.kit)
        for about in (ground, names)
    )
    said = said and not any(n.endswith("/clinic.po") for n in unlike)

    def kept(name: str) -> bool:
        path = PurePosixPath(name)
        if path.suffix == ".md" and not judged:
            return True
        return not said or path.stem in stems or path.stem in COMMON

    return _where(olds, kept), _where(news, kept)


def _common(sources: Sources) -> Iterator[tuple[str, Source]]:
    """The files that all protocols share, without translations."""
    yield from ((name, sources[name]) for name in (CLINIC, KIT) if name in sources)


def _where(sources: Sources, kept: Callable[[str], bool]) -> Sources:
    return {name: source for name, source in sources.items() if kept(name)}


def _texts(sources: Sources) -> dict[str, str]:
    return {name: source.text for name, source in sources.items()}


def _side(read: ProtocolSet, given: Given) -> Side:
    def proved(protocol: Protocol) -> Sequence[Finding]:
        assert read.clinic
        assert read.kit
        return check(protocol, read.clinic, read.kit)

    def spoken(protocol: Protocol, language: str) -> Sequence[Finding]:
        return in_language(read, protocol, language).findings

    return Side(
        clinic=read.clinic,
        kit=read.kit,
        protocols={protocol.name: protocol for protocol in read.protocols},
        catalogues=read.translations,
        findings=read.findings,
        proved=proved,
        spoken=spoken,
        there=frozenset(n.removesuffix(".md") for n in given.sources if n.endswith(".md")),
        signatures=_signatures(given),
    )


def _signatures(given: Given) -> Signatures:
    """The sign-offs of a whole set; of a part of one there are none."""
    source = given.sources.get(SIGN_OFFS)
    if source is None:
        return Signatures()
    whole = read_texts(dict(_common(given.sources)), given.folder)
    every = replace(whole, sources=given.sources)

    def holds(sign_off: SignOff) -> bool:
        with suppress(UnreadableSourceError):  # a theme of its own that cannot be used
            return covers(sign_off, every)
        return False

    return Signatures(read_sign_offs(source)[0], holds)


def _under_one_name(side: Side, name: str) -> Side:
    [protocol] = side.protocols.values()
    return Side(
        side.clinic,
        side.kit,
        {name: protocol},
        side.catalogues,
        side.findings,
        side.proved,
        side.spoken,
        frozenset({name}),
    )


def _not_built(read: ProtocolSet, sources: Sources) -> list[NotBuilt]:
    """Files that gave no value: the findings say why."""
    if read.clinic is None:
        reason = "it could not be read, so nothing else of this version is compared"
        return [NotBuilt(sources[CLINIC].path, reason)]
    if read.kit is None:
        reason = "it could not be read, so no protocol of this version is compared"
        return [NotBuilt(sources[KIT].path, reason)]
    built = {protocol.source.path for protocol in read.protocols}
    paths = [s.path for name, s in sources.items() if name.endswith(".md")]
    reason = "it could not be read, so it is not compared"
    return [NotBuilt(path, reason) for path in paths if path not in built]
