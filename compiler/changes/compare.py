"""Two versions of a set: everything that changed between them. Read this file first."""

from __future__ import annotations

from collections.abc import Iterator

from compiler.changes.change import Change, in_telling_order
from compiler.changes.clinic import changed_clinic
from compiler.changes.judging import Judging
from compiler.changes.kit import changed_kit
from compiler.changes.likeness import texts_alike
from compiler.changes.placed import text_of_protocol
from compiler.changes.protocol import changed_protocol
from compiler.changes.sides import Side
from compiler.changes.signed import changed_sign_offs
from compiler.changes.telling import number_of
from compiler.changes.translations import changed_translations
from compiler.model.protocol import Protocol, every_step

SAME_PROTOCOL = 0.6
"""From here on, two files of different names are one protocol that was renamed."""


def changed(old: Side, new: Side) -> list[Change]:
    """Everything that changed, in the order in which it is told."""
    changes: list[Change] = []
    if old.clinic and new.clinic:
        changes += changed_clinic(old.clinic, new.clinic)
    if old.kit and new.kit:
        changes += changed_kit(old.kit, new.kit)
    changes += changed_translations(old.catalogues, new.catalogues)
    judging = Judging(old, new)
    for before, after in paired_protocols(old, new):
        if before and after:
            changes += _both(before, after, old, new)
            changes += judging.both(before, after)
        elif before and before.name not in new.there:
            changes += [_whole(before, dropped=True), *judging.gone(before)]
        elif after and after.name not in old.there:
            changes += [_whole(after, dropped=False), *judging.came(after)]
    changes += judging.shared()
    changes += changed_sign_offs(old.signatures, new.signatures)
    return in_telling_order(changes)


def paired_protocols(old: Side, new: Side) -> Iterator[tuple[Protocol | None, Protocol | None]]:
    """By name; what is left over by its words, because a file may get another name."""
    left = {name: p for name, p in new.protocols.items() if name not in old.protocols}
    alone: list[Protocol] = []
    for name, protocol in old.protocols.items():
        if name in new.protocols:
            yield protocol, new.protocols[name]
        else:
            alone.append(protocol)
    likes = sorted(
        (-texts_alike(text_of_protocol(one), text_of_protocol(other)), one.name, other.name)
        for one in alone
        if one.name not in new.there
        for other in left.values()
        if other.name not in old.there
    )
    renamed: dict[str, str] = {}
    for alike, one_name, other_name in likes:
        free = one_name not in renamed and other_name not in renamed.values()
        if -alike >= SAME_PROTOCOL and free:
            renamed[one_name] = other_name
    for protocol in alone:
        yield protocol, left.pop(renamed.get(protocol.name, ""), None)
    yield from ((None, protocol) for protocol in left.values())


def _both(before: Protocol, after: Protocol, old: Side, new: Side) -> Iterator[Change]:
    if before.name != after.name:
        yield Change(
            "protocol renamed",
            f"The protocol {after.name} was called {before.name}.",
            after.name,
            old=before.at,
            new=after.at,
            was=before.name,
            is_now=after.name,
        )
    language = new.clinic.languages[0] if new.clinic else "en"
    yield from changed_protocol(before, after, old.kit, new.kit, language)


def _whole(protocol: Protocol, *, dropped: bool) -> Change:
    steps = sum(1 for part in protocol.parts for _ in every_step(part.steps))
    count = number_of(steps, "step")
    return Change(
        "protocol dropped" if dropped else "protocol added",
        f"The protocol “{protocol.title}” is {'gone' if dropped else 'new'}, with {count}.",
        protocol.name,
        old=protocol.at if dropped else None,
        new=None if dropped else protocol.at,
        was=protocol.title if dropped else "",
        is_now="" if dropped else protocol.title,
        look_first=dropped,
    )
