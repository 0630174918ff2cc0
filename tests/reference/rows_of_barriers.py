"""The table's rows on dirty to clean, protection and reuse, in its order."""

from __future__ import annotations

from compiler.model.clinic import Zone
from compiler.model.kit import AfterUse, Kind
from compiler.model.protocol import Begin, Disinfect, Go, Keep, Remove, Touch, Wear
from tests.reference.effects import CLEAN, CONTAMINATED, TOUCHED
from tests.reference.scene import GOWNS, LUNGS, MASKS, PartEnds, Scene, row


@row(Remove)
def eye_protection_left_on(phrase: Remove, scene: Scene) -> bool:
    return scene.left_on(phrase.items, MASKS, {Kind.GOGGLES, Kind.FACE_SHIELD})


@row(Remove)
def gown_left_on(phrase: Remove, scene: Scene) -> bool:
    return scene.left_on(phrase.items, MASKS, {*GOWNS, Kind.APRON})


@row(Remove)
def apron_left_on(phrase: Remove, scene: Scene) -> bool:
    return scene.left_on(phrase.items, GOWNS, {Kind.APRON})


@row(Remove)
def hood_left_on(phrase: Remove, scene: Scene) -> bool:
    return scene.left_on(phrase.items, GOWNS, {Kind.HOOD})


@row(Remove)
def respirator_off_in_room(phrase: Remove, scene: Scene) -> bool:
    if not scene.in_contaminated() or "airborne" not in scene.protocol.precautions:
        return False
    goes = any(scene.kind(name) in LUNGS for name in phrase.items)
    return goes and not any(scene.kind(name) in LUNGS for name in scene.staying(phrase.items))


@row(Begin, Go)
def dirty_ppe_in_clean_area(phrase: Begin | Go, scene: Scene) -> bool:
    dirty = any(scene.item(name)["outside"] == CONTAMINATED for name in scene.state["worn"])
    return scene.arriving(phrase.area, Zone.CLEAN) and dirty


@row(Begin, Go)
def dirty_hands_in_clean_area(phrase: Begin | Go, scene: Scene) -> bool:
    dirty = not scene.gloved and scene.hand == CONTAMINATED
    return scene.arriving(phrase.area, Zone.CLEAN) and dirty


@row(Wear)
def clean_item_after_dirty(phrase: Wear, scene: Scene) -> bool:
    name = phrase.item
    kept_clean = scene.where(name) == "kept" and scene.item(name)["outside"] == CLEAN
    by_oneself = not phrase.assistant and scene.state["cleaned"]
    return by_oneself and (scene.fresh(name) or kept_clean) and scene.hand == TOUCHED


@row(Begin, Go, PartEnds)
def barrier_missing_at_entry(phrase: object, scene: Scene) -> bool:
    if isinstance(phrase, PartEnds):
        return scene.state["way in"] and scene.gloves_missing()
    if not scene.arriving(phrase.area, Zone.CONTAMINATED):
        return False
    later = phrase in scene.text.gloves_follow
    return scene.other_barrier_missing() or (scene.gloves_missing() and not later)


@row(Begin, Go, Remove)
def seal_unchecked(phrase: object, scene: Scene) -> list[tuple[str, str]]:
    unchecked = [
        name for name in scene.worn({Kind.RESPIRATOR}) if not scene.item(name)["checked"]
    ]
    if isinstance(phrase, Remove):
        outside = not scene.state["entered"]
        return [(name, "put on") for name in unchecked if outside and name in phrase.items]
    arriving = scene.arriving(phrase.area, Zone.CONTAMINATED)
    return [(name, "put on") for name in unchecked if arriving]


@row(Remove)
def cuff_trapped(phrase: Remove, scene: Scene) -> bool:
    order = scene.state["worn"]
    gowns = [name for name in scene.worn(GOWNS) if name in phrase.items]
    gloves = [
        name
        for name in scene.worn({Kind.GLOVES})
        if scene.row(name).layer != "inner" and name not in phrase.items
    ]
    return any(order.index(glove) > order.index(gown) for glove in gloves for gown in gowns)


@row(Wear)
def gloves_before_gown(phrase: Wear, scene: Scene) -> bool:
    unlayered = any(not scene.row(name).layer for name in scene.worn({Kind.GLOVES}))
    donned = scene.where(phrase.item) != "worn" and scene.kind(phrase.item) in GOWNS
    return donned and unlayered


@row(Touch)
def work_without_barrier(phrase: Touch, scene: Scene) -> bool:
    missing = scene.gloves_missing() or scene.other_barrier_missing()
    return scene.in_contaminated() and bool(scene.state["owed"]) and missing


@row(Keep)
def kept_contaminated(phrase: Keep, scene: Scene) -> bool:
    dirty = scene.item(phrase.item)["outside"] == CONTAMINATED
    return scene.where(phrase.item) != "kept" and dirty and not scene.row(phrase.item).rest


@row(Keep)
def single_use_kept(phrase: Keep, scene: Scene) -> bool:
    return scene.row(phrase.item).after_use is not AfterUse.KEEP


@row(Wear)
def fetched_from_elsewhere(phrase: Wear, scene: Scene) -> bool:
    kept_at = scene.item(phrase.item)["kept at"]
    return scene.where(phrase.item) == "kept" and phrase.source not in ("", kept_at)


@row(Wear)
def fetch_place_unsaid(phrase: Wear, scene: Scene) -> bool:
    return scene.where(phrase.item) == "kept" and not phrase.source


@row(Keep)
def shared_hook(phrase: Keep, scene: Scene) -> bool:
    others = [
        name
        for name in scene.kit.items
        if name != phrase.item and scene.item(name)["kept at"] == phrase.place
    ]
    return len(others) >= scene.clinic.places[phrase.place].holds


@row(Keep)
def wearings_untallied(phrase: Keep, scene: Scene) -> bool:
    limit = scene.row(phrase.item).at_most
    return bool(limit) and not scene.item(phrase.item)["checked this round"]


@row(Keep, Disinfect)
def kit_contradicted(phrase: Keep | Disinfect, scene: Scene) -> bool:
    if isinstance(phrase, Keep):
        return scene.row(phrase.item).keep_at not in ("", phrase.place)
    if not phrase.agent or phrase.target not in scene.kit.items:
        return False
    return scene.row(phrase.target).disinfect_with not in ("", phrase.agent)


@row(Disinfect)
def weak_against_spores(phrase: Disinfect, scene: Scene) -> bool:
    # The agent that the kit names is meant where the phrase names none.
    item = scene.kit.items.get(phrase.target)
    agent = scene.clinic.agents.get(phrase.agent or (item.disinfect_with if item else ""))
    return agent is not None and scene.protocol.spores and not agent.kills_spores


@row(Disinfect)
def wiped_bare_handed(phrase: Disinfect, scene: Scene) -> bool:
    if phrase.target not in scene.kit.items or scene.gloved:
        return False
    return scene.item(phrase.target)["outside"] == CONTAMINATED
