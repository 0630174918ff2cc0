"""`wallward sign`: one reviewer's word on just this content, as one more line in the set."""

from __future__ import annotations

import datetime
import fcntl
import os
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from pathlib import Path

from compiler.content import content_of
from compiler.editions import detached
from compiler.editions.kept import keep
from compiler.editions.refusal import Reason, RefusedError
from compiler.findings import Finding, UnreadableSourceError, must_fix
from compiler.model.sign_offs import Proof, SignOff, Verdict, fit_for_a_line
from compiler.pipeline import ProtocolSet, validated
from compiler.products.theme import theme_named
from compiler.storage import SIGN_OFFS, open_source, write_whole

HEADER = """\
# Sign-offs, one a line, written by "wallward sign"; keep this file in version control.
# date | verdict | reviewer | role | languages | content | signature | remark
"""
LONGEST = 300
"""Characters of a name, a role or a remark."""


@dataclass(frozen=True, slots=True)
class Asked:
    """What the reviewer says."""

    day: datetime.date
    verdict: Verdict
    reviewer: str
    role: str
    languages: tuple[str, ...]
    """Empty for all of the clinic's."""
    remark: str = ""
    theme: str = "default"
    proof: Proof = Proof.NONE
    key: str = ""
    """A key file for SSH, a key's name for OpenPGP."""


@dataclass(frozen=True, slots=True)
class Signed:
    """What became of it."""

    sign_off: SignOff
    line: int
    """In the file, counted from 1."""
    files: int
    """How many files the content has."""
    before: bool = False
    """The very same line was there already."""


def sign(protocol_set: ProtocolSet, asked: Asked) -> Signed:
    """Adds the sign-off to the set.

    Raises:
        RefusedError: the text has something that must be fixed and was to be approved, or what
            was said cannot be written down.
        UnreadableSourceError: the set's file of sign-offs cannot be read, or no program signs.
        OSError: the folder cannot be written; the sign-offs are as before.
    """
    clinic, folder = protocol_set.clinic, protocol_set.folder
    assert folder
    languages = asked.languages or (clinic.languages if clinic else ())
    _refuse_unfit(asked)
    findings = everything_found(protocol_set, languages, asked.theme, asked.day)
    if must_fix(findings) and asked.verdict is Verdict.APPROVED:
        text = "something must be fixed before this text can be approved"
        raise RefusedError((Reason(text),), findings)
    wanted = clinic.signature if clinic else Proof.NONE
    if wanted not in (Proof.NONE, asked.proof):
        text = f"clinic.yaml asks for a signature by {wanted.value}: name a key with --key"
        raise RefusedError((Reason(text),))
    content = content_of(protocol_set.sources, languages, asked.theme)
    sign_off = SignOff(
        asked.day,
        asked.verdict,
        asked.reviewer,
        asked.role,
        languages,
        content.hash,
        asked.proof,
        asked.remark,
    )
    with locked(folder):
        keep(folder, content)
        if asked.proof is not Proof.NONE:
            signature = detached.sign(sign_off, asked.key)
            write_whole(detached.signature_of(folder, sign_off), signature)
        line, before = _appended(folder / SIGN_OFFS, sign_off)
    return Signed(sign_off, line, len(content.files), before)


def everything_found(
    protocol_set: ProtocolSet, languages: tuple[str, ...], theme: str, on: datetime.date
) -> tuple[Finding, ...]:
    """What the checker says of a set in some languages, and of its look."""
    foreign = tuple(tag for tag in languages if tag in protocol_set.foreign)
    found = validated(protocol_set, foreign, on)
    return (*found, *(f for f in theme_named(theme).findings if f not in found))


def _refuse_unfit(asked: Asked) -> None:
    for what, text in (
        ("name", asked.reviewer),
        ("role", asked.role),
        ("remark", asked.remark),
    ):
        if not text and what != "remark":
            raise RefusedError((Reason(f"the {what} of the reviewer is empty"),))
        if not fit_for_a_line(text) or len(text) > LONGEST:
            rule = f"one line of at most {LONGEST} characters, without a bar (|)"
            raise RefusedError((Reason(f"the {what} does not fit: write {rule}"),))


def _appended(path: Path, sign_off: SignOff) -> tuple[int, bool]:
    """The line's number, and whether it was there before."""
    text = open_source(path).text if path.exists() else HEADER
    lines = text.rstrip("\n").split("\n")
    if sign_off.line in lines:
        return lines.index(sign_off.line) + 1, True
    write_whole(path, "\n".join([*lines, sign_off.line, ""]).encode())
    return len(lines) + 1, False


@contextmanager
def locked(folder: Path) -> Iterator[None]:
    """Only one at a time writes in this folder; the kernel ends the lock with the process.

    Raises:
        UnreadableSourceError: somebody else is at it.
    """
    handle = os.open(folder, os.O_RDONLY | os.O_DIRECTORY)
    try:
        try:
            fcntl.flock(handle, fcntl.LOCK_EX | fcntl.LOCK_NB)
        except BlockingIOError:
            raise UnreadableSourceError(
                f"{folder.as_posix()}: somebody else is writing here just now; "
                "try again when they are done"
            ) from None
        except OSError:
            pass  # a file system without locks
        yield
    finally:
        os.close(handle)
