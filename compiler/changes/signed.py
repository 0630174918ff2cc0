"""What changed in the sign-offs: who signed, whose word is gone, whose no longer holds."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass

from compiler.changes.change import Change
from compiler.changes.telling import joined
from compiler.model.sign_offs import SignOff, Verdict

NEWEST = 20
"""So many of the last sign-offs are looked at for whether they still hold."""


@dataclass(frozen=True, slots=True)
class Signatures:
    """The sign-offs of one version of a whole set."""

    lines: Sequence[SignOff] = ()
    """In the order of the file."""
    covers: Callable[[SignOff], bool] = lambda _: False
    """Whether one is for just the text of this version."""


def changed_sign_offs(old: Signatures, new: Signatures) -> Iterator[Change]:
    """Lines that came or went, and approvals that hold in only one of the two versions."""
    before, after = ({each.line: each for each in side.lines} for side in (old, new))
    for line, sign_off in before.items():
        if line not in after:
            yield _only_once(sign_off, new=False)
    for line, sign_off in after.items():
        if line not in before:
            yield _only_once(sign_off, new=True)
    for sign_off in old.lines[-NEWEST:]:
        there = after.get(sign_off.line)
        if there and sign_off.verdict is Verdict.APPROVED:
            held, holds = old.covers(sign_off), new.covers(there)
            if held != holds:
                yield _held(sign_off, there, holds=holds)


def _only_once(sign_off: SignOff, *, new: bool) -> Change:
    approved = sign_off.verdict is Verdict.APPROVED
    told = _told(sign_off)
    return Change(
        "sign-off added" if new else "sign-off dropped",
        f"{told}." if new else f"No longer there: {told}.",
        sign_off.reviewer,
        old=None if new else sign_off.at,
        new=sign_off.at if new else None,
        was="" if new else _value(sign_off),
        is_now=_value(sign_off) if new else "",
        look_first=approved != new,
    )


def _held(before: SignOff, after: SignOff, *, holds: bool) -> Change:
    how = "covers just this text again" if holds else "is void: the text is another one now"
    return Change(
        "approval now valid" if holds else "approval now void",
        f"The approval by {_who(before)} {how}.",
        before.reviewer,
        old=before.at,
        new=after.at,
        was="void" if holds else "valid",
        is_now="valid" if holds else "void",
        look_first=not holds,
    )


def _who(sign_off: SignOff) -> str:
    return f"{sign_off.reviewer} ({sign_off.role}, {sign_off.day})"


def _told(sign_off: SignOff) -> str:
    remark = f", with the remark “{sign_off.remark}”" if sign_off.remark else ""
    return f"{_who(sign_off)} {_value(sign_off)}{remark}"


def _value(sign_off: SignOff) -> str:
    return f"{sign_off.verdict.value} the text in {joined(sign_off.languages)}"
