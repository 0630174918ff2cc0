"""Why a spoilt protocol that nothing tells of is harmless by the model, judged from its text.

The judgement is made here from the words of the protocol alone and not from what the checker
did, so that a fault that slips through is not excused by the slip.
"""

from __future__ import annotations

import re

from compiler.model.kit import Kind

BODY = {"gown", "coverall", "apron"}
NEEDS = {
    "contact": ({"gloves"}, BODY),
    "droplet": ({"mask", "respirator", "powered respirator"},),
    "airborne": ({"respirator", "powered respirator"},),
}
"""Guideline for Isolation Precautions, CDC 2007, from memory."""
MUST_PRECEDE = (
    (BODY | {"goggles", "face shield"}, {"mask", "respirator"}),
    ({"apron"}, {"gown", "coverall"}),
    ({"hood"}, {"cap"}),
    ({"boot covers"}, {"boots"}),
)
"""Orders on which every published list gathered agrees, or that hands cannot do otherwise."""


def excuse(fault: str, files: dict[str, str], line: str) -> str:
    """The reason, or nothing where there is none."""
    judge = {
        "hand hygiene dropped": _hygiene,
        "order of two removals swapped": _order,
        "item in neither half": _barrier,
        "disinfection dropped": _disinfection,
        "soap replaced by rub": _soap,
    }.get(fault)
    return judge(files, line) if judge else ""


def _protocol(files: dict[str, str]) -> str:
    return next(text for name, text in files.items() if name.endswith(".md"))


def _kinds(files: dict[str, str]) -> dict[str, str]:
    rows = re.findall(r"^([\w -]+): \{kind: ([\w ]+)", files["kit.yaml"], re.MULTILINE)
    return {name: kind for name, kind in rows if kind in {k.value for k in Kind}}


def _hygiene(files: dict[str, str], line: str) -> str:
    policy = re.search(r"policy: ([\w ]+)", files["clinic.yaml"])
    lines = [x.strip() for x in _protocol(files).split("\n")]
    before = [x for x in lines[: lines.index(line)] if "`" in x]
    since = next((x for x in reversed(before) if "`hand" in x or "`remove" in x), "")
    gloves = "gloves" in "".join(re.findall(r"`remove ([^`]+)`", since))
    donning = not any("`doffing in" in x or "`at work in" in x for x in before)
    if donning and any("`hand" in x for x in before):
        return "while donning, hands that were cleaned have touched only clean things"
    if "`remove" not in since and ((before and "`hand" in since) or "on gloves" in line):
        return "nothing came off since hands were cleaned last, or since the work"
    after = [x for x in lines[lines.index(line) + 1 :] if "`" in x]
    if after and after[0].count("`") == 2 and "`hand" in after[0]:
        return "hands are cleaned again before anything else is handled"
    if policy and policy[1] == "when contaminated and at the end":
        return "the policy asks only when hands are contaminated, and here they are not"
    if policy and policy[1].startswith("after gloves") and not gloves:
        return "the policy asks after gloves and at the end, and no gloves came off here"
    return ""


def _order(files: dict[str, str], line: str) -> str:
    kinds = _kinds(files)
    removed = {kinds.get(name, "") for name in _removed(line)}
    lines = [x.strip() for x in _protocol(files).split("\n")]
    following = next(x for x in lines[lines.index(line) + 1 :] if "`remove" in x)
    then = {kinds.get(name, "") for name in _removed(following)}
    for first, later in MUST_PRECEDE:
        if removed & first and then & later:
            return ""
    return (
        "no published list gathered is broken: lists differ on this order, or none speaks of it"
    )


def _removed(line: str) -> list[str]:
    phrase = re.search(r"`remove ([^`]+)`", line)
    names = re.split(r" by | with ", phrase[1])[0] if phrase else ""
    return names.split(" and ")


def _barrier(files: dict[str, str], line: str) -> str:
    text, kinds = _protocol(files), _kinds(files)
    item = re.split(r" from | with ", re.search(r"`wear ([^`]+)`", line)[1])[0]
    worn = {re.split(r" from | with ", w)[0] for w in re.findall(r"`wear ([^`]+)`", text)}
    left = {kinds.get(name, "") for name in worn - {item}}
    asked = re.search(r"precautions: \[([^]]*)\]", text)
    for precaution in asked[1].split(", ") if asked else ():
        for enough in NEEDS.get(precaution, ()):
            if kinds.get(item) in enough and not left & enough:
                return ""
    return "the precautions do not ask for it, or another item serves"


def _disinfection(files: dict[str, str], line: str) -> str:
    target = re.search(r"`disinfect ([^`]+?)(?: with [^`]+)?`", line)[1]
    kept = f"`keep {target} " in _protocol(files)
    return "" if kept else "what is wiped is not kept: it stays in the room or is discarded"


def _soap(files: dict[str, str], line: str) -> str:
    text = _protocol(files)
    if "hazard: spores" not in text and "spore" not in text.split("---")[1]:
        return "the hazard is not spores"
    before = text[: text.index(line)]
    return (
        "no contact yet: hands are clean of spores"
        if "go to isolation room" not in before
        else ""
    )
