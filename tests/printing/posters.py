"""Posters for the tests: the worked example in its languages, and small protocols written here."""

from __future__ import annotations

from functools import cache
from pathlib import Path

import pytest

from compiler.pipeline import in_language, open_set, read_texts
from compiler.products.poster import Made, Poster, poster
from compiler.products.sheet import Order
from compiler.source import Source
from compiler.wording.words import words

PROTOCOLS = Path(__file__).parents[2] / "protocols"
NAMES = ("airborne-room", "high-consequence", "rapid-entry", "spore-contact-room")
LANGUAGES = ("en", "ar", "zh-Hans", "hi")
SHEETS = [(name, language) for name in NAMES for language in LANGUAGES]
some_sheets = pytest.mark.parametrize(("name", "language"), SHEETS)
CODE, LINK = "K7QD-M2XN", "https://tern-island.example/wall/#K7QDM2XN"


@cache
def example():
    """The worked example with all its translations."""
    return open_set(PROTOCOLS, [PROTOCOLS / f"{name}.md" for name in NAMES])


def order(name: str, language: str = "en", **wishes) -> Order:
    """An order for one poster of the example."""
    protocol_set = example()
    protocol = next(p for p in protocol_set.protocols if p.name == name)
    return of(protocol_set, protocol, language, **wishes)


def of(protocol_set, protocol, language: str, **wishes) -> Order:
    version = in_language(protocol_set, protocol, language)
    wishes = {"draft": False, "reviewed": True, "paper": "A2", **wishes}
    return Order(
        version.protocol, version.clinic, version.kit, words(language), CODE, LINK, **wishes
    )


@cache
def made(name: str, language: str = "en", **wishes) -> Made:
    """What became of it; each is laid out once in a test run."""
    return poster(order(name, language, **wishes))


def sheet(name: str, language: str = "en", **wishes) -> Poster:
    """The poster, which must have been made."""
    found = made(name, language, **wishes)
    assert found.poster, [finding.message for finding in found.findings]
    return found.poster


CLINIC = """
clinic: Tern Island Health Post
contact: Infection prevention, extension 214
languages: [en]
areas: {change room: clean, bay: transition, room: contaminated}
places:
  bin: {in: bay, for: waste}
  hook: {in: bay, for: keeping}
hand hygiene: {policy: after gloves and at the end, on gloves: allowed}
agents: {wipe: {wet time: 2 min}}
"""
KIT = """
gown: {kind: gown, after use: discard}
gloves: {kind: gloves, after use: discard}
respirator: {kind: respirator, after use: discard}
"""
HEAD = """---
title: Trial
precautions: [contact]
hazard: a virus
edition: 1
valid from: 2026-11-01
review by: 2027-05-01
owner: Infection prevention lead
---
"""


def small(body: str, **wishes) -> Order:
    """An order for a protocol given as Markdown."""
    texts = {"clinic.yaml": CLINIC, "kit.yaml": KIT, "trial.md": HEAD + body}
    return order_for(texts, "en", **wishes)


def order_for(texts, language: str, **wishes) -> Order:
    """An order for the one protocol of a set given as texts by file name."""
    protocol_set = read_texts({name: Source(name, text) for name, text in texts.items()})
    assert protocol_set.protocols, [f.message for f in protocol_set.findings]
    return of(protocol_set, protocol_set.protocols[0], language, **wishes)


# --- looking at one

POINT = 25.4 / 72
NEAR = 0.2
"""Millimetres: two edges this close are one to the eye; common practice, no source."""


def named(found):
    return {block.name: block for block in found.blocks if block.name}


def with_class(found, *wanted):
    return [block for block in found.blocks if set(wanted) <= set(block.classes)]


def ink(text):
    """Roughly where the letters of a text box are, as left, top, right, bottom.

    A box reaches from ascent to descent of its font, so boxes of neighbouring lines may overlap
    while letters do not.
    """
    middle, half = text.top + text.height / 2, 0.3 * text.size * POINT
    return text.left, middle - half, text.left + text.width, middle + half


def printed(found):
    return [text for text in found.texts if "draft" not in text.classes]
