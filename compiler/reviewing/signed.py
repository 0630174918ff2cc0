"""The sign-offs of the set that a protocol is in, and whether each still covers what is there.

A signature beside one is verified when it is published, not here.
"""

from __future__ import annotations

import datetime
from collections.abc import Iterator
from dataclasses import dataclass

from compiler.content import Content, content_of, kept_hashes
from compiler.findings import Finding, UnreadableSourceError
from compiler.model.clinic import Clinic
from compiler.model.sign_offs import SignOff, Verdict, read_sign_offs
from compiler.pipeline import ProtocolSet
from compiler.products.theme_choice import chosen
from compiler.storage import SIGN_OFFS
from compiler.versions.given import whole_set

NEWEST = 20
"""So many of the last sign-offs are told."""
MOST_NAMES = 6
"""Changed files that are named of one."""


@dataclass(frozen=True, slots=True)
class Word:
    """One reviewer's word."""

    sign_off: SignOff
    counts: bool
    """Whether it is for just this content, of no later day, and the reviewer's newest."""
    why: str
    """Why it counts or not, in words."""


@dataclass(frozen=True, slots=True)
class Signed:
    """What the set's file of sign-offs comes to."""

    words: tuple[Word, ...] = ()
    """The newest ones, in the order of the file."""
    earlier: int = 0
    """How many before these are not told."""
    unreadable: int = 0
    people: int = 1
    """How many different people must approve each language."""
    approved: tuple[str, ...] = ()
    """Languages that as many people have approved as they are now."""
    lacking: tuple[str, ...] = ()
    fault: str = ""
    """Why it cannot be told, where a file of the set cannot be read."""


def signed_of(protocol_set: ProtocolSet, on: datetime.date) -> Signed:
    """Reads the set around a protocol and weighs its sign-offs, as of a day."""
    if protocol_set.folder is None or protocol_set.clinic is None:
        return Signed()
    try:
        return _weighed(_Weighing(protocol_set, on), protocol_set.clinic)
    except UnreadableSourceError as fault:
        return Signed(fault=str(fault))


def _weighed(weighing: _Weighing, clinic: Clinic) -> Signed:
    lines, broken = weighing.read()
    holds = [each for each in lines if weighing.holds(each)]
    newest = {each.whose: each for each in holds}
    told = tuple(
        Word(each, newest.get(each.whose) is each, weighing.why(each, newest))
        for each in lines[-NEWEST:]
    )
    yes = [each for each in newest.values() if each.verdict is Verdict.APPROVED]
    no = {tag for s in newest.values() if s.verdict is Verdict.REFUSED for tag in s.languages}
    enough = tuple(
        tag
        for tag in clinic.languages
        if tag not in no and sum(tag in each.languages for each in yes) >= clinic.reviewers
    )
    return Signed(
        told,
        len(lines) - len(told),
        len(broken),
        clinic.reviewers,
        enough,
        tuple(tag for tag in clinic.languages if tag not in enough),
    )


class _Weighing:
    """One look at all sign-offs of the set."""

    def __init__(self, protocol_set: ProtocolSet, on: datetime.date) -> None:
        self.set, self.on = protocol_set, on
        assert protocol_set.folder
        self.folder = protocol_set.folder
        self.theme = chosen("", protocol_set.clinic, protocol_set.folder)
        self.sources = whole_set(protocol_set.folder)
        self._contents: dict[tuple[str, ...], Content] = {}

    def read(self) -> tuple[tuple[SignOff, ...], list[Finding]]:
        """The sign-offs, and what is wrong with other lines."""
        source = self.sources.get(SIGN_OFFS)
        return read_sign_offs(source) if source else ((), [])

    def _now(self, languages: tuple[str, ...]) -> Content:
        if languages not in self._contents:
            self._contents[languages] = content_of(self.sources, languages, self.theme)
        return self._contents[languages]

    def _covers(self, sign_off: SignOff) -> bool:
        return self._now(sign_off.languages).hash == sign_off.content

    def holds(self, sign_off: SignOff) -> bool:
        """Whether it is for just this content and of no later day."""
        return sign_off.day <= self.on and self._covers(sign_off)

    def why(self, sign_off: SignOff, newest: dict[str, SignOff]) -> str:
        """Whether it counts, and if not, why."""
        if not self._covers(sign_off):
            return f"void: {', '.join(self._changed(sign_off))}"
        if sign_off.day > self.on:
            return f"covers this text, and does not count before {sign_off.day}"
        if newest[sign_off.whose] is not sign_off:
            return "covers this text, but a later word of the same person counts"
        return "covers just this text"

    def _changed(self, sign_off: SignOff) -> Iterator[str]:
        """The files that are not as they were signed."""
        kept = kept_hashes(self.folder, sign_off.content)
        if kept is None:
            yield "something was changed since, and what was signed is no longer kept"
            return
        now = self._now(sign_off.languages).hashes
        names = sorted({name for name, _ in set(kept.items()) ^ set(now.items())})
        for name in names[:MOST_NAMES]:
            how = "is new" if name not in kept else "was changed" if name in now else "is gone"
            yield f"{name} {how}"
        if len(names) > MOST_NAMES:
            yield f"and {len(names) - MOST_NAMES} more"
