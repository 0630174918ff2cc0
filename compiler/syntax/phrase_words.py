"""The words of the phrase language: verbs with their usual forms, grips, and near misses."""

from __future__ import annotations

GRIPS = ("ties", "straps", "inside", "cuffs", "outside")

FORMS = {
    "donning in": "donning in AREA",
    "doffing in": "doffing in AREA",
    "at work in": "at work in AREA",
    "go to": "go to AREA",
    "handrub": "handrub [on gloves]",
    "handwash": "handwash [on gloves]",
    "wear": "wear ITEM [from PLACE] [with assistant]",
    "remove": "remove ITEM [and ITEM] [by ties|straps|inside|cuffs|outside] [with assistant]",
    "discard": "discard ITEM [in PLACE]",
    "keep": "keep ITEM on PLACE",
    "send": "send ITEM [in PLACE]",
    "disinfect": "disinfect ITEM [with AGENT]",
    "check": "check ITEM",
    "observed": "observed",
    "touch": "touch PLACE",
    "decide": "decide QUESTION",
    "if": "if ANSWER",
    "takes": "takes NUMBER s|min",
}
"""Every verb and its usual form: small letters as they stand, capitals for a name."""

OPENINGS = {verb.split()[0]: verb for verb in FORMS}
"""Verbs by their first word."""

# What an author may write out of habit, and the verb that says it.
HABITS = {
    "apply": "wear", "bin": "discard", "choose": "decide", "clean": "handrub",
    "dispose": "discard", "doff": "remove", "don": "wear", "enter": "go to", "exit": "go to",
    "hang": "keep", "inspect": "check", "leave": "go to", "observe": "observed",
    "put": "wear", "return": "send", "rub": "handrub", "sanitise": "handrub",
    "sanitize": "handrub", "store": "keep", "take": "remove", "throw": "discard",
    "time": "takes", "walk": "go to", "wash": "handwash", "when": "if", "wipe": "disinfect",
}  # fmt: skip
