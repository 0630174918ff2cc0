"""`clinic.yaml` to a `Clinic`."""

from __future__ import annotations

import re

from compiler.findings import Finding
from compiler.model.clinic import (
    Agent,
    Area,
    Clinic,
    Place,
    Policy,
    Purpose,
    ReadingDistance,
    Zone,
)
from compiler.model.form import Form, whole
from compiler.model.languages import SUPPORTED, canonical, supported
from compiler.model.measures import metres, seconds, span_of_seconds
from compiler.model.names import UNKNOWN_AREA, Names, usable
from compiler.model.read_labels import read_labels
from compiler.model.sheet_kinds import SHEET_KINDS
from compiler.model.sign_offs import Proof
from compiler.source import Source, Span
from compiler.syntax.spelling import advice, alike, quoted
from compiler.syntax.tree import Entry

KEYS = (
    "clinic", "contact", "link", "languages", "areas", "places", "hand hygiene", "agents",
    "paper", "reading distance", "answers", "staffing", "card", "labels", "products",
    "sign-offs", "theme",
)  # fmt: skip
PAPERS = ("A4", "A3", "A2", "A1", "Letter", "Tabloid", "ANSI C", "ANSI D")
CARDS = ("ID-1", "A7", "A6")
_LINK = re.compile(r"https?://[^\s/?#]+(?:[/?#]\S*)?")


def read_clinic(source: Source) -> tuple[Clinic | None, list[Finding]]:
    """The clinic, or None when the file is no use; and everything that is wrong with it."""
    tree, findings = whole(source, KEYS, "the clinic file")
    if tree is None:
        return None, findings
    at = tree.entries[0].key_at if tree.entries else source.span(0, min(1, len(source.text)))
    form = Form(tree, "the clinic file", at, KEYS, findings)
    name = form.text("clinic", "the clinic's name")
    contact = form.text("contact", "who answers questions, and how")
    languages, languages_at = _languages(form)
    areas = _areas(form)
    places = _places(form, areas)
    policy, on_gloves, rub, wash = _hand_hygiene(form)
    staffing = form.below("staffing", ("observer", "assistant"))
    theme = form.text("theme")
    signing = form.below("sign-offs", ("reviewers", "signature"))
    clinic = Clinic(
        name=name.text if name else "",
        contact=contact.text if contact else "",
        languages=languages,
        languages_at=languages_at,
        areas=areas,
        places=places,
        agents=_agents(form),
        policy=policy,
        hygiene_on_gloves=on_gloves,
        at=name.at if name else at,
        rub_seconds=rub,
        wash_seconds=wash,
        paper=form.one_of("paper", {paper: paper for paper in PAPERS}, "A4"),
        reading=_reading(form),
        answers=_answers(form),
        observer=staffing.flag("observer", True),
        assistant=staffing.flag("assistant", True),
        card=form.one_of("card", {card: card for card in CARDS}, "A7"),
        labels=read_labels(form),
        products=_products(form),
        link=_link(form),
        theme=theme.text if theme else "",
        theme_at=theme.at if theme else None,
        reviewers=signing.measure("reviewers", _count, "2", 1),
        signature=signing.one_of("signature", {p.value: p for p in Proof}, Proof.NONE),
    )
    # Without areas every step of every protocol would be reported once more.
    return (clinic if areas else None), findings


def _languages(form: Form) -> tuple[tuple[str, ...], tuple[Span, ...]]:
    """The tags, and where each is written."""
    if form.value("languages") is None:
        form.missing("languages", "[en, es]")
        return ("en",), ()
    found: dict[str, Span] = {}
    for word in form.texts("languages"):
        tag = canonical(word.text)
        if not supported(tag):
            form.wrong(
                word.at,
                f"{quoted(word.text)} is not a language tag that is supported.",
                advice(word.text, SUPPORTED, "language tag")
                if word.text[:2].casefold() not in SUPPORTED_SCRIPTS
                else f"say in which script: {SUPPORTED_SCRIPTS[word.text[:2].casefold()]}",
            )
        elif tag in found:
            form.wrong(word.at, f"The language {quoted(tag)} is listed twice.", "keep one")
        else:
            found[tag] = word.at
    return (tuple(found), tuple(found.values())) if found else (("en",), ())


SUPPORTED_SCRIPTS = {"zh": "zh-Hans or zh-Hant"}


def _areas(form: Form) -> dict[str, Area]:
    zones = {zone.value: zone for zone in Zone}
    areas: dict[str, Area] = {}
    if form.value("areas") is None:
        form.missing("areas", "{change room: clean, isolation room: contaminated}")
    for entry in form.rows("areas"):
        usable(entry.key, entry.key_at, form.findings)
        zone = Zone.TRANSITION
        word = form.text_in(
            entry,
            f"The area {quoted(entry.key)} does not say how clean it is.",
            f"write {entry.key}: clean, transition or contaminated",
        )
        if word is not None:
            zone = form.chosen(word, entry.key, zones, zone)
        areas[entry.key] = Area(entry.key, zone, entry.key_at)
    return areas


def _places(form: Form, areas: dict[str, Area]) -> dict[str, Place]:
    purposes = {purpose.value: purpose for purpose in Purpose}
    known = Names(UNKNOWN_AREA, "area", areas)
    places: dict[str, Place] = {}
    for entry in form.rows("places"):
        usable(entry.key, entry.key_at, form.findings)
        row = _row(form, entry, f"the place {quoted(entry.key)}", ("in", "for", "holds"))
        area = row.text("in", "the area it is in")
        purpose = row.text("for", "keeping, waste, sending or use")
        holds = row.measure("holds", _count, "2", 1)
        places[entry.key] = Place(
            name=entry.key,
            area=(known.find(area, form.findings) if area else None) or next(iter(areas), ""),
            purpose=row.chosen(purpose, "for", purposes, Purpose.KEEPING)
            if purpose
            else Purpose.KEEPING,
            at=entry.key_at,
            holds=holds,
        )
    return places


def _row(form: Form, entry: Entry, what: str, keys: tuple[str, ...]) -> Form:
    return Form(entry.value, what, entry.key_at, keys, form.findings)


def _count(text: str) -> int | None:
    return int(text) if re.fullmatch("[1-9][0-9]{0,2}", text) else None


def _hand_hygiene(form: Form) -> tuple[Policy, bool, tuple[int, int], tuple[int, int]]:
    if form.value("hand hygiene") is None:
        form.missing("hand hygiene", "{policy: after every item, on gloves: forbidden}")
        return Policy.EVERY_ITEM, False, (20, 30), (40, 60)
    hygiene = form.below("hand hygiene", ("policy", "on gloves", "rub", "wash"))
    policies = {policy.value: policy for policy in Policy}
    policy = hygiene.text("policy", "after every item")
    return (
        hygiene.chosen(policy, "policy", policies, Policy.EVERY_ITEM)
        if policy
        else Policy.EVERY_ITEM,
        hygiene.one_of("on gloves", {"allowed": True, "forbidden": False}, False),
        hygiene.measure("rub", span_of_seconds, "20 to 30 s", (20, 30)),
        hygiene.measure("wash", span_of_seconds, "40 to 60 s", (40, 60)),
    )


def _agents(form: Form) -> dict[str, Agent]:
    agents: dict[str, Agent] = {}
    for entry in form.rows("agents"):
        usable(entry.key, entry.key_at, form.findings)
        row = _row(form, entry, f"the agent {quoted(entry.key)}", ("wet time", "kills spores"))
        if row.value("wet time") is None:
            row.missing("wet time", "2 min")
            wet_time = 60
        else:
            wet_time = row.measure("wet time", seconds, "2 min", 60)
        agents[entry.key] = Agent(
            entry.key, entry.key_at, wet_time, row.flag("kills spores", False)
        )
    return agents


def _reading(form: Form) -> ReadingDistance:
    reading = form.below("reading distance", ("leads", "details", "card"))
    usual = ReadingDistance()
    return ReadingDistance(
        reading.measure("leads", metres, "1.0 m", usual.leads),
        reading.measure("details", metres, "0.6 m", usual.details),
        reading.measure("card", metres, "0.35 m", usual.card),
    )


def _answers(form: Form) -> dict[str, str]:
    answers: dict[str, str] = {}
    for entry in form.rows("answers"):
        word = form.text_in(
            entry,
            f"The question {quoted(entry.key)} has no standing answer.",
            f"write {entry.key}: ANSWER",
        )
        named = usable(entry.key, entry.key_at, form.findings)
        if word is not None and usable(word.text, word.at, form.findings) and named:
            answers[entry.key] = word.text
    return answers


def _products(form: Form) -> tuple[str, ...]:
    found: list[str] = []
    for word in form.texts("products"):
        if word.text not in SHEET_KINDS:
            form.wrong(
                word.at,
                f"{quoted(word.text)} is not a kind of sheet.",
                advice(word.text, SHEET_KINDS, "kind of sheet"),
            )
        elif word.text not in found:
            found.append(word.text)
    return tuple(found)


def _link(form: Form) -> str:
    word = form.text("link")
    if word is None:
        return ""
    if not _LINK.fullmatch(word.text) or not alike(word.text).isascii():
        form.wrong(
            word.at,
            f"{quoted(word.text)} is not a web address.",
            "begin it with https:// and leave out spaces",
        )
        return ""
    return word.text
