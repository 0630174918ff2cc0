"""Whether a text stands approved: which sign-offs count for it, and why it does not, if so."""

from __future__ import annotations

import datetime
from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from pathlib import Path

from compiler.content import Content, content_of
from compiler.editions.detached import fault_of
from compiler.editions.kept import changes
from compiler.editions.refusal import Reason
from compiler.model.sign_offs import Proof, SignOff, Verdict
from compiler.pipeline import ProtocolSet


@dataclass(frozen=True, slots=True)
class Standing:
    """What the sign-offs come to."""

    counted: tuple[SignOff, ...]
    """The approvals of just this text, in the order of the file."""
    reasons: tuple[Reason, ...]
    """Why they are not enough; empty when the text stands approved."""


def standing(
    protocol_set: ProtocolSet,
    languages: tuple[str, ...],
    theme: str,
    on: datetime.date,
    signers: Path | None = None,
) -> Standing:
    """Weighs the sign-offs of a set for some languages, as of a day.

    A reviewer's newest word on this very text counts; each language needs as many different
    people as the clinic says.

    Raises:
        UnreadableSourceError: a signature is to be checked and its program is not installed.
    """
    return _Weighing(protocol_set, theme, on, signers).result(languages)


class _Weighing:
    """One look at all sign-offs of a set."""

    def __init__(
        self,
        protocol_set: ProtocolSet,
        theme: str,
        on: datetime.date,
        signers: Path | None,
    ) -> None:
        clinic = protocol_set.clinic
        self.set, self.theme = protocol_set, theme
        # a clinic that cannot be read is told elsewhere; what was changed is told all the same
        self.people = clinic.reviewers if clinic else 1
        self.proof = clinic.signature if clinic else Proof.NONE
        self.on, self.signers = on, signers
        self._contents: dict[tuple[str, ...], Content] = {}

    def result(self, languages: tuple[str, ...]) -> Standing:
        for_this = [
            s for s in self.set.sign_offs if self.as_it_is(s.languages).hash == s.content
        ]
        sound, reasons = self._sound(for_this)
        newest = {sign_off.whose: sign_off for sign_off in sound}
        standing = [s for s in sound if newest[s.whose] is s]
        reasons += _refusals(standing, languages)
        counted = [s for s in standing if s.verdict is Verdict.APPROVED]
        reasons += self._missing(counted, languages)
        return Standing(tuple(counted), tuple(reasons))

    def as_it_is(self, languages: tuple[str, ...]) -> Content:
        """The text as it is now, in the languages of a sign-off."""
        if languages not in self._contents:
            self._contents[languages] = content_of(self.set.sources, languages, self.theme)
        return self._contents[languages]

    def _sound(self, sign_offs: Iterable[SignOff]) -> tuple[list[SignOff], list[Reason]]:
        """Those whose day and signature hold, and what is wrong with the others."""
        sound: list[SignOff] = []
        reasons: list[Reason] = []
        for sign_off in sign_offs:
            fault = self._fault(sign_off)
            if fault:
                text = f"the sign-off of {_who(sign_off)} does not count: {fault}"
                reasons.append(Reason(text))
            else:
                sound.append(sign_off)
        return sound, reasons

    def _fault(self, sign_off: SignOff) -> str:
        if sign_off.day > self.on:
            return f"it is of a later day than {self.on}"
        if self.proof not in (Proof.NONE, sign_off.proof):
            return f"clinic.yaml asks for a signature by {self.proof.value}"
        assert self.set.folder
        return fault_of(self.set.folder, sign_off, self.signers)

    def _missing(self, counted: list[SignOff], languages: tuple[str, ...]) -> Iterator[Reason]:
        """Languages for which too few people have approved this text, told together."""
        short: dict[tuple[str, ...], list[str]] = {}
        for language in languages:
            people = {s.whose: s.reviewer for s in counted if language in s.languages}
            if len(people) < self.people:
                short.setdefault(tuple(people.values()), []).append(language)
        for names, lacking in short.items():
            yield self._too_few(names, ", ".join(lacking))
        if short:
            yield from self._changed({tag for tags in short.values() for tag in tags})

    def _too_few(self, names: tuple[str, ...], languages: str) -> Reason:
        if not self.set.sign_offs:
            return Reason('nobody has signed this set off: see "wallward sign --help"')
        need = self.people
        if need == 1:
            return Reason(f"nobody has approved this text in {languages}")
        have = " and ".join(names) or "nobody"
        return Reason(f"{need} people must approve this text in {languages}; so far: {have}")

    def _changed(self, languages: set[str]) -> Iterator[Reason]:
        """What was changed since the newest approval of these languages, file by file."""
        older = [
            s
            for s in self.set.sign_offs
            if s.verdict is Verdict.APPROVED
            and languages & set(s.languages)
            and s.content != self.as_it_is(s.languages).hash
        ]
        if older:
            last = older[-1]
            assert self.set.folder
            yield Reason(f"the sign-off of {_who(last)} is void: something was changed since")
            yield from changes(self.set.folder, last.content, self.as_it_is(last.languages))


def _refusals(standing: Iterable[SignOff], languages: tuple[str, ...]) -> Iterator[Reason]:
    for sign_off in standing:
        if sign_off.verdict is Verdict.REFUSED and set(languages) & set(sign_off.languages):
            remark = (sign_off.remark,) if sign_off.remark else ()
            yield Reason(f"{_who(sign_off)} refused this text", remark)


def _who(sign_off: SignOff) -> str:
    return f"{sign_off.reviewer} ({sign_off.role}, {sign_off.day})"
