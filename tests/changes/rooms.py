"""One small protocol set to change, as a nurse could write it."""

from __future__ import annotations

CLINIC = """\
clinic: Tern Island Health Post
contact: Infection prevention, extension 214
languages: [en]
areas:
  change room: clean
  bay: transition
  room: contaminated
places:
  own hook: {in: bay, for: keeping}
  other hook: {in: bay, for: keeping}
  bin: {in: bay, for: waste}
  laundry bag: {in: bay, for: sending}
  rail: {in: room, for: use}
  trolley: {in: room, for: use}
hand hygiene: {policy: after every item, on gloves: allowed}
agents:
  surface wipe: {wet time: 2 min}
  sporicidal wipe: {wet time: 4 min, kills spores: true}
"""
KIT = """\
gown: {kind: gown, after use: send}
respirator: {kind: respirator, after use: keep, keep on: own hook, rest: 5 days, at most: 5 wearings}
goggles: {kind: goggles, after use: keep, keep on: other hook, disinfect with: surface wipe}
gloves: {kind: gloves, after use: discard}
"""
ROOM = """\
---
title: Isolation room
precautions: [contact, airborne]
hazard: respiratory virus
edition: 1
valid from: 2026-11-01
review by: 2027-05-01
owner: Infection prevention lead
---

# Putting on `donning in change room`

Take off watch and rings first.

1. **Get ready.** Tie back your hair.
2. **Clean your hands.** Rub until dry, 20 to 30 seconds. `handrub`
3. **Put on the gown.** Tie it behind your waist. `wear gown with assistant`
4. **Put on the respirator.** Set the straps high and low. `wear respirator from own hook`
   > Do not wear it when it is damp.
5. **Check the seal.** Breathe out hard. `check respirator`
6. **Put on the goggles.** Rest them on the respirator. `wear goggles from other hook`
7. **Put on gloves.** Pull the cuffs over your sleeves. `wear gloves`
8. **Wait for the observer.** Turn once around. `observed`
9. **Go in.** Close the door behind you. `go to room`

# At work `at work in room`

1. **Hold on to the rail.** Stand firmly. `touch rail`
2. **Leave.** Close the door. `go to bay`

# Taking off `doffing in bay`

1. **Take off the gloves.** Peel them off. `remove gloves by cuffs` `discard gloves in bin`
2. **Clean your hands.** Rub until dry, 20 to 30 seconds. `handrub`
3. **Look at the gown.** Is it wet? `decide gown state`
   - **Wet.** `if wet`
     1. **Roll up the wet gown.** Keep it away from you. `remove gown by ties` `send gown in laundry bag`
   - **Dry.** `if dry`
     1. **Fold the dry gown.** Inside out. `remove gown by ties` `send gown in laundry bag`
     2. **Breathe calmly.** Count to ten.
4. **Wipe and hang up the goggles.** Lift the strap. `remove goggles by straps` `disinfect goggles with surface wipe` `keep goggles on other hook`
5. **Hang up the respirator.** Lift the straps. `remove respirator by straps` `keep respirator on own hook`
   > Do not touch the front.
6. **Clean your hands.** Rub until dry, 20 to 30 seconds. `handrub`
7. **Go out.** Leave the bay. `go to change room`
"""
FILES = {"clinic.yaml": CLINIC, "kit.yaml": KIT, "room.md": ROOM}


def edited(name: str, *changes: tuple[str, str]) -> dict[str, str]:
    """The set with words of one file replaced, each met exactly once."""
    text = FILES[name]
    for old, new in changes:
        assert text.count(old) == 1, f"{text.count(old)} times: {old}"
        text = text.replace(old, new)
    return {**FILES, name: text}
