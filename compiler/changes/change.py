"""One change as a value: what kind it is, where it stands in both versions, what it says."""

from __future__ import annotations

from dataclasses import dataclass
from enum import Enum

from compiler.source import Span


class Group(Enum):
    """What a change bears on, in the order in which it is told."""

    WEARER = "for the wearer"
    LIMITS = "limits"
    FINDINGS = "findings"
    WORDS = "words"
    ADMINISTRATION = "administration"


PAIRS: tuple[tuple[Group, str, str], ...] = (
    (Group.WEARER, "protocol added", "protocol dropped"),
    (Group.WEARER, "part added", "part dropped"),
    (Group.WEARER, "step added", "step dropped"),
    (Group.WEARER, "hand hygiene added", "hand hygiene dropped"),
    (Group.WEARER, "seal check added", "seal check dropped"),
    (Group.WEARER, "check added", "check dropped"),
    (Group.WEARER, "disinfection added", "disinfection dropped"),
    (Group.WEARER, "observer added", "observer dropped"),
    (Group.WEARER, "assistant added", "assistant dropped"),
    (Group.WEARER, "action added", "action dropped"),
    (Group.WEARER, "question added", "question dropped"),
    (Group.WEARER, "answer added", "answer dropped"),
    (Group.WEARER, "caution added", "caution dropped"),
    (Group.WEARER, "prohibition added", "prohibition dropped"),
    (Group.WEARER, "precautions added", "precautions dropped"),
    (Group.WEARER, "now kept instead of discarded", "now discarded instead of kept"),
    (Group.WEARER, "now kept instead of sent", "now sent instead of kept"),
    (Group.WEARER, "now sent instead of discarded", "now discarded instead of sent"),
    (Group.LIMITS, "item added", "item dropped"),
    (Group.LIMITS, "area added", "area dropped"),
    (Group.LIMITS, "place added", "place dropped"),
    (Group.LIMITS, "agent added", "agent dropped"),
    (Group.FINDINGS, "finding gained", "finding lost"),
    (Group.FINDINGS, "finding waived", "finding no longer waived"),
    (Group.WORDS, "introduction added", "introduction dropped"),
    (Group.ADMINISTRATION, "waiver added", "waiver dropped"),
    (Group.ADMINISTRATION, "language added", "language dropped"),
    (Group.ADMINISTRATION, "translation added", "translation dropped"),
    (Group.ADMINISTRATION, "standing answer added", "standing answer dropped"),
    (Group.ADMINISTRATION, "sign-off added", "sign-off dropped"),
    (Group.ADMINISTRATION, "approval now valid", "approval now void"),
)
"""Kinds that are each other's reverse."""
SINGLES: tuple[tuple[Group, str], ...] = (
    (Group.WEARER, "step moved"),
    (Group.WEARER, "part moved"),
    (Group.WEARER, "grip changed"),
    (Group.WEARER, "place changed"),
    (Group.WEARER, "agent changed"),
    (Group.WEARER, "item changed"),
    (Group.WEARER, "area changed"),
    (Group.WEARER, "hand hygiene changed"),
    (Group.WEARER, "actions reordered"),
    (Group.WEARER, "caution moved"),
    (Group.WEARER, "hazard changed"),
    (Group.LIMITS, "limit changed"),
    (Group.LIMITS, "kit changed"),
    (Group.LIMITS, "house rule changed"),
    (Group.LIMITS, "time changed"),
    (Group.LIMITS, "number changed"),
    (Group.WORDS, "step reworded"),
    (Group.WORDS, "caution reworded"),
    (Group.WORDS, "introduction reworded"),
    (Group.WORDS, "part renamed"),
    (Group.WORDS, "question renamed"),
    (Group.WORDS, "answer renamed"),
    (Group.WORDS, "answer reworded"),
    (Group.WORDS, "answers reordered"),
    (Group.WORDS, "title reworded"),
    (Group.WORDS, "translation changed"),
    (Group.ADMINISTRATION, "protocol renamed"),
    (Group.ADMINISTRATION, "edition changed"),
    (Group.ADMINISTRATION, "date changed"),
    (Group.ADMINISTRATION, "owner changed"),
    (Group.ADMINISTRATION, "waiver changed"),
    (Group.ADMINISTRATION, "clinic changed"),
    (Group.ADMINISTRATION, "sheets changed"),
    (Group.ADMINISTRATION, "standing answer changed"),
)
"""Kinds that are their own reverse, with old and new changing sides."""

GROUPS: dict[str, Group] = {
    **{kind: group for group, *both in PAIRS for kind in both},
    **{kind: group for group, kind in SINGLES},
}
"""Every kind of change, with its group."""
REVERSED: dict[str, str] = {
    **{one: other for _, one, other in PAIRS},
    **{other: one for _, one, other in PAIRS},
    **{kind: kind for _, kind in SINGLES},
}
"""What a change is called when the two versions change sides."""


@dataclass(frozen=True, slots=True)
class Detail:
    """One line below a change: a step that goes with it, a text of a translation."""

    was: str
    """Empty where it is only in the new version."""
    is_now: str
    old: Span | None = None
    new: Span | None = None


@dataclass(frozen=True, slots=True)
class Change:
    """One change."""

    kind: str
    """A key of GROUPS."""
    sentence: str
    """Tells it; stands alone; ends in a full stop."""
    subject: str = ""
    """What changed: the lead of the step, or the name of the item, area, rule and so on."""
    place: str = ""
    """The part, and the answers around it, in words; empty outside the steps."""
    old: Span | None = None
    """Where it stands in the old version; nothing if it is not there."""
    new: Span | None = None
    was: str = ""
    """The words or the value before; empty where there was none."""
    is_now: str = ""
    look_first: bool = False
    """Whether it may take protection away, so that it is told before others of its group."""
    details: tuple[Detail, ...] = ()
    language: str = ""
    """The tag of the language of `was`, `now` and the details, where it is not the source's."""

    @property
    def group(self) -> Group:
        """What it bears on."""
        return GROUPS[self.kind]

    @property
    def at(self) -> Span | None:
        """Where to look: the new place, or the old one of what is gone."""
        return self.new or self.old

    @property
    def path(self) -> str:
        """The file to look into, or empty."""
        return self.at.source.path if self.at else ""

    @property
    def line(self) -> int:
        """The line to look at; 0 without a place."""
        return self.at.line if self.at else 0


def in_telling_order(changes: list[Change]) -> list[Change]:
    """By group; in it what may take protection away first; then by file and line."""
    groups = list(Group)
    return sorted(
        changes, key=lambda c: (groups.index(c.group), not c.look_first, c.path, c.line, c.kind)
    )
