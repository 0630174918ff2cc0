"""The YAML head of a protocol: what the sheets say about the protocol as a whole."""

from __future__ import annotations

import datetime
import re
from dataclasses import dataclass

from compiler.findings import Finding, Level, Mark, Rule
from compiler.model.form import Form, text_of
from compiler.model.measures import date, date_within
from compiler.model.protocol import Waiver
from compiler.source import Source, Span
from compiler.syntax import yaml
from compiler.syntax.spelling import quoted
from compiler.syntax.tree import Entry, Mapping, Node, Refused, Word

HEAD_MISSING = Rule(
    "head-missing",
    Level.MUST,
    "The file does not begin with a YAML head between two lines of three hyphens.",
    waivable=False,
)
DATES_OUT_OF_ORDER = Rule(
    "dates-out-of-order",
    Level.MUST,
    "The review date is not after the date of validity.",
    waivable=False,
)
WAIVER_WITHOUT_REASON = Rule(
    "waiver-without-reason",
    Level.MUST,
    "A waiver does not say why, or when it was decided.",
    waivable=False,
)

RULES = (HEAD_MISSING, DATES_OUT_OF_ORDER, WAIVER_WITHOUT_REASON)

KEYS = (
    "title", "precautions", "hazard", "edition", "valid from", "review by", "owner", "allow",
)  # fmt: skip
PRECAUTIONS = ("standard", "contact", "droplet", "airborne")

_FIRST_FENCE = re.compile(r"---[ \t]*$", re.MULTILINE)
_FENCE = re.compile(r"^---[ \t]*$", re.MULTILINE)
_SLUG = re.compile(r"[a-z0-9]+(?:-[a-z0-9]+)*")
_EXAMPLE = "title: NAME OF THE PROTOCOL"


@dataclass(frozen=True, slots=True)
class Head:
    """What the head says."""

    title: str
    precautions: tuple[str, ...]
    hazard: str
    edition: str
    valid_from: datetime.date | None
    review_by: datetime.date | None
    owner: str
    waivers: tuple[Waiver, ...]
    at: Span
    """The title, or the first line when there is none."""


def read_head(source: Source) -> tuple[Head, int, list[Finding]]:
    """The head, the offset at which the body begins, and what is wrong with the head."""
    node, body, findings = _between_the_hyphens(source)
    at = _first_line(source)
    tree = node if isinstance(node, Mapping) else None
    if tree is None:
        if not findings and not isinstance(node, Refused):
            findings.append(_missing("The head holds no keys.", at))
        return Head("", (), "", "", None, None, "", (), at), body, findings
    form = Form(tree, "the head", at, KEYS, findings)
    title = form.text("title", "Airborne isolation room")
    valid_from, review_by = _date(form, "valid from"), _date(form, "review by")
    if valid_from and review_by and valid_from[0] >= review_by[0]:
        findings.append(_out_of_order(valid_from[1], review_by[1]))
    head = Head(
        title=title.text if title else "",
        precautions=_precautions(form),
        hazard=_plain(form.text("hazard")),
        edition=_plain(form.text("edition")),
        valid_from=valid_from[0] if valid_from else None,
        review_by=review_by[0] if review_by else None,
        owner=_plain(form.text("owner")),
        waivers=tuple(filter(None, (_waiver(form, entry) for entry in form.rows("allow")))),
        at=title.at if title else at,
    )
    return head, body, findings


def _between_the_hyphens(source: Source) -> tuple[Node | None, int, list[Finding]]:
    text = source.text
    start = 1 if text.startswith("\ufeff") else 0
    first = _FIRST_FENCE.match(text, start)
    if first is None:
        message = "The file does not begin with a head."
        return None, start, [_missing(message, _first_line(source))]
    last = _FENCE.search(text, first.end())
    if last is None:
        message = "The head is not closed by a second line of three hyphens."
        # Reading on as if the body began at the first blank line keeps the other findings.
        blank = text.find("\n\n", first.end())
        node, _ = yaml.read(source, first.end(), blank if blank >= 0 else None)
        at = source.span(first.start(), first.start() + 3)
        remedy = "write a line of three hyphens after the last key of the head"
        finding = Finding(HEAD_MISSING, message, Mark(at, "begins here"), remedy=remedy)
        return node, blank + 1 if blank >= 0 else len(text), [finding]
    node, findings = yaml.read(source, first.end(), last.start())
    return node, min(last.end() + 1, len(text)), findings


def _missing(message: str, at: Span) -> Finding:
    remedy = f"begin the file with three lines: ---, {_EXAMPLE}, ---; further keys between them"
    return Finding(HEAD_MISSING, message, Mark(at, "here"), remedy=remedy)


def _first_line(source: Source) -> Span:
    """The first line that is not blank; an empty file has only its start."""
    text = source.text
    start = len(text) - len(text.lstrip("\ufeff \t\n"))
    end = text.find("\n", start)
    line = text[start : end if end >= 0 else len(text)]
    return source.span(start, start + len(line.rstrip()))


def _precautions(form: Form) -> tuple[str, ...]:
    if form.value("precautions") is None:
        form.missing("precautions", "[contact, airborne]")
        return ()
    known = {each: each for each in PRECAUTIONS}
    found = [form.chosen(word, "precautions", known, "") for word in form.texts("precautions")]
    return tuple(dict.fromkeys(each for each in found if each))


def _plain(word: Word | None) -> str:
    return word.text if word else ""


def _date(form: Form, key: str) -> tuple[datetime.date, Word] | None:
    word = form.text(key)
    if word is None:
        return None
    if (found := date(word.text)) is None:
        form.wrong(
            word.at,
            f"{quoted(word.text)} is not a date of the calendar.",
            f"write {key}: YEAR-MONTH-DAY, for example 2026-11-01",
        )
        return None
    return found, word


def _out_of_order(valid_from: Word, review_by: Word) -> Finding:
    return Finding(
        DATES_OUT_OF_ORDER,
        f"The review date {review_by.text} is not after {valid_from.text}, "
        "from which the protocol is valid.",
        Mark(review_by.at, "review by"),
        (Mark(valid_from.at, "valid from"),),
        remedy="correct one of the two dates",
    )


def _waiver(form: Form, entry: Entry) -> Waiver | None:
    word = text_of(entry.value)
    if not _SLUG.fullmatch(entry.key):
        form.wrong(
            entry.key_at,
            f"{quoted(entry.key)} is not the name of a rule.",
            "copy the name from the finding, for example unknown-item",
        )
        return None
    reason = word.text if word else ""
    day = date_within(reason)
    letters = sum(sign.isalpha() for sign in reason)
    if letters >= 3 and day:
        return Waiver(entry.key, reason, entry.key_at)
    lacks = "a reason" if letters < 3 else "a date"
    if not isinstance(entry.value, Refused):
        form.findings.append(
            Finding(
                WAIVER_WITHOUT_REASON,
                f"The waiver of {entry.key} does not give {lacks}.",
                Mark(entry.at, "here"),
                remedy=f'write {entry.key}: "WHY, WHO DECIDED, 2026-11-01"',
            )
        )
    return None
