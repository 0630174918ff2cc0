"""`kit.yaml` to a `Kit`."""

from __future__ import annotations

from compiler.findings import Finding, Level, Mark, Rule
from compiler.model.clinic import Clinic, Place, Purpose
from compiler.model.form import Form, empty, whole
from compiler.model.kit import AfterUse, Item, Kind, Kit
from compiler.model.measures import seconds, wearings
from compiler.model.names import UNKNOWN_AGENT, UNKNOWN_PLACE, Names, usable, used_twice
from compiler.source import Source
from compiler.syntax.spelling import alike, quoted
from compiler.syntax.tree import Entry, Word

KEYS_AT_ODDS = Rule(
    "keys-at-odds",
    Level.MUST,
    "Two keys of an item contradict each other, or a place is meant for something else.",
    waivable=False,
)

RULES = (KEYS_AT_ODDS,)

KEYS = (
    "kind", "layer", "after use", "keep on", "keep in", "disinfect with", "rest", "at most",
)  # fmt: skip


def read_kit(source: Source, clinic: Clinic | None) -> tuple[Kit | None, list[Finding]]:
    """The kit, or None when the file is no use; and everything that is wrong with it.

    Without a clinic the places and agents named in the kit are not looked up.
    """
    tree, findings = whole(source, None, "the kit file")
    if tree is None:
        return None, findings
    places = {alike(name): place for name, place in clinic.places.items()} if clinic else {}
    items: dict[str, Item] = {}
    for entry in tree.entries:
        usable(entry.key, entry.key_at, findings)
        if place := places.get(alike(entry.key)):
            findings.append(used_twice(entry.key, entry.key_at, place.at))
        items[entry.key] = _item(entry, clinic, findings)
    if not items and not findings:
        findings.append(empty(tree.at, "the kit file"))
    return (Kit(items) if items else None), findings


def _item(entry: Entry, clinic: Clinic | None, findings: list[Finding]) -> Item:
    form = Form(entry.value, f"the item {quoted(entry.key)}", entry.key_at, KEYS, findings)
    kind = form.text("kind", "gloves")
    after_use = form.one_of("after use", {use.value: use for use in AfterUse}, AfterUse.DISCARD)
    return Item(
        name=entry.key,
        kind=form.chosen(kind, "kind", {each.value: each for each in Kind}, Kind.CLOTHING)
        if kind
        else Kind.CLOTHING,
        at=entry.key_at,
        layer=form.one_of("layer", {"inner": "inner", "outer": "outer"}, ""),
        after_use=after_use,
        keep_at=_keep_at(form, after_use, clinic),
        disinfect_with=_agent(form, clinic),
        rest=_only_if_used_again(form, after_use, "rest")
        and form.measure("rest", seconds, "5 days", 0),
        at_most=_only_if_used_again(form, after_use, "at most")
        and form.measure("at most", wearings, "5 wearings", 0),
    )


def _keep_at(form: Form, after_use: AfterUse, clinic: Clinic | None) -> str:
    words = [(key, word) for key in ("keep on", "keep in") if (word := form.text(key))]
    if not words:
        return ""
    if len(words) > 1:
        _at_odds(form, words[1][1], f"{form.what} is kept at two places.", "keep one of them")
    key, word = words[0]
    if after_use is not AfterUse.KEEP:
        _at_odds(
            form,
            word,
            f"{form.what} has a place to be kept, but is not kept after use.",
            f"write after use: keep, or leave out {quoted(key)}",
        )
    if clinic is None:
        return word.text
    name = Names(UNKNOWN_PLACE, "place", clinic.places).find(word, form.findings)
    if name and clinic.places[name].purpose is not Purpose.KEEPING:
        _wrong_purpose(form, word, clinic.places[name])
    return name or ""


def _agent(form: Form, clinic: Clinic | None) -> str:
    word = form.text("disinfect with")
    if word is None or clinic is None:
        return word.text if word else ""
    return Names(UNKNOWN_AGENT, "agent", clinic.agents).find(word, form.findings) or ""


def _only_if_used_again(form: Form, after_use: AfterUse, key: str) -> int:
    """1 where `key` has a meaning, else 0, with a finding when it is there all the same."""
    if after_use is not AfterUse.DISCARD:
        return 1
    if word := form.text(key):
        _at_odds(
            form,
            word,
            f"{form.what} is discarded after use, so {quoted(key)} has no meaning.",
            f"write after use: keep, or leave out {quoted(key)}",
        )
    return 0


def _wrong_purpose(form: Form, word: Word, place: Place) -> None:
    form.findings.append(
        Finding(
            KEYS_AT_ODDS,
            f"The place {quoted(place.name)} is for {place.purpose.value}, not for keeping.",
            Mark(word.at, "named here"),
            (Mark(place.at, "declared here"),),
            remedy="name a place that is for keeping",
        )
    )


def _at_odds(form: Form, word: Word, message: str, remedy: str) -> None:
    message = message[:1].upper() + message[1:]
    form.findings.append(Finding(KEYS_AT_ODDS, message, Mark(word.at, "here"), remedy=remedy))
