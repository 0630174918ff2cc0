"""Turns a published sequence into a protocol set as text, for the whole compiler to run on.

Written out in every one, because lists leave it to the picture or to the reader: the bin (lists
say "take off"); walking into the room (they stop at the last item on, or say only to enter); one
touch of a bed rail, so that the work between is not empty; and walking into the clean area after
the last hand hygiene.
"""

from __future__ import annotations

from collections.abc import Iterator

from tests.published.sequences import Act, Sequence

KINDS = {
    "gown": "gown",
    "apron": "apron",
    "coverall": "coverall",
    "mask": "mask",
    "respirator": "respirator",
    "powered respirator": "powered respirator",
    "eye protection": "goggles",
    "face shield": "face shield",
    "gloves": "gloves",
    "inner gloves": "gloves",
    "outer gloves": "gloves",
    "boots": "boots",
    "boot covers": "boot covers",
    "hood": "hood",
    "cap": "cap",
}
ZONES = {
    "clean area": "clean",
    "doorway": "transition",
    "outside": "transition",
    "room": "contaminated",
}
LEADS = {
    "clean hands": "Clean your hands.",
    "wash hands": "Wash your hands.",
    "clean gloves": "Clean your gloved hands.",
    "wash gloves": "Wash your gloved hands.",
}
HYGIENE = {
    "clean hands": "handrub",
    "wash hands": "handwash",
    "clean gloves": "handrub on gloves",
    "wash gloves": "handwash on gloves",
}


def texts(sequence: Sequence) -> dict[str, str]:
    """The set as file name → text."""
    return {
        "clinic.yaml": _clinic(sequence),
        "kit.yaml": _kit(sequence),
        f"{sequence.key}.md": _protocol(sequence),
    }


def _clinic(sequence: Sequence) -> str:
    lines = [
        "clinic: Tern Island Health Post",
        "contact: Infection prevention, extension 214",
        "languages: [en]",
        "areas:",
        *(f"  {area}: {zone}" for area, zone in ZONES.items()),
        "places:",
        "  bed rail: {in: room, for: use}",
        *(f"  {a} bin: {{in: {a}, for: waste}}" for a in _areas(sequence, "")),
        *(f"  {a} tub: {{in: {a}, for: sending, holds: 2}}" for a in _areas(sequence, "send")),
    ]
    if _areas(sequence, "wipe and keep"):
        lines.append("  doorway tray: {in: doorway, for: keeping}")
    lines += [
        f"hand hygiene: {{policy: {sequence.policy}, on gloves: {sequence.hygiene_on_gloves}}}",
        "agents:",
        "  surface wipe: {wet time: 2 min}",
        "paper: A1",
        "staffing: {observer: true, assistant: true}",
    ]
    return "\n".join(lines) + "\n"


def _areas(sequence: Sequence, end: str) -> list[str]:
    """Where something with that end comes off: only those areas need a place for it."""
    after_use = dict(sequence.after_use)
    here = sequence.begins
    areas = {}
    for act in sequence.doffing:
        if act.verb == "go to":
            here = act.things[0]
        elif act.verb == "take off" and any(after_use.get(i, "") == end for i in act.things):
            areas[here] = None
    return list(areas)


def _kit(sequence: Sequence) -> str:
    after_use = dict(sequence.after_use)
    lines = []
    for item in sequence.items:
        layer = item.partition(" ")[0] if item in {"inner gloves", "outer gloves"} else ""
        end = {
            "": "after use: discard",
            "send": "after use: send",
            "wipe and keep": "after use: keep, keep in: doorway tray, disinfect with: surface wipe",
        }[after_use.get(item, "")]
        layered = f"layer: {layer}, " if layer else ""
        lines.append(f"{item}: {{kind: {KINDS[item]}, {layered}{end}}}")
    return "\n".join(lines) + "\n"


def _protocol(sequence: Sequence) -> str:
    after_use = dict(sequence.after_use)
    donning = [*_steps(sequence.donning, "clean area", after_use)]
    if not any(act.things == ("room",) for act in sequence.donning):
        donning.append("**Go in.** `go to room`")
    work = ["**Give care.** `touch bed rail`"]
    if sequence.begins != "room":
        work.append(f"**Leave the bedside.** `go to {sequence.begins}`")
    doffing = [
        *_steps(sequence.doffing, sequence.begins, after_use),
        "**Leave with clean hands.** `go to clean area`",
    ]
    lines = [
        "---",
        f"title: {sequence.key.replace('-', ' ').capitalize()}",
        f"precautions: [{', '.join(sequence.precautions)}]",
        "hazard: virus",
        "edition: 1",
        "valid from: 2026-11-01",
        "review by: 2036-11-01",
        "owner: Infection prevention lead",
        "---",
        *_part("Putting on `donning in clean area`", donning),
        *_part("In the room `at work in room`", work),
        *_part(f"Taking off `doffing in {sequence.begins}`", doffing),
    ]
    return "\n".join(lines) + "\n"


def _part(heading: str, steps: list[str]) -> list[str]:
    numbered = [f"{number}. {step}" for number, step in enumerate(steps, 1)]
    return ["", f"# {heading}", "", *numbered]


def _steps(acts: tuple[Act, ...], here: str, after_use: dict[str, str]) -> Iterator[str]:
    worn_before: set[str] = set()
    for act in acts:
        if act.verb == "go to":
            here = act.things[0]
            yield f"**Walk on.** `go to {here}`"
        elif act.verb == "advise":
            yield f"**{act.things[0]}**"
        elif act.verb == "take off":
            yield f"**Take off the {' and the '.join(act.things)}.** {_off(act, here, after_use)}"
        elif act.verb == "put on":
            [item] = act.things
            kept = after_use.get(item) == "wipe and keep" and item not in worn_before
            worn_before.add(item)
            origin = " from doorway tray" if kept else ""
            yield f"**Put on the {item}.** `wear {item}{origin}`"
        elif act.verb == "check":
            yield f"**Check the {act.things[0]}.** `check {act.things[0]}`"
        elif act.verb == "wipe":
            yield f"**Wipe the {act.things[0]}.** `disinfect {act.things[0]} with surface wipe`"
        elif act.verb == "observed":
            yield "**Wait for the trained observer.** `observed`"
        else:
            yield f"**{LEADS[act.verb]}** `{HYGIENE[act.verb]}`"


def _off(act: Act, here: str, after_use: dict[str, str]) -> str:
    """Off, and then what becomes of each item: the list shows it, or means it."""
    phrases = [f"`remove {' and '.join(act.things)}`"]
    for item in act.things:
        match after_use.get(item, ""):
            case "send":
                phrases.append(f"`send {item} in {here} tub`")
            case "wipe and keep":
                phrases.append(f"`disinfect {item} with surface wipe`")
                phrases.append(f"`keep {item} in doorway tray`")
            case _:
                phrases.append(f"`discard {item} in {here} bin`")
    return " ".join(phrases)
