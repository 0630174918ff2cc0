"""Each kind of change, once, in words that a nurse could have changed; and nothing else is told.

There is no outside source for what a change is called: the names are those of the trade.
"""

from __future__ import annotations

import dataclasses
from enum import Enum

import pytest

from compiler.changes.change import GROUPS, REVERSED, Group
from compiler.changes.clinic import changed_clinic
from compiler.changes.kit import changed_kit
from compiler.model.clinic import Clinic
from compiler.model.kit import Item, Kit
from compiler.model.protocol import Protocol
from compiler.pipeline import read_texts
from compiler.source import Source
from tests.changes.changing import compared, kinds, unproved
from tests.changes.rooms import FILES, ROOM, edited

REPLACED = [
    # the head
    ("precautions: [contact, airborne]", "precautions: [contact]", "precautions dropped", "airborne"),
    ("precautions: [contact, airborne]", "precautions: [droplet, airborne, contact]", "precautions added", "droplet"),
    ("hazard: respiratory virus", "hazard: spores", "hazard changed", "hazard"),
    ("title: Isolation room", "title: Room three", "title reworded", "title"),
    ("edition: 1", "edition: 2", "edition changed", "edition"),
    ("valid from: 2026-11-01", "valid from: 2026-11-02", "date changed", "valid from"),
    ("review by: 2027-05-01\n", "", "date changed", "review by"),
    ("owner: Infection prevention lead", "owner: Ward lead", "owner changed", "owner"),
    ("lead\n---", "lead\nallow:\n  gown-left-on: Agreed by the group, 2026-10-01\n---", "waiver added", "gown-left-on"),
    # parts
    ("# Putting on `", "# Getting dressed `", "part renamed", "Getting dressed"),
    ("`donning in change room`", "`donning in bay`", "area changed", "Putting on"),
    ("Take off watch and rings first.", "Take off your watch and all rings first.", "introduction reworded", "Putting on"),
    ("Take off watch and rings first.\n\n", "", "introduction dropped", "Putting on"),
    ("# At work `at work in room`\n\n1. **Hold on to the rail.** Stand firmly. `touch rail`\n2. **Leave.** Close the door. `go to bay`\n\n", "", "part dropped", "At work"),
    # steps
    ("1. **Get ready.** Tie back your hair.\n", "", "step dropped", "Get ready."),
    ("2. **Leave.**", "2. **Breathe.** Wait for ten breaths.\n3. **Leave.**", "step added", "Breathe."),
    ("Tie back your hair.", "Tie back all of your hair.", "step reworded", "Get ready."),
    ("**Get ready.** Tie back your hair.", "**Get ready. Tie back your hair.**", "step reworded", "Get ready. Tie back your hair."),
    ("8. **Wait for the observer.** Turn once around. `observed`\n", "", "observer dropped", "Wait for the observer."),
    ("5. **Check the seal.** Breathe out hard. `check respirator`\n", "", "seal check dropped", "Check the seal."),
    # phrases
    ("Breathe out hard. `check respirator`", "Breathe out hard.", "seal check dropped", "Check the seal."),
    ("Turn once around. `observed`", "Turn once around.", "observer dropped", "Wait for the observer."),
    ("Turn once around. `observed`", "Turn once around. `observed` `check gown`", "check added", "Wait for the observer."),
    (" `disinfect goggles with surface wipe`", "", "disinfection dropped", "Wipe and hang up the goggles."),
    ("`disinfect goggles with surface wipe`", "`disinfect goggles with sporicidal wipe`", "agent changed", "Wipe and hang up the goggles."),
    ("`remove goggles by straps`", "`remove goggles by outside`", "grip changed", "Wipe and hang up the goggles."),
    ("`keep goggles on other hook`", "`keep goggles on own hook`", "place changed", "Wipe and hang up the goggles."),
    ("`wear goggles from other hook`", "`wear goggles`", "place changed", "Put on the goggles."),
    ("`wear gown with assistant`", "`wear gown`", "assistant dropped", "Put on the gown."),
    ("`wear gloves`", "`wear goggles`", "item changed", "Put on gloves."),
    ("`touch rail`", "`touch trolley`", "place changed", "Hold on to the rail."),
    ("Leave the bay. `go to change room`", "Leave the bay. `go to room`", "area changed", "Go out."),
    ("`keep respirator on own hook`", "`discard respirator in bin`", "now discarded instead of kept", "Hang up the respirator."),
    ("`keep respirator on own hook`", "`send respirator in laundry bag`", "now sent instead of kept", "Hang up the respirator."),
    ("`discard gloves in bin`", "`send gloves in laundry bag`", "now sent instead of discarded", "Take off the gloves."),
    ("`wear gloves`", "`wear gloves` `takes 40 s`", "time changed", "Put on gloves."),
    ("`wear gloves`", "`wear gloves` `touch rail`", "action added", "Put on gloves."),
    ("`remove gloves by cuffs` `discard gloves in bin`", "`discard gloves in bin` `remove gloves by cuffs`", "actions reordered", "Take off the gloves."),
    # cautions, numbers, prohibitions
    ("   > Do not wear it when it is damp.\n", "", "caution dropped", "Put on the respirator."),
    ("Do not wear it when it is damp.", "Do not wear it when it is wet or damp.", "caution reworded", "Put on the respirator."),
    ("Do not wear it when it is damp.", "Wear it when it is damp.", "prohibition dropped", "Put on the respirator."),
    ("Stand firmly.", "Stand firmly. Never lean.", "prohibition added", "Hold on to the rail."),
    ("Count to ten.", "Count to 10.", "number changed", "Breathe calmly."),
    # questions and answers
    ("`decide gown state`", "`decide wetness of gown`".replace(" of", ""), "question renamed", "Look at the gown."),
    ("`if wet`", "`if soaked`", "answer renamed", "soaked"),
    ("- **Dry.** `if dry`", "- **It is dry.** `if dry`", "answer reworded", "dry"),
    ("   - **Dry.** `if dry`\n", "   - **Damp.** `if damp`\n   - **Dry.** `if dry`\n", "answer added", "damp"),
]  # fmt: skip


@pytest.mark.parametrize(("old", "new", "kind", "subject"), REPLACED)
def test_a_kind_is_told_alone_and_its_reverse_the_other_way(old, new, kind, subject):
    after = edited("room.md", (old, new))

    assert kinds(unproved(FILES, after)) == [(kind, subject)]
    assert [c.kind for c in unproved(after, FILES)] == [REVERSED[kind]]


SEVERAL = {
    "hygiene changes from handrub to soap and water": (
        ("`wear gown with assistant`", "`wear gown with assistant`"),
        ("2. **Clean your hands.** Rub until dry, 20 to 30 seconds. `handrub`\n3. **Put", "2. **Clean your hands.** Rub until dry, 20 to 30 seconds. `handwash`\n3. **Put"),
        [("hand hygiene changed", "Clean your hands.")],
    ),
    "a step moves into an answer": (
        ("4. **Wipe and hang up the goggles.** Lift the strap. `remove goggles by straps` `disinfect goggles with surface wipe` `keep goggles on other hook`\n", ""),
        ("     2. **Breathe calmly.**", "     2. **Wipe and hang up the goggles.** Lift the strap. `remove goggles by straps` `disinfect goggles with surface wipe` `keep goggles on other hook`\n     3. **Breathe calmly.**"),
        [("step moved", "Wipe and hang up the goggles.")],
    ),
    "a step moves to another part": (
        ("1. **Hold on to the rail.** Stand firmly. `touch rail`\n", ""),
        ("3. **Look at the gown.**", "3. **Hold on to the rail.** Stand firmly. `touch rail`\n4. **Look at the gown.**"),
        [("step moved", "Hold on to the rail.")],
    ),
    "a step moves from the end of an answer to after the question": (
        ("     2. **Breathe calmly.** Count to ten.\n", ""),
        ("4. **Wipe and", "4. **Breathe calmly.** Count to ten.\n5. **Wipe and"),
        [("step moved", "Breathe calmly.")],
    ),
    "a step moves and says something else": (
        ("7. **Put on gloves.** Pull the cuffs over your sleeves. `wear gloves`\n", ""),
        ("3. **Put on the gown.**", "3. **Put on gloves.** Pull them over your sleeves. `wear gloves`\n4. **Put on the gown.**"),
        [("step moved", "Put on gloves."), ("step reworded", "Put on gloves.")],
    ),
    "an answer goes with its steps": (
        ("   - **Dry.** `if dry`\n     1. **Fold the dry gown.** Inside out. `remove gown by ties` `send gown in laundry bag`\n     2. **Breathe calmly.** Count to ten.\n", "   - **Damp.** `if damp`\n     1. **Call for help.** Wait here.\n"),
        ("**Look at the gown.**", "**Look at the gown.**"),
        [("answer dropped", "dry"), ("answer added", "damp")],
    ),
    "a caution moves to another step": (
        ("   > Do not wear it when it is damp.\n", ""),
        ("5. **Check the seal.** Breathe out hard. `check respirator`\n", "5. **Check the seal.** Breathe out hard. `check respirator`\n   > Do not wear it when it is damp.\n"),
        [("caution moved", "Check the seal.")],
    ),
    "two answers change places": (
        ("   - **Wet.** `if wet`\n     1. **Roll up the wet gown.** Keep it away from you. `remove gown by ties` `send gown in laundry bag`\n", ""),
        ("     2. **Breathe calmly.** Count to ten.\n", "     2. **Breathe calmly.** Count to ten.\n   - **Wet.** `if wet`\n     1. **Roll up the wet gown.** Keep it away from you. `remove gown by ties` `send gown in laundry bag`\n"),
        [("answers reordered", "Look at the gown.")],
    ),
}  # fmt: skip


@pytest.mark.parametrize("case", SEVERAL)
def test_what_belongs_together_is_told_together(case):
    *changes, expected = SEVERAL[case]
    after = edited("room.md", *changes)

    assert kinds(unproved(FILES, after)) == expected
    back = sorted((REVERSED[kind]) for kind, _ in expected)
    assert sorted(c.kind for c in unproved(after, FILES)) == back


LOOK_ALIKE = "1. **Get ready.** Tie back your beard.\n"


def test_a_step_that_moved_is_not_taken_for_what_came_into_its_place():
    line = "1. **Get ready.** Tie back your hair.\n"
    after = edited(
        "room.md", (line, LOOK_ALIKE), ("5. **Check the", f"5{line[1:]}6. **Check the")
    )

    told = kinds(unproved(FILES, after))

    assert sorted(told) == [("step added", "Get ready."), ("step moved", "Get ready.")]


def test_hand_hygiene_in_another_part_is_another_one():
    """It is not told as moved: hands that are no longer cleaned here come first."""
    clean = "2. **Clean your hands.** Rub until dry, 20 to 30 seconds. `handrub`\n"
    after = edited(
        "room.md",
        (f"{clean}3. **Put on the gown.**", "3. **Put on the gown.**"),
        ("1. **Take off the gloves.**", f"1{clean[1:]}2. **Take off the gloves.**"),
    )

    told = kinds(unproved(FILES, after))

    assert told == [
        ("hand hygiene dropped", "Clean your hands."),
        ("hand hygiene added", "Clean your hands."),
    ]


def test_a_question_that_goes_leaves_the_steps_that_stay():
    text = ROOM.replace("3. **Look at the gown.** Is it wet? `decide gown state`\n", "")
    text = text.replace(
        "   - **Wet.** `if wet`\n     1. **Roll up the wet gown.** Keep it away from you. `remove gown by ties` `send gown in laundry bag`\n   - **Dry.** `if dry`\n",
        "",
    )
    text = text.replace("     1. **Fold", "3. **Fold").replace(
        "     2. **Breathe", "4. **Breathe"
    )

    told = unproved(FILES, {**FILES, "room.md": text})

    assert sorted(kinds(told)) == [
        ("question dropped", "Look at the gown."),
        ("step moved", "Breathe calmly."),
        ("step moved", "Fold the dry gown."),
    ]
    [gone] = [c for c in told if c.kind == "question dropped"]
    assert [detail.was for detail in gone.details] == ["Roll up the wet gown."]
    [fold, _] = [c for c in told if c.kind == "step moved"]
    assert "from Taking off, gown state: dry to Taking off" in fold.sentence


def test_parts_that_change_places_move_as_parts():
    begin, work, end = ROOM.index("# Putting"), ROOM.index("# At work"), ROOM.index("# Taking")
    text = ROOM[:begin] + ROOM[work:end] + ROOM[begin:work] + ROOM[end:]

    [moved] = unproved(FILES, {**FILES, "room.md": text})

    assert moved.kind == "part moved"
    assert moved.subject in {"Putting on", "At work"}


# ---- the two YAML files


IN_YAML = [
    ("kit.yaml", "after use: send", "after use: discard", "limit changed", "gown"),
    ("kit.yaml", "rest: 5 days", "rest: 3 days", "limit changed", "respirator"),
    ("kit.yaml", "at most: 5 wearings", "at most: 8 wearings", "limit changed", "respirator"),
    ("kit.yaml", ", at most: 5 wearings", "", "limit changed", "respirator"),
    ("kit.yaml", ", disinfect with: surface wipe", "", "limit changed", "goggles"),
    ("kit.yaml", "keep on: other hook", "keep on: own hook", "kit changed", "goggles"),
    ("kit.yaml", "kind: goggles", "kind: face shield", "kit changed", "goggles"),
    ("kit.yaml", "gloves: {kind: gloves,", "gloves: {kind: gloves, layer: outer,", "kit changed", "gloves"),
    ("kit.yaml", "gloves: {", "cap: {kind: cap}\ngloves: {", "item added", "cap"),
    ("clinic.yaml", "after every item", "after gloves and at the end", "house rule changed", "hand hygiene policy"),
    ("clinic.yaml", "on gloves: allowed", "on gloves: forbidden", "house rule changed", "hand hygiene on gloves"),
    ("clinic.yaml", "on gloves: allowed", "on gloves: allowed, rub: 15 to 20 s", "limit changed", "rub"),
    ("clinic.yaml", "on gloves: allowed", "on gloves: allowed, wash: 30 to 60 s", "limit changed", "wash"),
    ("clinic.yaml", "agents:", "staffing: {observer: false}\nagents:", "house rule changed", "observer"),
    ("clinic.yaml", "agents:", "staffing: {assistant: false}\nagents:", "house rule changed", "assistant"),
    ("clinic.yaml", "wet time: 2 min", "wet time: 90 s", "limit changed", "surface wipe"),
    ("clinic.yaml", ", kills spores: true", "", "limit changed", "sporicidal wipe"),
    ("clinic.yaml", "agents:\n", "agents:\n  strong wipe: {wet time: 1 min}\n", "agent added", "strong wipe"),
    ("clinic.yaml", "bay: transition", "bay: clean", "house rule changed", "bay"),
    ("clinic.yaml", "areas:\n", "areas:\n  store: clean\n", "area added", "store"),
    ("clinic.yaml", "own hook: {in: bay, for: keeping}", "own hook: {in: bay, for: keeping, holds: 2}", "limit changed", "own hook"),
    ("clinic.yaml", "bin: {in: bay", "bin: {in: room", "house rule changed", "bin"),
    ("clinic.yaml", "for: sending", "for: waste", "house rule changed", "laundry bag"),
    ("clinic.yaml", "places:\n", "places:\n  mirror: {in: bay, for: use}\n", "place added", "mirror"),
    ("clinic.yaml", "clinic: Tern Island Health Post", "clinic: Tern Island", "clinic changed", "name"),
    ("clinic.yaml", "extension 214", "extension 215", "clinic changed", "contact"),
    ("clinic.yaml", "areas:", "link: https://tern-island.example/\nareas:", "clinic changed", "link"),
    ("clinic.yaml", "languages: [en]", "languages: [en, es]", "language added", "es"),
    ("clinic.yaml", "areas:", "paper: A2\nareas:", "sheets changed", "paper"),
    ("clinic.yaml", "areas:", "card: A6\nareas:", "sheets changed", "card"),
    ("clinic.yaml", "areas:", "products: [poster]\nareas:", "sheets changed", "products"),
    ("clinic.yaml", "areas:", "reading distance: {leads: 2.0 m}\nareas:", "sheets changed", "reading distance of leads"),
    ("clinic.yaml", "areas:", "answers: {gown state: wet}\nareas:", "standing answer added", "gown state"),
]  # fmt: skip


@pytest.mark.parametrize(("name", "old", "new", "kind", "subject"), IN_YAML)
def test_a_value_of_clinic_or_kit_is_told_alone(name, old, new, kind, subject):
    after = edited(name, (old, new))

    assert kinds(unproved(FILES, after)) == [(kind, subject)]
    assert [c.kind for c in unproved(after, FILES)] == [REVERSED[kind]]


def other(value: object) -> object:
    """Another value of the same type."""
    if isinstance(value, Enum):
        return next(each for each in type(value) if each is not value)
    if isinstance(value, bool):
        return not value
    if isinstance(value, int):
        return value + 7
    return f"{value}x"


@pytest.mark.parametrize("field", [f.name for f in dataclasses.fields(Item) if f.name not in {"at", "name"}])  # fmt: skip
def test_no_field_of_an_item_changes_in_silence(field):
    kit = read_texts({n: Source(n, t) for n, t in FILES.items()}).kit
    item = kit.items["goggles"]
    new = dataclasses.replace(item, **{field: other(getattr(item, field))})

    assert [*changed_kit(kit, Kit({**kit.items, "goggles": new}))]


@pytest.mark.parametrize("field", [f.name for f in dataclasses.fields(Clinic) if not f.name.endswith("at")])  # fmt: skip
def test_no_field_of_the_clinic_changes_in_silence(field):
    clinic = read_texts({n: Source(n, t) for n, t in FILES.items()}).clinic
    value = getattr(clinic, field)
    if isinstance(value, dict):
        value = {} if value else {"gown state": "wet"}
    elif isinstance(value, tuple):
        value = (60, 60) if field.endswith("seconds") else (*value, "es")
    elif dataclasses.is_dataclass(value):
        first = dataclasses.fields(value)[0].name
        value = dataclasses.replace(value, **{first: 3})
    else:
        value = other(value)

    assert [*changed_clinic(clinic, dataclasses.replace(clinic, **{field: value}))]


@pytest.mark.parametrize("field", [f.name for f in dataclasses.fields(Protocol)])
def test_every_field_of_a_protocol_is_known_to_the_cases_above(field):
    """A field that is new has to be compared, and then to be named here."""
    assert field in {
        *("name", "title", "precautions", "hazard", "edition", "valid_from", "review_by"),
        *("owner", "parts", "source", "at", "waivers"),
    }


# ---- protocols, translations, findings


def test_protocols_come_and_go():
    both = {**FILES, "store.md": ROOM.replace("Isolation room", "Store")}

    assert kinds(unproved(FILES, both)) == [("protocol added", "store")]
    assert kinds(unproved(both, FILES)) == [("protocol dropped", "store")]


def test_a_file_that_got_another_name_is_the_same_protocol():
    renamed = {
        "clinic.yaml": FILES["clinic.yaml"],
        "kit.yaml": FILES["kit.yaml"],
        "bay.md": ROOM,
    }

    assert kinds(unproved(FILES, renamed)) == [("protocol renamed", "bay")]


PO = """\
msgid ""
msgstr ""
"Language: es\\n"

msgctxt "lead"
msgid "Get ready."
msgstr "Prepárese."

msgctxt "lead"
msgid "Go in."
msgstr "Entre."
"""


def test_translations_are_told_by_language_with_their_texts():
    before = {**FILES, "es/room.po": PO}
    new = PO.replace("Prepárese.", "Prepárate.") + '\nmsgid "Leave."\nmsgstr "Salga."\n'

    [change] = unproved(before, {**FILES, "es/room.po": new})

    assert (change.kind, change.subject, change.language) == (
        "translation changed",
        "es/room",
        "es",
    )
    assert change.sentence == "The es translation of room: texts: 1 changed, 1 new."
    assert [(d.was, d.is_now) for d in change.details] == [
        ("Prepárese.", "Prepárate."),
        ("", "Salga."),
    ]
    assert kinds(unproved(FILES, before)) == [("translation added", "es/room")]


def test_findings_gained_and_lost_come_from_the_proof():
    after = edited(
        "room.md", ("5. **Check the seal.** Breathe out hard. `check respirator`\n", "")
    )

    gained = [c for c in compared(FILES, after).changes if c.group is Group.FINDINGS]
    lost = [c for c in compared(after, FILES).changes if c.group is Group.FINDINGS]

    # the check was also the tally of the wearings
    slugs = ["seal-unchecked", "wearings-untallied"]
    assert [(c.kind, c.subject) for c in gained] == [("finding gained", s) for s in slugs]
    assert [(c.kind, c.subject) for c in lost] == [("finding lost", s) for s in slugs]
    lines = after["room.md"].split("\n")
    assert gained[0].look_first
    assert "`wear respirator from own hook`" in lines[gained[0].new.line - 1]
    assert gained[0].old is None


def test_a_finding_that_is_waived_is_not_told_as_lost():
    unsealed = edited(
        "room.md", ("5. **Check the seal.** Breathe out hard. `check respirator`\n", "")
    )
    text = unsealed["room.md"].replace(
        "lead\n---", "lead\nallow:\n  seal-unchecked: Agreed, 2026-10-01\n---"
    )
    waived = {**FILES, "room.md": text}

    there = [(c.kind, c.subject, c.look_first) for c in compared(unsealed, waived).changes]
    back = [(c.kind, c.subject) for c in compared(waived, unsealed).changes]

    assert ("finding waived", "seal-unchecked", True) in there
    assert ("finding no longer waived", "seal-unchecked") in back


def test_a_house_rule_can_bring_findings_to_an_unchanged_protocol():
    before = edited("clinic.yaml", ("after every item", "when contaminated and at the end"))
    loose = {
        **before,
        "room.md": ROOM.replace(
            "2. **Clean your hands.** Rub until dry, 20 to 30 seconds. `handrub`\n3. **Look",
            "3. **Look",
        ),
    }
    strict = {**loose, "clinic.yaml": FILES["clinic.yaml"]}

    told = compared(loose, strict).changes

    assert [(c.kind, c.subject) for c in told if c.group is not Group.FINDINGS] == [
        ("house rule changed", "hand hygiene policy")
    ]
    assert "hand-hygiene-skipped" in {c.subject for c in told if c.kind == "finding gained"}


def test_what_may_take_protection_away_is_told_first_in_its_group():
    after = edited(
        "room.md",
        ("1. **Get ready.** Tie back your hair.", "1. **Get up.** Stand.\n1. **Get ready.** Tie back your hair."),
        ("   > Do not touch the front.\n", ""),
    )  # fmt: skip

    first, second = unproved(FILES, after)

    assert (first.kind, first.look_first) == ("caution dropped", True)
    assert (second.kind, second.look_first) == ("step added", False)


def test_every_kind_has_a_group_and_a_reverse_that_has_it_back():
    assert all(REVERSED[REVERSED[kind]] == kind for kind in GROUPS)
    assert all(GROUPS[REVERSED[kind]] is GROUPS[kind] for kind in GROUPS)
    assert len(GROUPS) == len(REVERSED)
