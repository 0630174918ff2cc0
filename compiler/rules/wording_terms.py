"""The words that the wording rules look for, in plain tables; only English where not said."""

from __future__ import annotations

import re

from compiler.model.kit import Kind


def _listed(words: str) -> frozenset[str]:
    return frozenset(words.split())


NOT_VERBS = _listed(
    "a an the this that these those there all any both each every some no "
    "i you he she it we they my your his her its our their "
    "is are was were be has had gloves coverall coveralls apron aprons respirator respirators "
    "goggles hood boots eyewear hygiene"
)
"""First words of a lead that cannot be the verb of an instruction.

Garments that are also verbs are left out on purpose: mask, cap, glove, gown (up), shield.
"""
NOT_VERB_PAIRS = frozenset(
    ("hand hygiene", "face shield", "eye protection", "seal check", "fit check", "boot covers")
)
"""First two words of which the first alone could be a verb: "hand hygiene", "face shield"."""
ING_VERBS = _listed("bring cling fling ring sing sling spring sting string swing wring")
"""Verbs whose plain form ends like a gerund."""
NOUN_ENDING = re.compile(r"\w{2,}(?:tion|sion|ment|ness)s?$")
NOUN_LIKE_VERBS = _listed(
    "apportion caution comment commission condition cushion document envision experiment "
    "fragment function harness implement mention motion partition portion position question "
    "ration reposition section station supplement transition vision witness"
)
"""Verbs that look like nouns made from verbs."""

FORBIDS = {
    "en": r"(?i)(?:^|[.!?;:,–—-]\s+|\b(?:and|but|then|please)\s+)(?:do not|don[’']t|never)\b"
    r"|\bmust (?:not|never)\b",
    "es": r"(?i)(?:^|[.!?;:]\s+)(?:no(?! hay\b)|nunca|jamás)\s",
    "fr": r"(?i)(?:^|[.!?;:]\s+)(?:ne\s|n[’']|jamais\s)",
    "pt": r"(?i)(?:^|[.!?;:]\s+)(?:não(?! há\b)|nunca|jamais)\s",
    "de": r"(?:^|[.!?;:]\s+)(?:\w+n Sie\b[^.!?]*\b(?:nicht|nie|niemals|kein\w*)\b|Nie)",
}
"""Orders not to do something, as patterns, compiled for the language in use.

"If you do not feel air" is none, nor is "does not fit".
"""
SIGNS_OF_NO = ("no", "nev", "n'", "n’", "ne ", "nã", "nun", "ni", "jam", "kein")
"""Every order above holds one of these letters; most other texts do not."""

NAMES_OF_KINDS = {
    "mask": Kind.MASK,
    "respirator": Kind.RESPIRATOR,
    "goggles": Kind.GOGGLES,
    "safety glasses": Kind.GOGGLES,
    "protective glasses": Kind.GOGGLES,
    "face shield": Kind.FACE_SHIELD,
    "visor": Kind.FACE_SHIELD,
    "gown": Kind.GOWN,
    "smock": Kind.GOWN,
    "coverall": Kind.COVERALL,
    "overalls": Kind.COVERALL,
    "protective suit": Kind.COVERALL,
    "jumpsuit": Kind.COVERALL,
    "boiler suit": Kind.COVERALL,
    "apron": Kind.APRON,
    "pinafore": Kind.APRON,
    "boot cover": Kind.BOOT_COVERS,
    "shoe cover": Kind.BOOT_COVERS,
    "overshoe": Kind.BOOT_COVERS,
}
"""Words that can only mean one kind of garment. "Glasses" alone may be one's own."""
TAKEN_FOR = {
    Kind.MASK: (Kind.RESPIRATOR, Kind.POWERED_RESPIRATOR),
    Kind.RESPIRATOR: (Kind.MASK, Kind.POWERED_RESPIRATOR),
    Kind.GOWN: (Kind.COVERALL,),
    Kind.COVERALL: (Kind.GOWN,),
}
"""Kinds that careless texts mix up, told only where the step handles the item."""
TRADE_SIGNS = "®™℠"
