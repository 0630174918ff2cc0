"""The table's rows on integrity and hand hygiene, in its order."""

from __future__ import annotations

from compiler.model.clinic import Purpose, Zone
from compiler.model.kit import AfterUse, Kind
from compiler.model.protocol import (
    Check,
    Discard,
    Disinfect,
    Hygiene,
    Keep,
    Observed,
    Remove,
    Send,
    Touch,
    Wear,
)
from tests.reference.effects import CLEAN, CONTAMINATED
from tests.reference.scene import MASKS, PartEnds, Scene, row


@row(Wear)
def worn_twice(phrase: Wear, scene: Scene) -> bool:
    return scene.where(phrase.item) == "worn"


@row(Remove)
def taken_off_unworn(phrase: Remove, scene: Scene) -> bool:
    return any(scene.where(name) != "worn" for name in phrase.items)


@row(Check, Disinfect, Keep, Discard, Send)
def handled_out_of_reach(phrase: object, scene: Scene) -> bool:
    match phrase:
        case Check(item):
            mask_not_worn = scene.kind(item) in MASKS and scene.where(item) != "worn"
            return mask_not_worn or scene.where(item) in ("discarded", "sent")
        case Disinfect(target) if target in scene.kit.items:
            return scene.where(target) not in ("worn", "in the hand", "kept")
        case Keep(item):
            return scene.where(item) != "in the hand"
        case Discard(item) | Send(item):
            reach = ["in the hand", "kept"]
            reach += ["ready"] if scene.row(item).after_use is AfterUse.KEEP else []
            return scene.where(item) not in reach
    return False


@row(PartEnds)
def still_worn_at_end(part: PartEnds, scene: Scene) -> list[tuple[str, str]]:
    worn = [name for name in scene.state["worn"] if scene.kind(name) is not Kind.CLOTHING]
    return [(name, "put on") for name in worn if part.last]


@row(Remove)
def taken_from_under(phrase: Remove, scene: Scene) -> bool:
    return any(
        scene.where(name) == "worn" and scene.lies_over(over, name)
        for name in phrase.items
        for over in scene.staying(phrase.items)
    )


@row(Wear, Hygiene, PartEnds)
def left_in_hand(phrase: object, scene: Scene) -> list[tuple[str, str]]:
    but = phrase.item if isinstance(phrase, Wear) else ""
    items = [name for name in scene.kit.items if scene.where(name) == "in the hand"]
    return [(name, "taken off") for name in items if name != but]


def place_named(phrase: object) -> str:
    """The place that a phrase names, if it names one."""
    match phrase:
        case Wear():
            return phrase.source
        case Disinfect():
            return phrase.target
    return phrase.place


@row(Wear, Keep, Discard, Send, Touch, Disinfect)
def place_in_other_area(phrase: object, scene: Scene) -> bool:
    place = scene.place(place_named(phrase))
    return place is not None and place.area != scene.state["area"]


@row(Wear, Keep, Discard, Send)
def wrong_place(phrase: object, scene: Scene) -> bool:
    purposes = {Discard: Purpose.WASTE, Send: Purpose.SENDING}
    place = scene.place(place_named(phrase))
    purpose = purposes.get(type(phrase), Purpose.KEEPING)
    return place is not None and place.purpose is not purpose


@row(Observed, Wear, Remove)
def helper_not_staffed(phrase: object, scene: Scene) -> bool:
    if isinstance(phrase, Observed):
        return not scene.clinic.observer
    return phrase.assistant and not scene.clinic.assistant


@row(Wear)
def first_hand_hygiene_missing(phrase: Wear, scene: Scene) -> bool:
    counts = scene.kind(phrase.item) not in (Kind.BOOTS, Kind.CLOTHING)
    return counts and not scene.state["cleaned"]


@row(Remove, Wear)
def hand_hygiene_skipped(phrase: Remove | Wear, scene: Scene) -> bool:
    return scene.hygiene_due()


@row(PartEnds)
def last_hand_hygiene_missing(part: PartEnds, scene: Scene) -> bool:
    return part.last and scene.state["handled"]


@row(Wear, Remove, Check)
def dirty_hands_to_face(phrase: object, scene: Scene) -> bool:
    if scene.hand != CONTAMINATED:
        return False
    match phrase:
        case Check(item):
            return scene.kind(item) in MASKS
        case Wear(item):
            return scene.on_head(item) and not phrase.assistant
    return any(map(scene.on_head, phrase.items)) and not phrase.assistant


@row(Wear, Touch)
def dirty_hands_on_clean_item(phrase: Wear | Touch, scene: Scene) -> bool:
    if scene.hand != CONTAMINATED:
        return False
    if isinstance(phrase, Touch):
        area = scene.clinic.areas[scene.clinic.places[phrase.place].area]
        clean = scene.state["places"][phrase.place] == CLEAN
        return clean and area.zone is not Zone.CONTAMINATED
    name = phrase.item
    if phrase.assistant or scene.where(name) == "worn" or scene.on_head(name):
        return False
    return scene.fresh(name) or scene.item(name)["outside"] != CONTAMINATED


@row(Keep)
def dirty_hands_in_store(phrase: Keep, scene: Scene) -> bool:
    for_keeping = scene.clinic.places[phrase.place].purpose is Purpose.KEEPING
    return for_keeping and scene.hand == CONTAMINATED


@row(Hygiene)
def rub_against_spores(phrase: Hygiene, scene: Scene) -> bool:
    return not phrase.wash and scene.protocol.spores and scene.hand != CLEAN


@row(Hygiene)
def glove_hygiene_forbidden(phrase: Hygiene, scene: Scene) -> bool:
    return phrase.on_gloves and not scene.clinic.hygiene_on_gloves


@row(Hygiene)
def hygiene_misses_hands(phrase: Hygiene, scene: Scene) -> bool:
    return phrase.on_gloves != scene.gloved
