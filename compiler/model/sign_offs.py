"""Sign-offs: who approved or refused just which content, one a line in `sign-offs.txt`."""

from __future__ import annotations

import datetime
import re
from dataclasses import dataclass, field, replace
from enum import Enum

from compiler.findings import Finding, Level, Mark, Rule
from compiler.model.measures import date
from compiler.source import Source, Span
from compiler.syntax.spelling import alike, quoted

SIGN_OFF_BROKEN = Rule(
    "sign-off-broken",
    Level.SHOULD,
    "A line of the sign-offs cannot be read, so it does not count.",
    waivable=False,
)
RULES = (SIGN_OFF_BROKEN,)

BETWEEN = " | "
FIELDS = ("date", "verdict", "reviewer", "role", "languages", "content", "signature", "remark")
"""What a line holds, in its order; the remark may be left out."""
MOST_LINES = 10_000
"""More are not read: a set signed every day comes to so many in 27 years."""
_HASH = re.compile(r"[0-9a-f]{64}")
_TAG = re.compile(r"[A-Za-z0-9]{1,8}(?:-[A-Za-z0-9]{1,8})*")
_REMEDY = 'copy the line from a version before the edit, or sign again with "wallward sign"'


class Verdict(Enum):
    """What a reviewer decided."""

    APPROVED = "approved"
    REFUSED = "refused"


class Proof(Enum):
    """What stands beside a line to show who wrote it."""

    NONE = "none"
    SSH = "ssh"
    OPENPGP = "openpgp"


@dataclass(frozen=True, slots=True)
class SignOff:
    """One reviewer's word on one content."""

    day: datetime.date
    verdict: Verdict
    reviewer: str
    role: str
    languages: tuple[str, ...]
    """BCP 47 tags whose translations were before the reviewer."""
    content: str
    """SHA-256 of the content's manifest, in hexadecimal digits."""
    proof: Proof = Proof.NONE
    remark: str = ""
    at: Span | None = field(default=None, compare=False, repr=False)
    """Its line in the file that it was read from."""

    @property
    def line(self) -> str:
        """As it stands in the file, without the line's end."""
        fields = (
            self.day.isoformat(),
            self.verdict.value,
            self.reviewer,
            self.role,
            " ".join(self.languages),
            self.content,
            self.proof.value,
        )
        return BETWEEN.join([*fields, self.remark] if self.remark else fields)

    @property
    def whose(self) -> str:
        """The reviewer, however the name is spaced or capitalised: two must be two."""
        return alike(self.reviewer)


def fit_for_a_line(text: str) -> bool:
    """Whether a name, role or remark can stand in a line: no bar, nothing that is not seen."""
    return "|" not in text and text.isprintable() and text == text.strip()


def read_sign_offs(source: Source) -> tuple[tuple[SignOff, ...], list[Finding]]:
    """The sign-offs of a file in its order, and a finding for each line that is none.

    Empty lines and lines that begin with `#` are left out.
    """
    signed: list[SignOff] = []
    findings: list[Finding] = []
    start = 0
    for number, line in enumerate(source.text.split("\n")):
        at = source.span(start, start + len(line))
        start += len(line) + 1
        if not line.strip() or line.startswith("#"):
            continue
        if number >= MOST_LINES:
            findings.append(_broken(at, f"holds more than {MOST_LINES} lines", "here"))
            break
        sign_off, wrong = _read_line(line)
        if sign_off:
            signed.append(replace(sign_off, at=at))
        else:
            what = f"has a line that is no sign-off: {wrong}"
            findings.append(_broken(at, what, "this line"))
    return tuple(signed), findings


def _broken(at: Span, what: str, label: str) -> Finding:
    message = f"The file of sign-offs {what}."
    return Finding(SIGN_OFF_BROKEN, message, Mark(at, label), remedy=_REMEDY)


def _read_line(line: str) -> tuple[SignOff | None, str]:
    """The sign-off, or what is wrong with the line."""
    fields = [field.strip() for field in line.split(BETWEEN.strip())]
    fields += [""] * (len(fields) == len(FIELDS) - 1)  # no remark
    if len(fields) != len(FIELDS):
        return None, f"it has {len(fields)} fields between bars and not {len(FIELDS)}"
    day, verdict, reviewer, role, languages, content, proof, remark = fields
    tags = tuple(languages.split())
    checks = (
        (date(day), f"{quoted(day)} is not a date of the calendar"),
        (verdict in _VERDICTS, f"{quoted(verdict)} is neither approved nor refused"),
        (reviewer and role, "the reviewer or the role is not named"),
        (tags and all(map(_TAG.fullmatch, tags)), f"{quoted(languages)} names no languages"),
        (_HASH.fullmatch(content), "the hash of the content is not 64 hexadecimal digits"),
        (proof in _PROOFS, f"{quoted(proof)} is not none, ssh or openpgp"),
        (all(map(fit_for_a_line, fields)), "it holds a sign that is not seen"),
    )
    wrong = next((what for holds, what in checks if not holds), "")
    found = date(day)
    if wrong or not found:
        return None, wrong
    return SignOff(
        found, Verdict(verdict), reviewer, role, tags, content, Proof(proof), remark
    ), ""


_VERDICTS = {verdict.value for verdict in Verdict}
_PROOFS = {proof.value for proof in Proof}
