"""Wording: what is told, and above all what is not.

There is no oracle for good wording. Sources stand beside the checks that have one; the others
are common practice without a source. False alarms are what an author would switch off, so each
rule has more texts that must stay silent than texts that must be told.
"""

from __future__ import annotations

from pathlib import Path

import pytest

from compiler.catalogue import FAMILIES
from compiler.pipeline import open_set, validated
from compiler.storage import find_sets
from tests.rules.texts import PROTOCOL, detail, lead, slugs, told

TOP = Path(__file__).parent.parent.parent
WORDING = {rule.slug for rule in FAMILIES["wording"]}


@pytest.mark.parametrize("folder", ["protocols", "compiler/starter"])
def test_the_examples_are_silent(folder):
    for place, files in find_sets([TOP / folder]):
        found = validated(open_set(place, files))
        assert [f for f in found if f.rule.slug in WORDING] == []


# ---- one action


def phrases(words: str) -> tuple[str, str]:
    return "`wear gown`", words


@pytest.mark.parametrize(
    "words",
    ["`wear gown` `takes 45 s`", "`wear gown` `check gown`"],
)
def test_one_movement_may_have_several_phrases(words):
    assert slugs(phrases(words)) == []


@pytest.mark.parametrize(
    ("old", "new"),
    [
        ("`wear mask`", "`wear mask` `wear face shield`"),
        ("`handrub`\n3.", "`handrub` `wear gown`\n3."),
        ("`discard gloves in waste bin`", "`discard gloves in waste bin` `handrub`"),
        ("`wear gloves`", "`wear gloves` `go to patient room`"),
        ("`wear gloves`", "`wear gloves` `check mask`"),
    ],
)
def test_two_actions_in_a_step_are_told(old, new):
    """AHRQ, PEMAT (2013), item 22: the action is broken into explicit steps."""
    assert "two-actions-in-a-step" in slugs((old, new))


def test_the_second_action_is_shown_and_then_the_first():
    finding = next(
        f for f in told(("`wear mask`", "`wear mask` `wear face shield`"))
        if f.rule.slug == "two-actions-in-a-step"
    )  # fmt: skip

    assert finding.at.span.text == "wear face shield"
    assert [mark.span.text for mark in finding.path] == ["wear mask"]


# ---- an instruction

VERBS = """
Perform Grasp Hold Slide Unfasten Fold Discard Secure Tie Fit Place Extend Peel Lift
Pinch Sanitise Remove Don Doff Select Inspect Bring Position Caution Document Station Mask Cap
Shield Gown Glove Hand Wring Face Eye Head Boot
"""
"""Verbs of published lists (CDC, PPE sequence, CS250672, 2014) and verbs that look like nouns."""


@pytest.mark.parametrize("verb", VERBS.split())
def test_a_lead_that_begins_with_a_verb_is_silent(verb):
    assert slugs(lead(f"{verb} it now.")) == []


@pytest.mark.parametrize(
    "words",
    [
        "Carefully lift the strap.", "In the bay, stand still.", "With both hands, lift it.",
        "Leaning forward, lift it.", "If it is wet, wipe it.", "Do not go in yet.",
        "Never work alone.", "Always work in pairs.", "Now wait.", "Before you go in, look.",
        "“Stop” means stop.", "2 people are needed.",
    ],
)  # fmt: skip
def test_what_may_be_an_instruction_is_silent(words):
    """In doubt the rule says nothing."""
    assert "lead-not-an-instruction" not in slugs(lead(words))


@pytest.mark.parametrize(
    "words",
    [
        "The gown.", "Gloves.", "Gloves off.", "Your hands.", "Hand hygiene.", "Seal check.",
        "Face shield on.", "Removing gloves.", "Preparation.", "Equipment.", "Ready?",
        "You wear a gown.", "There is a mirror.", "No jewellery.", "Is it wet?",
    ],
)  # fmt: skip
def test_a_lead_that_names_or_asks_is_told(words):
    """AHRQ, PEMAT (2013), items 20 and 21: an action, addressed to the reader."""
    assert slugs(lead(words)) == ["lead-not-an-instruction"]


def test_leads_in_other_languages_are_not_judged():
    assert slugs(lead("The gown."), clinic=("languages: [en]", "languages: [fr]")) == []


# ---- what must not be done


@pytest.mark.parametrize(
    "words",
    [
        "If you do not feel air, go on.", "They do not fit over boots.", "It cannot be washed.",
        "Pull until it does not slip.", "Not every mask fits.", "No more is needed.",
        "Press gently and not hard.", "The nose strip must be bent.",
    ],
)  # fmt: skip
def test_a_mere_not_is_no_order(words):
    assert "prohibition-only-in-detail" not in slugs(detail(words))


@pytest.mark.parametrize(
    "words",
    [
        "Do not touch the front.", "Press the strip. Never share it.", "Press, but don’t pull.",
        "Hold the ties and do not let go.", "It must not slip.", "Note: do not bend it back.",
        "NEVER pull the front.",
    ],
)  # fmt: skip
def test_an_order_not_to_in_the_detail_is_told(words):
    assert slugs(detail(words)) == ["prohibition-only-in-detail"]


def test_the_same_order_in_a_caution_is_enough_and_another_is_not():
    words = "Do not touch the front. `wear mask`\n   > "
    old = "Press the strip to your nose. Pull the mask under your chin. `wear mask`"

    assert slugs((old, words + "Do not touch the front of the mask.")) == []
    assert slugs((old, words + "Do not go in alone.")) == ["prohibition-only-in-detail"]


@pytest.mark.parametrize(
    ("tag", "order", "description"),
    [
        ("es", "No toque la parte delantera.", "No hay otra."),
        ("es", "Nunca la comparta.", "Si no siente aire, siga."),
        ("fr", "Ne touchez pas le devant.", "Il n’est pas lavable."),
        ("pt", "Não toque na frente.", "Se não sentir ar, siga."),
        ("de", "Berühren Sie nicht die Vorderseite.", "Er ist nicht waschbar."),
    ],
)
def test_orders_not_to_in_other_languages(tag, order, description):
    """Grammar of each language, from memory; Spanish as in the example's translation."""
    clinic = ("languages: [en]", f"languages: [{tag}]")

    assert slugs(detail(order), clinic=clinic) == ["prohibition-only-in-detail"]
    assert slugs(detail(description), clinic=clinic) == []


# ---- one name


@pytest.mark.parametrize(
    "words",
    ["Give the patient a mask.", "Wear it over your glasses.", "Press the mask to your face."],
)
def test_right_names_are_silent(words):
    assert slugs(detail(words)) == []


def test_a_word_for_a_kind_that_nothing_is_called_by_is_told_once():
    """Federal plain language guidelines (2011): use the same term for the same thing."""
    found = told(lead("Fetch a visor."), detail("Leave room for the visor."))

    assert [f.rule.slug for f in found] == ["item-with-two-names"]
    assert found[0].at.span.text == "visor"
    assert len(found[0].path) == 1


def test_a_name_that_the_kit_uses_is_right():
    """A clinic may call its face shield a visor, and then "face shield" is the second name."""
    swapped = PROTOCOL.replace("face shield", "visor")
    kit = ("face shield: {kind", "visor: {kind")

    assert slugs((PROTOCOL, swapped), kit=kit) == []
    other = swapped.replace("**Get ready.**", "**Fetch a face shield.**")
    assert slugs((PROTOCOL, other), kit=kit) == ["item-with-two-names"]


def test_a_patients_mask_is_none_of_the_respirators():
    kit = ("mask: {kind: mask", "respirator: {kind: respirator")
    text = PROTOCOL.replace("mask", "respirator").replace(
        "`go to patient room`", "`go to patient room`", 1
    )
    sealed = text.replace("`wear respirator`", "`wear respirator` `check respirator`")
    patient = sealed.replace("**Get ready.**", "**Give the patient a mask.**")
    mixed = sealed.replace("Press the strip", "Press the mask")

    assert slugs((PROTOCOL, patient), kit=kit) == []
    assert slugs((PROTOCOL, mixed), kit=kit) == ["item-with-two-names"]


# ---- trade names


@pytest.mark.parametrize("sign", ["®", "™", "℠"])
def test_a_sign_of_a_trade_mark_is_told(sign):
    (finding,) = told(detail(f"Take the Exemplaris{sign} kind."))

    assert finding.rule.slug == "trade-name"
    assert finding.at.span.text == f"Exemplaris{sign}"


def test_other_signs_and_capitals_are_silent():
    assert slugs(detail("Use 5 mL at pH 7 © clinic, McBurney side.")) == []


def test_findings_about_words_can_be_waived():
    waiver = 'owner: Infection prevention lead\nallow: {long-lead: "agreed, 2026-11-01"}'
    long = lead("Take one two three four five six seven eight.")

    assert slugs(long, ("owner: Infection prevention lead", waiver)) == []
