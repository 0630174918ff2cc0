"""Whether the words can be followed at the wall: one action, said first, short and in one term.

All rules look at the text as its author wrote it, in the clinic's first language. What is only
measured is worth a look; what can make a reader do wrong should be fixed.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator
from functools import lru_cache

from compiler.findings import Finding, Level, Mark, Rule
from compiler.model.clinic import Clinic
from compiler.model.kit import Kit
from compiler.model.protocol import (
    Check,
    Discard,
    Disinfect,
    Go,
    Hygiene,
    Keep,
    Phrase,
    Protocol,
    Remove,
    Send,
    Wear,
    every_step,
)
from compiler.rules.passages import Passage, passages, place_of
from compiler.rules.wording_measures import LONG_LEAD, LONG_SENTENCE, READING, measured
from compiler.rules.wording_names import TRADE_NAME, TWO_NAMES, trade_names, two_names
from compiler.rules.wording_terms import (
    FORBIDS,
    ING_VERBS,
    NOT_VERB_PAIRS,
    NOT_VERBS,
    NOUN_ENDING,
    NOUN_LIKE_VERBS,
    SIGNS_OF_NO,
)

TWO_ACTIONS = Rule(
    "two-actions-in-a-step",
    Level.SHOULD,
    "A step asks for several actions that are not one movement.",
    ("pemat-2013",),
)
NOT_AN_INSTRUCTION = Rule(
    "lead-not-an-instruction",
    Level.SHOULD,
    "A lead does not begin with what to do (English).",
    ("pemat-2013", "plain-language-2011"),
)
PROHIBITION_IN_DETAIL = Rule(
    "prohibition-only-in-detail",
    Level.SHOULD,
    "What must not be done stands only in a detail, not in a caution.",
)
RULES = (
    TWO_ACTIONS,
    NOT_AN_INSTRUCTION,
    LONG_LEAD,
    LONG_SENTENCE,
    READING,
    PROHIBITION_IN_DETAIL,
    TWO_NAMES,
    TRADE_NAME,
)


def checked(protocol: Protocol, clinic: Clinic, kit: Kit) -> Iterator[Finding]:
    """All findings about the words of a protocol."""
    language = clinic.languages[0].partition("-")[0].casefold()
    texts = passages(protocol)
    yield from two_actions(protocol)
    yield from measured(protocol, texts, language)
    yield from prohibitions(texts, language)
    yield from trade_names(protocol, texts, clinic, kit)
    if language == "en":
        yield from not_instructions(texts)
        yield from two_names(protocol, texts, kit)


# --- one action -------------------------------------------------------------------------------


def two_actions(protocol: Protocol) -> Iterator[Finding]:
    """Steps with more than one movement in their phrases."""
    for part in protocol.parts:
        for step in every_step(part.steps):
            found = _actions(step.phrases) if len(step.phrases) > 1 else ()
            if len(found) > 1:
                first, second = (" ".join(p.at.text.split()) for p in found[:2])
                more = f", and {len(found) - 2} more" if len(found) > 2 else ""
                yield Finding(
                    TWO_ACTIONS,
                    f'This step asks for more than one action: "{first}" and "{second}"{more}.',
                    Mark(found[1].at, "a second action"),
                    (Mark(found[0].at, "the first"),),
                    remedy="give each action a step of its own, with its own lead",
                )


def _actions(phrases: tuple[Phrase, ...]) -> list[Phrase]:
    """The phrases that begin an action; where an item goes belongs to taking it off or wiping.

    A check belongs to the item just handled, and touching a thing to what is done with it.
    """
    found: list[Phrase] = []
    in_hand: set[str] = set()
    for phrase in phrases:
        match phrase:
            case Wear(item=name) | Disinfect(target=name):
                found.append(phrase)
                in_hand.add(name)
            case Remove(items=names):
                found.append(phrase)
                in_hand.update(names)
            case Discard(item=name) | Keep(item=name) | Send(item=name) | Check(item=name):
                if name not in in_hand:
                    found.append(phrase)
                    in_hand.add(name)
            case Go() | Hygiene():
                found.append(phrase)
            case _:
                pass
    return found


# --- an instruction ---------------------------------------------------------------------------


def not_instructions(texts: Iterable[Passage]) -> Iterator[Finding]:
    """Leads that name, describe or ask instead of telling what to do."""
    for passage in texts:
        if passage.kind != "lead" or not passage.step:
            continue
        if why := _why_no_instruction(passage.text, passage.step.fork is not None):
            yield Finding(
                NOT_AN_INSTRUCTION,
                f'The lead "{passage.text}" does not begin with what to do.',
                Mark(passage.at, why),
                remedy='begin it with a verb: "Put on the gown.", "Clean your hands."',
            )


@lru_cache(maxsize=4_096)
def _why_no_instruction(lead: str, answered: bool) -> str:
    """What gives the lead away; nothing for an instruction, and nothing in doubt."""
    if lead.endswith("?"):
        return "" if answered else "asks, and no answers follow"
    run = [word.strip(".,:;!–—-\"“”'’()").casefold() for word in lead.split()[:2]]
    first = run[0] if run else ""
    if " ".join(run) in NOT_VERB_PAIRS:
        return f'begins with "{" ".join(run)}"'
    gerund = first.endswith("ing") and len(first) > 4 and first not in ING_VERBS
    # "Leaning forward, lift the strap" gets to its verb
    noun = NOUN_ENDING.match(first) and first not in NOUN_LIKE_VERBS
    if first in NOT_VERBS or (gerund and "," not in lead) or noun:
        return f'begins with "{first}"'
    return ""


# --- what must not be done --------------------------------------------------------------------


def prohibitions(texts: list[Passage], language: str) -> Iterator[Finding]:
    """Details that forbid what neither the lead nor a caution of the same step forbids."""
    if language not in FORBIDS:
        return
    forbids = re.compile(FORBIDS[language])
    for passage in texts:
        if not passage.kind.endswith("detail") or not passage.step:
            continue
        found = forbids.search(passage.text) if _may_forbid(passage.text) else None
        if not found:
            continue
        start = found.start() + len(found[0]) - len(found[0].lstrip(" .!?;:,–—-"))
        order = re.split(r"[.!?](?:\s|$)", passage.text[start:], maxsplit=1)[0]
        others = (passage.step.lead, *passage.step.cautions)
        if any(forbids.search(other) and _alike(order, other) for other in others):
            continue
        yield Finding(
            PROHIBITION_IN_DETAIL,
            f'"{_shortened(order)}" stands only in the detail, which not every sheet prints.',
            Mark(place_of(passage, order), "forbidden here"),
            remedy="write it as a caution below the step: a line that begins with >",
        )


@lru_cache(maxsize=4_096)
def _may_forbid(text: str) -> bool:
    """A quick look that spares most details the slower one."""
    plain = text.casefold()
    return any(sign in plain for sign in SIGNS_OF_NO)


def _alike(one: str, other: str) -> bool:
    """Whether two texts share a word that carries meaning."""
    return bool(_carrying(one) & _carrying(other))


def _carrying(text: str) -> set[str]:
    found = {word.strip(".,:;!?").casefold() for word in text.split()}
    return {word for word in found if len(word) > 3} - {"never", "must", "your", "don't"}


def _shortened(text: str) -> str:
    return text if len(text) <= 48 else f"{text[:47].rstrip()}…"
