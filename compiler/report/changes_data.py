"""Changes as JSON: one object, a contract for other programs."""

from __future__ import annotations

import json
from typing import Any

from compiler.changes.change import Change, Detail
from compiler.changes.sides import Comparison
from compiler.source import Span


def changes_data(told: Comparison) -> str:
    """`{"old", "new", "changes": [...], "not compared": [...], "protocols": n}`.

    The keys of a change are group, kind, message, subject, place, look first, old and new
    (file, line and column, or null), was, now, language and details; those of a detail are old,
    new, was and now. Keys come in a fixed order, changes in the order in which they are told.
    """
    whole = {
        "old": told.old,
        "new": told.new,
        "changes": [_change(change, told.language) for change in told.changes],
        "not compared": [{"file": n.path, "reason": n.reason} for n in told.not_built],
        "protocols": told.protocols,
    }
    return json.dumps(whole, ensure_ascii=False, indent=1) + "\n"


def _change(change: Change, language: str) -> dict[str, Any]:
    return {
        "group": change.group.value,
        "kind": change.kind,
        "message": change.sentence,
        "subject": change.subject,
        "place": change.place,
        "look first": change.look_first,
        "old": _place(change.old),
        "new": _place(change.new),
        "was": change.was,
        "now": change.is_now,
        "language": change.language or language,
        "details": [_detail(detail) for detail in change.details],
    }


def _detail(detail: Detail) -> dict[str, Any]:
    return {
        "old": _place(detail.old),
        "new": _place(detail.new),
        "was": detail.was,
        "now": detail.is_now,
    }


def _place(span: Span | None) -> dict[str, Any] | None:
    if span is None:
        return None
    return {"file": span.source.path, "line": span.line, "column": span.column}
