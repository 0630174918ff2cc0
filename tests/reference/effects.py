"""What each phrase does to the state: the table "What the checker knows", row by row.

Levels are numbers: 0 clean, 1 touched, 2 contaminated.
"""

from __future__ import annotations

from dataclasses import dataclass

from compiler.model.clinic import Clinic, Zone
from compiler.model.kit import Item, Kind, Kit
from compiler.model.protocol import (
    Activity,
    Begin,
    Check,
    Discard,
    Disinfect,
    Go,
    Grip,
    Hygiene,
    Keep,
    Phrase,
    Protocol,
    Remove,
    Send,
    Touch,
    Wear,
    every_step,
)

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


@dataclass(frozen=True)
class Text:
    """What is known from the text alone."""

    work_begins: list[Begin]
    """Headings at which work begins."""
    gloves_follow: list[Go]
    """Ways in that gloves follow."""


def read_text(protocol: Protocol, clinic: Clinic, kit: Kit) -> Text:
    """Looks for both in the text, in reading order."""
    text = Text([], [])
    worked = False
    for part in protocol.parts:
        activity = part.begin.activity
        if activity is Activity.WORK or (activity is Activity.DOFFING and not worked):
            text.work_begins.append(part.begin)
            worked = True
        if activity is Activity.DONNING:
            phrases = [phrase for step in every_step(part.steps) for phrase in step.phrases]
            for number, phrase in enumerate(phrases):
                into = isinstance(phrase, Go) and phrase.area
                if into and clinic.areas[into].zone is Zone.CONTAMINATED:
                    if gloves_come_first(phrases[number + 1 :], kit):
                        text.gloves_follow.append(phrase)
    return text


def gloves_come_first(phrases: list[Phrase], kit: Kit) -> bool:
    """Whether gloves are put on later, and nothing is touched before."""
    for phrase in phrases:
        if isinstance(phrase, Touch):
            return False
        if isinstance(phrase, Wear) and kit.items[phrase.item].kind is Kind.GLOVES:
            return True
    return False


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
    """One row of the table."""
    match phrase:
        case Begin() | Go():
            arrive(phrase, state, text, clinic, kit)
        case Hygiene():
            set_hand(state, kit, CLEAN)
            state["owed"], state["handled"], state["cleaned"] = NOTHING, False, True
        case Wear():
            wear(phrase, state, clinic, kit)
        case Remove():
            for name in phrase.items:
                remove(name, phrase, state, kit)
        case Discard() | Send():
            put_down(phrase.item, "discarded" if isinstance(phrase, Discard) else "sent", state, kit)
        case Keep():
            keep(phrase, state, kit)
        case Disinfect():
            disinfect(phrase, state, kit)
        case Check():
            item = state["items"][phrase.item]
            item["checked"] = item["checked this round"] = True
            mask = kit.items[phrase.item].kind in (Kind.MASK, Kind.RESPIRATOR)
            if mask and item["where"] == "worn":
                both = max(hand(state, kit), item["outside"])
                item["outside"] = both
                set_hand(state, kit, both)
        case Touch():
            both = max(hand(state, kit), state["places"][phrase.place])
            state["places"][phrase.place] = both
            set_hand(state, kit, both)
            if both != CLEAN:
                state["handled"] = True


def arrive(
    phrase: Begin | Go, state: dict, text: Text, clinic: Clinic, kit: Kit
) -> None:
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
    part = BODY.get(kit.items[phrase.item].kind)
    if part:
        state["body"][part] = max(state["body"][part], item["inside"])
    item.update({"where": "worn", "checked": False, "kept at": ""})
    state["worn"].append(phrase.item)
    if kit.items[phrase.item].kind not in (Kind.BOOTS, Kind.CLOTHING):
        state["cleaned"] = True
    if clinic.areas[state["area"]].zone is Zone.CONTAMINATED:
        if not hidden(phrase.item, state, kit):
            item["outside"] = max(item["outside"], TOUCHED)


def remove(name: str, phrase: Remove, state: dict, kit: Kit) -> None:
    item, gloves = state["items"][name], kit.items[name].kind is Kind.GLOVES
    item["taken off"] = phrase.at
    if item["where"] != "worn":
        return
    item["where"] = "in the hand"
    state["worn"].remove(name)
    before = hand(state, kit)
    if not phrase.assistant or gloves:
        part = BODY.get(kit.items[name].kind)
        if part:
            state["body"][part] = max(hand(state, kit), state["body"][part])
        if phrase.grip is Grip.OUTSIDE:
            meets(state, kit, item["outside"])
            item["outside"] = max(item["outside"], before)
        elif item["outside"] != CLEAN:
            meets(state, kit, TOUCHED)
        if gloves:
            meets(state, kit, TOUCHED)
    state["owed"] = max(state["owed"], GLOVES if gloves else AN_ITEM)
    state["handled"] = True


def put_down(name: str, where: str, state: dict, kit: Kit) -> int:
    """Lets go of an item; returns how clean the hand was."""
    item = state["items"][name]
    if name in state["worn"]:
        state["worn"].remove(name)
    hand_was = hand(state, kit)
    meets(state, kit, min(item["outside"], TOUCHED))
    item.update({"where": where, "kept at": ""})
    if where != "kept":
        # Nothing more is known of what is gone; a later `wear` takes a fresh one.
        item.update({"outside": CLEAN, "inside": CLEAN})
    state["handled"] = True
    return hand_was


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
    is_item = phrase.target in state["items"]
    was = state["items"][phrase.target]["outside"] if is_item else state["places"][phrase.target]
    if phrase.target not in gloves_worn(state, kit)[-1:]:
        meets(state, kit, min(was, TOUCHED))
    if is_item:
        state["items"][phrase.target]["outside"] = CLEAN
    else:
        state["places"][phrase.target] = CLEAN
    if was != CLEAN:
        state["handled"] = True


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
