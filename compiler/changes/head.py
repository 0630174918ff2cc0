"""What changed in the head of a protocol."""

from __future__ import annotations

from collections.abc import Iterator

from compiler.changes.change import Change
from compiler.changes.placed import plain
from compiler.changes.telling import joined
from compiler.model.protocol import Protocol, Waiver


def changed_head(old: Protocol, new: Protocol) -> Iterator[Change]:
    """Title, precautions, hazard, edition, dates, owner, waivers."""
    yield from _precautions(old, new)
    rows = (
        ("hazard changed", "hazard", old.hazard, new.hazard),
        ("title reworded", "title", old.title, new.title),
        ("edition changed", "edition", old.edition, new.edition),
        ("date changed", "valid from", old.valid_from, new.valid_from),
        ("date changed", "review by", old.review_by, new.review_by),
        ("owner changed", "owner", old.owner, new.owner),
    )
    for kind, key, before, after in rows:
        was, now = plain(str(before or "")), plain(str(after or ""))
        if was != now:
            safer = kind != "hazard changed" or new.spores or not old.spores
            yield Change(
                kind,
                f"The {key} is now {_said(now)}; before: {_said(was)}.",
                subject=key,
                old=old.at,
                new=new.at,
                was=was,
                is_now=now,
                look_first=not safer,
            )
    yield from _waivers(old, new)


def _said(value: str) -> str:
    return value or "not given"


def _precautions(old: Protocol, new: Protocol) -> Iterator[Change]:
    for one, other, kind in (
        (new.precautions, old.precautions, "precautions added"),
        (old.precautions, new.precautions, "precautions dropped"),
    ):
        differ = joined([name for name in one if name not in other])
        if differ:
            dropped = kind.endswith("dropped")
            words = "no longer for" if dropped else "now for"
            yield Change(
                kind,
                f"The protocol is {words} {differ} precautions.",
                subject=differ,
                old=old.at,
                new=new.at,
                was=joined(old.precautions),
                is_now=joined(new.precautions),
                look_first=dropped,
            )


def _waivers(old: Protocol, new: Protocol) -> Iterator[Change]:
    before = {waiver.slug: waiver for waiver in old.waivers}
    after = {waiver.slug: waiver for waiver in new.waivers}
    for slug in dict.fromkeys((*before, *after)):
        one, other = before.get(slug), after.get(slug)
        if one and other and plain(one.reason) == plain(other.reason):
            continue
        yield _waiver(slug, one, other)


def _waiver(slug: str, one: Waiver | None, other: Waiver | None) -> Change:
    if one and other:
        kind, words = "waiver changed", "has another reason"
    elif other:
        kind, words = "waiver added", "is new: findings of this rule are accepted"
    else:
        kind, words = "waiver dropped", "is gone: findings of this rule count again"
    return Change(
        kind,
        f"The waiver of {slug} {words}.",
        subject=slug,
        old=one.at if one else None,
        new=other.at if other else None,
        was=one.reason if one else "",
        is_now=other.reason if other else "",
        look_first=one is None,
    )
