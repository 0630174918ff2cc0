"""The clinic, the kit and the words of which `shelf_of_protocols.py` writes its protocols."""

from __future__ import annotations

CLINIC = """\
clinic: Tern Island Health Post
contact: Infection prevention
languages: [en]
areas: {change room: clean, transition bay: transition, isolation room: contaminated}
places:
  own hook: {in: transition bay, for: keeping}
  apron hook: {in: transition bay, for: keeping}
  goggles hook: {in: transition bay, for: keeping}
  shield hook: {in: transition bay, for: keeping}
  paper bag: {in: transition bay, for: keeping}
  boot rack: {in: transition bay, for: keeping}
  waste bin: {in: transition bay, for: waste}
  laundry bag: {in: transition bay, for: sending}
  bay sink: {in: transition bay, for: use}
  stethoscope: {in: isolation room, for: use}
  monitor: {in: isolation room, for: use}
  drip stand: {in: isolation room, for: use}
  bed rail: {in: isolation room, for: use}
  commode: {in: isolation room, for: use}
hand hygiene: {policy: after every item, on gloves: allowed, rub: 20 to 30 s}
agents:
  surface wipe: {wet time: 2 min}
  sporicidal wipe: {wet time: 4 min, kills spores: true}
paper: A2
staffing: {observer: true, assistant: true}
"""
KIT = """\
coverall: {kind: coverall, after use: keep, keep on: own hook, disinfect with: surface wipe}
cloth gown: {kind: gown, after use: send}
gown: {kind: gown, after use: discard}
apron: {kind: apron, after use: keep, keep on: apron hook, disinfect with: surface wipe}
single-use apron: {kind: apron, after use: discard}
respirator: {kind: respirator, after use: keep, keep in: paper bag, rest: 5 days, at most: 5 wearings}
single-use respirator: {kind: respirator, after use: discard}
goggles: {kind: goggles, after use: keep, keep on: goggles hook, disinfect with: surface wipe}
face shield: {kind: face shield, after use: keep, keep on: shield hook, disinfect with: surface wipe}
single-use face shield: {kind: face shield, after use: discard}
cap: {kind: cap, after use: discard}
hood: {kind: hood, after use: discard}
boots: {kind: boots, after use: keep, keep on: boot rack, disinfect with: surface wipe}
boot covers: {kind: boot covers, after use: discard}
inner gloves: {kind: gloves, layer: inner, after use: discard}
outer gloves: {kind: gloves, layer: outer, after use: discard}
gloves: {kind: gloves, after use: discard}
"""
KEPT = {
    "coverall": "own hook",
    "apron": "apron hook",
    "respirator": "paper bag",
    "goggles": "goggles hook",
    "face shield": "shield hook",
    "boots": "boot rack",
}
RUBS = (
    "Rub until dry, 20 to 30 seconds.",
    "Cover every finger and both thumbs.",
    "Use the rub beside the door.",
)
ADVICE = (
    ("Keep your hands low.", "Keep them below your shoulders. Touch only what you need."),
    ("Look at the patient first.", "Say who you are and why you dress like this."),
    ("Work from clean to dirty.", "Plan what you do before you touch anything."),
    ("Put sharps in their box.", "Do it at once, with the hand that used them."),
    ("Ask for what is missing.", "Call through the door. A colleague hands it in."),
    ("Slow down.", "Take one step at a time. Nobody waits for you."),
    ("Note the time.", "Stay no longer than an hour."),
)
WARNINGS = (
    "Do not touch your face or move the respirator.",
    "Do not lean on the bed.",
    "Do not leave with anything in your hands.",
    "Never run.",
)
TOUCHED = ("stethoscope", "monitor", "drip stand", "bed rail", "commode")
REASONS = (
    "Is it wet, dirty or damaged?",
    "Look at it in good light. Is it torn or soiled?",
    "Is anything loose, wet or stained?",
)
