"""What each phrase does to the state: the table "What the checker knows", row by row.

Levels are numbers: 0 clean, 1 touched, 2 contaminated.
"""

from __future__ import annotations

from compiler.model.clinic import Clinic, Zone
from compiler.model.kit import Item, Kind, Kit
from compiler.model.protocol import (
    Begin,
    Check,
    Discard,
    Disinfect,
    Go,
    Grip,
    Hygiene,
    Keep,
    Remove,
    Send,
    Touch,
    Wear,
)
from tests.reference.text import Text

CLEAN, TOUCHED, CONTAMINATED = 0, 1, 2
NOTHING, AN_ITEM, GLOVES = 0, 1, 2

BODY = {
    Kind.MASK: "face",
    Kind.RESPIRATOR: "face",
    Kind.POWERED_RESPIRATOR: "face",
    Kind.GOGGLES: "face",
    Kind.FACE_SHIELD: "face",
    Kind.HOOD: "hair",
    Kind.CAP: "hair",
    Kind.GOWN: "clothing",
    Kind.COVERALL: "clothing",
    Kind.APRON: "clothing",
    Kind.CLOTHING: "clothing",
    Kind.BOOTS: "feet",
    Kind.BOOT_COVERS: "feet",
}


def hides(over: Item, under: Item) -> bool:
    """Whether one worn item covers another completely."""
    pair = (over.kind, under.kind)
    if pair == (Kind.GLOVES, Kind.GLOVES):
        return over.layer != "inner" and under.layer == "inner"
    return pair in {
        (Kind.BOOT_COVERS, Kind.BOOTS),
        (Kind.HOOD, Kind.CAP),
        (Kind.GOWN, Kind.CLOTHING),
        (Kind.COVERALL, Kind.CLOTHING),
    }


def hidden(name: str, state: dict, kit: Kit) -> bool:
    """Whether anything worn covers the item."""
    return any(
        over != name and hides(kit.items[over], kit.items[name]) for over in state["worn"]
    )


def gloves_worn(state: dict, kit: Kit) -> list[str]:
    """Gloves from the innermost to the outermost."""
    gloves = [name for name in state["worn"] if kit.items[name].kind is Kind.GLOVES]
    inner = [name for name in gloves if kit.items[name].layer == "inner"]
    return inner + [name for name in gloves if name not in inner]


def hand(state: dict, kit: Kit) -> int:
    """How clean the hand is: the outermost gloves, or bare hands."""
    gloves = gloves_worn(state, kit)
    return state["items"][gloves[-1]]["outside"] if gloves else state["bare hands"]


def set_hand(state: dict, kit: Kit, level: int) -> None:
    gloves = gloves_worn(state, kit)
    if gloves:
        state["items"][gloves[-1]]["outside"] = level
    else:
        state["bare hands"] = level


def meets(state: dict, kit: Kit, level: int) -> None:
    """The hand meets a level."""
    set_hand(state, kit, max(hand(state, kit), level))


def do(phrase: object, state: dict, text: Text, clinic: Clinic, kit: Kit) -> None:
    """The row of the table for this phrase; no row, no effect."""
    match phrase:
        case Begin() | Go():
            arrive(phrase, state, text, clinic, kit)
        case Wear():
            wear(phrase, state, clinic, kit)
        case _ if type(phrase) in BY_HAND:
            BY_HAND[type(phrase)](phrase, state, kit)


def arrive(phrase: Begin | Go, state: dict, text: Text, clinic: Clinic, kit: Kit) -> None:
    another = phrase.area != state["area"]
    state["area"] = phrase.area
    contaminated = clinic.areas[phrase.area].zone is Zone.CONTAMINATED
    if contaminated and (another or phrase in text.work_begins):
        for name in state["worn"]:
            if not hidden(name, state, kit):
                state["items"][name]["outside"] = CONTAMINATED
        if not gloves_worn(state, kit) and phrase not in text.gloves_follow:
            state["bare hands"] = CONTAMINATED
            state["handled"] = True
        state["entered"] = True
        state["way in"] = phrase in text.gloves_follow


def clean_hands(phrase: Hygiene, state: dict, kit: Kit) -> None:
    set_hand(state, kit, CLEAN)
    state["owed"], state["handled"], state["cleaned"] = NOTHING, False, True


def wear(phrase: Wear, state: dict, clinic: Clinic, kit: Kit) -> None:
    item = state["items"][phrase.item]
    item["put on"] = phrase.at
    if item["where"] == "worn":
        return
    if item["where"] in ("ready", "discarded", "sent"):
        item["outside"] = item["inside"] = CLEAN
    if not phrase.assistant:
        before = hand(state, kit)
        meets(state, kit, item["outside"])
        item["outside"] = max(item["outside"], before)
        item["inside"] = max(item["inside"], before)
    kind = kit.items[phrase.item].kind
    if kind in BODY:
        state["body"][BODY[kind]] = max(state["body"][BODY[kind]], item["inside"])
    item.update({"where": "worn", "checked": False, "kept at": ""})
    state["worn"].append(phrase.item)
    if kind not in (Kind.BOOTS, Kind.CLOTHING):
        state["cleaned"] = True
    contaminated = clinic.areas[state["area"]].zone is Zone.CONTAMINATED
    if contaminated and not hidden(phrase.item, state, kit):
        item["outside"] = max(item["outside"], TOUCHED)


def remove(phrase: Remove, state: dict, kit: Kit) -> None:
    for name in phrase.items:
        state["items"][name]["taken off"] = phrase.at
        if state["items"][name]["where"] == "worn":
            take_off(name, phrase, state, kit)


def take_off(name: str, phrase: Remove, state: dict, kit: Kit) -> None:
    item, kind = state["items"][name], kit.items[name].kind
    item["where"] = "in the hand"
    state["worn"].remove(name)
    hand_was = hand(state, kit)
    if not phrase.assistant or kind is Kind.GLOVES:
        if kind in BODY:
            state["body"][BODY[kind]] = max(state["body"][BODY[kind]], hand_was)
        if phrase.grip is Grip.OUTSIDE:
            meets(state, kit, item["outside"])
            item["outside"] = max(item["outside"], hand_was)
        elif item["outside"] != CLEAN:
            meets(state, kit, TOUCHED)
        if kind is Kind.GLOVES:
            meets(state, kit, TOUCHED)
    state["owed"] = max(state["owed"], GLOVES if kind is Kind.GLOVES else AN_ITEM)
    state["handled"] = True


def put_down(name: str, where: str, state: dict, kit: Kit) -> int:
    """Lets go of an item; returns how clean the hand was."""
    item = state["items"][name]
    if name in state["worn"]:
        state["worn"].remove(name)
    hand_was = hand(state, kit)
    meets(state, kit, min(item["outside"], TOUCHED))
    item.update({"where": where, "kept at": ""})
    state["handled"] = True
    return hand_was


def give_away(phrase: Discard | Send, state: dict, kit: Kit) -> None:
    put_down(phrase.item, "sent" if isinstance(phrase, Send) else "discarded", state, kit)
    # Nothing more is known of what is gone; a later `wear` takes a fresh one.
    state["items"][phrase.item].update({"outside": CLEAN, "inside": CLEAN})


def keep(phrase: Keep, state: dict, kit: Kit) -> None:
    item, places = state["items"][phrase.item], state["places"]
    hand_was = put_down(phrase.item, "kept", state, kit)
    item["kept at"] = phrase.place
    item["outside"] = max(item["outside"], places[phrase.place])
    if not kit.items[phrase.item].rest:
        places[phrase.place] = max(places[phrase.place], item["outside"])
    if hand_was == CONTAMINATED:
        places[phrase.place] = CONTAMINATED


def disinfect(phrase: Disinfect, state: dict, kit: Kit) -> None:
    item = state["items"].get(phrase.target)
    was = item["outside"] if item else state["places"][phrase.target]
    if phrase.target not in gloves_worn(state, kit)[-1:]:
        meets(state, kit, min(was, TOUCHED))
    if item:
        item["outside"] = CLEAN
    else:
        state["places"][phrase.target] = CLEAN
    if was != CLEAN:
        state["handled"] = True


def check(phrase: Check, state: dict, kit: Kit) -> None:
    item = state["items"][phrase.item]
    item["checked"] = item["checked this round"] = True
    mask = kit.items[phrase.item].kind in (Kind.MASK, Kind.RESPIRATOR)
    if mask and item["where"] == "worn":
        item["outside"] = max(hand(state, kit), item["outside"])
        meets(state, kit, item["outside"])


def touch(phrase: Touch, state: dict, kit: Kit) -> None:
    both = max(hand(state, kit), state["places"][phrase.place])
    state["places"][phrase.place] = both
    set_hand(state, kit, both)
    if both != CLEAN:
        state["handled"] = True


BY_HAND = {
    Hygiene: clean_hands,
    Remove: remove,
    Discard: give_away,
    Send: give_away,
    Keep: keep,
    Disinfect: disinfect,
    Check: check,
    Touch: touch,
}


def end_of_part(state: dict) -> None:
    """Forgets a way in that gloves were to follow."""
    state["way in"] = False


def end_of_round(state: dict, kit: Kit) -> None:
    """The end of the last part; also makes the state before the first round complete."""
    for name, item in state["items"].items():
        if item["where"] != "kept":
            item.update({"where": "ready", "kept at": "", "outside": CLEAN, "inside": CLEAN})
        elif kit.items[name].rest:
            item["outside"] = min(item["outside"], TOUCHED)
        item["checked"] = item["checked this round"] = False
    state["worn"] = []
    state["area"] = ""
    state["bare hands"] = CLEAN
    state["body"] = {"face": CLEAN, "hair": CLEAN, "clothing": CLEAN, "feet": CLEAN}
    state["cleaned"] = state["handled"] = state["entered"] = state["way in"] = False
    state["owed"] = NOTHING
