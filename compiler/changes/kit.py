"""What changed in the kit: items, and what happens to them after use."""

from __future__ import annotations

from collections.abc import Iterator

from compiler.changes.change import Change
from compiler.changes.rows import Value, changed_rows, duration
from compiler.changes.telling import number_of
from compiler.model.kit import AfterUse, Item, Kit


def changed_kit(old: Kit, new: Kit) -> Iterator[Change]:
    """Items added and dropped, and every value that is another."""
    yield from changed_rows("item", old.items, new.items, _values, _told)


def _told(item: Item) -> str:
    words = [f"{item.layer} {item.kind.value}".strip(), f"{item.after_use.value} after use"]
    return ", ".join(words)


def _values(old: Item, new: Item) -> Iterator[Value]:
    ended, ends = old.after_use, new.after_use
    kept = ends is AfterUse.KEEP and ended is not AfterUse.KEEP
    yield Value("kit changed", "kind", old.kind.value, new.kind.value)
    yield Value("kit changed", "layer", old.layer, new.layer)
    yield Value("limit changed", "after use", ended.value, ends.value, kept)
    yield Value("kit changed", "the place where it is kept", old.keep_at, new.keep_at)
    unwiped = bool(old.disinfect_with) and not new.disinfect_with and ends is AfterUse.KEEP
    yield Value(
        "limit changed", "disinfect with", old.disinfect_with, new.disinfect_with, unwiped
    )
    rests = duration(old.rest), duration(new.rest)
    yield Value("limit changed", "rest", *rests, new.rest < old.rest)
    more = (new.at_most or 10_000) > (old.at_most or 10_000)
    yield Value("limit changed", "at most", _wearings(old), _wearings(new), more)


def _wearings(item: Item) -> str:
    return number_of(item.at_most, "wearing") if item.at_most else ""
