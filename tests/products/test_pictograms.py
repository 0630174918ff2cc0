"""The pictograms: the most telling phrase is drawn, and every drawing has a meaning."""

from __future__ import annotations

import pytest

from compiler.model.kit import Item, Kind, Kit
from compiler.model.protocol import (
    Branch,
    Check,
    Discard,
    Disinfect,
    Fork,
    Go,
    Grip,
    Hygiene,
    Keep,
    Observed,
    Remove,
    Send,
    Step,
    Takes,
    Touch,
    Wear,
)
from compiler.products.pictograms import (
    PICTOGRAMS,
    PLACE_WORDS,
    meaning,
    pictogram_for,
)
from compiler.source import Source

NAMES = sorted(PICTOGRAMS)

AT = Source("protocol.md", "a step").span(0, 6)


def item(kind: Kind, layer: str = "") -> Item:
    return Item(kind.value, kind, AT, layer)


KIT = Kit(
    {kind.value: item(kind) for kind in Kind}
    | {
        "inner pair": item(Kind.GLOVES, "inner"),
        "outer pair": item(Kind.GLOVES, "outer"),
        "filter mask": item(Kind.RESPIRATOR),
    }
)
FORK = Fork("state", (Branch("sound", "", "", (), AT),), AT)


def step(*phrases, fork: Fork | None = None) -> Step:
    return Step(1, "Do it.", "", (), phrases, fork, AT)


def remove(*items: str) -> Remove:
    return Remove(items, Grip.USUAL, False, AT)


@pytest.mark.parametrize(
    ("phrases", "fork", "expected"),
    [
        ((Wear("filter mask", "", False, AT),), None, "respirator-on"),
        ((Wear("inner pair", "", False, AT),), None, "inner-gloves-on"),
        ((remove("outer pair"),), None, "outer-gloves-off"),
        ((remove("gown", "gloves"),), None, "gown-off"),
        ((Check("filter mask", AT), Wear("filter mask", "", False, AT)), None, "respirator-on"),
        ((Discard("gown", "bin", AT), remove("gown")), None, "gown-off"),
        ((Wear("cap", "", False, AT), remove("mask")), None, "mask-off"),
        ((Hygiene(False, False, AT), Go("room", AT)), None, "handrub"),
        ((Hygiene(True, False, AT),), None, "handwash"),
        ((Hygiene(False, True, AT),), None, "hygiene-on-gloves"),
        ((Check("filter mask", AT),), None, "seal-check"),
        ((Check("gown", AT),), None, "check"),
        ((Check("nothing known", AT),), None, "check"),
        ((Keep("gown", "own hook", AT), Disinfect("gown", "", AT)), None, "wipe"),
        ((Keep("gown", "own hook", AT),), None, "hook"),
        ((Keep("filter mask", "paper bag", AT),), None, "bag"),
        ((Keep("filter mask", "own hook", AT),), None, "hook"),
        ((Keep("filter mask", "shelf", AT),), None, "bag"),
        ((Keep("gown", "shelf", AT),), None, "hook"),
        ((Discard("gown", "", AT), Keep("mask", "bag", AT)), None, "bag"),
        ((Discard("gown", "", AT), Send("boots", "", AT)), None, "bin"),
        ((Send("boots", "", AT), Go("room", AT)), None, "send"),
        ((Go("room", AT), Touch("keyboard", AT)), None, "door"),
        ((Touch("door handle", AT),), None, "door"),
        ((Touch("keyboard", AT), Observed(AT)), None, "work"),
        ((Touch("mirror", AT),), None, "mirror"),
        ((Touch("bench", AT),), None, "chair"),
        ((Observed(AT),), FORK, "observer"),
        ((), FORK, "fork"),
        ((Takes(30, AT),), None, "advice"),
        ((), None, "advice"),
        # an item that the kit lacks is a finding elsewhere, and no crash here
        ((Wear("nothing known", "", False, AT),), None, "advice"),
        ((remove("nothing known"), Observed(AT)), None, "observer"),
        ((remove(),), None, "advice"),
    ],
)
def test_the_most_telling_phrase_is_drawn(phrases, fork, expected):
    assert pictogram_for(step(*phrases, fork=fork), KIT) == expected


@pytest.mark.parametrize("kind", Kind)
@pytest.mark.parametrize("layer", ["", "inner", "outer"])
def test_every_garment_in_every_layer_has_both_drawings(kind, layer):
    kit = Kit({"it": item(kind, layer)})

    on = pictogram_for(step(Wear("it", "", False, AT)), kit)
    off = pictogram_for(step(remove("it")), kit)

    assert on.replace("-on", "-off") == off
    assert {on, off} <= PICTOGRAMS.keys()
    assert on.startswith(layer) or kind is not Kind.GLOVES


def test_every_meaning_is_a_short_phrase_of_its_own():
    meanings = [meaning(name) for name in NAMES]

    assert len(set(meanings)) == len(meanings)
    assert all(len(text) <= 60 and text[0].isupper() for text in meanings)
    assert not any(text.endswith(".") for text in meanings)


def test_every_word_of_a_place_leads_to_a_drawing():
    assert set(PLACE_WORDS.values()) <= PICTOGRAMS.keys()
