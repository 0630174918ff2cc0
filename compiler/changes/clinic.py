"""What changed in the clinic: house rules, limits, places, languages, and what is printed."""

from __future__ import annotations

from collections.abc import Iterator

from compiler.changes.change import Change
from compiler.changes.placed import plain
from compiler.changes.rows import Value, changed_rows, changed_value, duration
from compiler.changes.telling import joined
from compiler.model.clinic import Agent, Area, Clinic, LabelSheet, Place, Policy, Zone
from compiler.syntax.spelling import alike

STRICT_FIRST = (Policy.EVERY_ITEM, Policy.AFTER_GLOVES, Policy.WHEN_CONTAMINATED)
WORST_FIRST = (Zone.CONTAMINATED, Zone.TRANSITION, Zone.CLEAN)


def changed_clinic(old: Clinic, new: Clinic) -> Iterator[Change]:
    """All of `clinic.yaml`."""
    for value in (*_house_rules(old, new), *_administration(old, new)):
        if value.was != value.is_now:
            yield changed_value(value, "clinic", value.key, old.at, new.at)
    yield from changed_rows("area", old.areas, new.areas, _area, lambda area: area.zone.value)
    yield from changed_rows("place", old.places, new.places, _place, _place_told)
    yield from changed_rows("agent", old.agents, new.agents, _agent, _agent_told)
    yield from _languages(old, new)
    yield from _answers(old, new)


def _house_rules(old: Clinic, new: Clinic) -> Iterator[Value]:
    looser = STRICT_FIRST.index(new.policy) > STRICT_FIRST.index(old.policy)
    rule = "house rule changed"
    yield Value(rule, "hand hygiene policy", old.policy.value, new.policy.value, looser)
    yield Value(rule, "hand hygiene on gloves", _allowed(old), _allowed(new))
    for key, before, after in (
        ("rub", old.rub_seconds, new.rub_seconds),
        ("wash", old.wash_seconds, new.wash_seconds),
    ):
        yield Value("limit changed", key, _range(before), _range(after), after < before)
    for key, had, has in (
        ("observer", old.observer, new.observer),
        ("assistant", old.assistant, new.assistant),
    ):
        yield Value(rule, key, _staffed(had), _staffed(has), had and not has)


def _allowed(clinic: Clinic) -> str:
    return "allowed" if clinic.hygiene_on_gloves else "forbidden"


def _staffed(there: bool) -> str:
    return "there is one" if there else "there is none"


def _range(seconds: tuple[int, int]) -> str:
    low, high = seconds
    return f"{low} s" if low == high else f"{low} to {high} s"


def _administration(old: Clinic, new: Clinic) -> Iterator[Value]:
    yield Value("clinic changed", "name", plain(old.name), plain(new.name))
    yield Value("clinic changed", "contact", plain(old.contact), plain(new.contact))
    yield Value("clinic changed", "link", old.link, new.link)
    had, has = old.reviewers, new.reviewers
    yield Value("clinic changed", "reviewers", str(had), str(has), has < had)
    yield Value("clinic changed", "signature", old.signature.value, new.signature.value)
    sheets = "sheets changed"
    yield Value(sheets, "paper", old.paper, new.paper)
    yield Value(sheets, "card", old.card, new.card)
    yield Value(sheets, "theme", old.theme, new.theme)
    yield Value(sheets, "labels", _labels(old.labels), _labels(new.labels))
    products = [joined(sorted(clinic.products)) for clinic in (old, new)]
    yield Value(sheets, "products", products[0], products[1])
    yield Value(sheets, "source language", old.languages[0], new.languages[0])
    for key in ("leads", "details", "card"):
        was, now = (f"{getattr(clinic.reading, key):g} m" for clinic in (old, new))
        yield Value(sheets, f"reading distance of {key}", was, now)


def _labels(labels: LabelSheet) -> str:
    """The grid of a sheet of labels, in millimetres."""
    return (
        f"{labels.across} by {labels.down} of {labels.width:g} by {labels.height:g} mm, "
        f"from {labels.left:g} and {labels.top:g} mm, "
        f"{labels.between_columns:g} and {labels.between_rows:g} mm apart"
    )


def _area(old: Area, new: Area) -> Iterator[Value]:
    cleaner = WORST_FIRST.index(new.zone) > WORST_FIRST.index(old.zone)
    kind = "house rule changed"
    yield Value(kind, "how clean it is", old.zone.value, new.zone.value, cleaner)


def _place(old: Place, new: Place) -> Iterator[Value]:
    kind = "house rule changed"
    yield Value(kind, "the area it is in", old.area, new.area)
    yield Value(kind, "what it is for", old.purpose.value, new.purpose.value)
    more = new.holds > old.holds
    yield Value("limit changed", "how many it holds", str(old.holds), str(new.holds), more)


def _place_told(place: Place) -> str:
    return f"for {place.purpose.value} in the {place.area}"


def _agent(old: Agent, new: Agent) -> Iterator[Value]:
    was, now = duration(old.wet_time), duration(new.wet_time)
    yield Value("limit changed", "wet time", was, now, new.wet_time < old.wet_time)
    kills = "kills spores", "does not kill spores"
    was, now = (kills[not agent.kills_spores] for agent in (old, new))
    lost = old.kills_spores and not new.kills_spores
    yield Value("limit changed", "whether it kills spores", was, now, lost)


def _agent_told(agent: Agent) -> str:
    return f"wet time {duration(agent.wet_time)}"


def _languages(old: Clinic, new: Clinic) -> Iterator[Change]:
    for tag in old.languages:
        if tag not in new.languages:
            yield _language("dropped", f"Sheets are no longer made in {tag}.", tag, old, new)
    for tag in new.languages:
        if tag not in old.languages:
            yield _language("added", f"Sheets are now made in {tag} too.", tag, old, new)


def _language(word: str, sentence: str, tag: str, old: Clinic, new: Clinic) -> Change:
    was, now = (", ".join(clinic.languages) for clinic in (old, new))
    return Change(
        f"language {word}", sentence, tag, old=old.at, new=new.at, was=was, is_now=now
    )


def _answers(old: Clinic, new: Clinic) -> Iterator[Change]:
    before = {alike(question): answer for question, answer in old.answers.items()}
    after = {alike(question): answer for question, answer in new.answers.items()}
    for question in dict.fromkeys((*before, *after)):
        was, now = before.get(question, ""), after.get(question, "")
        if alike(was) == alike(now):
            continue
        word = "changed" if was and now else "added" if now else "dropped"
        said, before_it = now or "not given", was or "not given"
        yield Change(
            f"standing answer {word}",
            f"The standing answer to “{question}” is now: {said}; before: {before_it}.",
            question,
            old=old.at,
            new=new.at,
            was=was,
            is_now=now,
        )
