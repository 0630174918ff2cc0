"""Whether what is kept is clean or rested, in its own place, counted, and found again."""

from __future__ import annotations

from collections.abc import Iterator
from itertools import combinations
from math import comb

from compiler.analysis.state import Contamination, Where
from compiler.analysis.visits import Check as Look
from compiler.analysis.visits import Possible, Sight, Visit
from compiler.analysis.world import World
from compiler.findings import Finding, Level, Mark, Rule
from compiler.model.kit import AfterUse
from compiler.model.protocol import (
    Keep,
    Phrase,
    Protocol,
    Remove,
    Wear,
    every_step,
)
from compiler.rules.evidence import be, found, put_on
from compiler.rules.sights import named

KEPT_DIRTY = Rule(
    "kept-contaminated",
    Level.MUST,
    "An item is kept while contaminated, and is neither disinfected nor rested.",
    ("niosh-n95-reuse", "cdc-n95-crisis-2020"),
)
SINGLE_USE_KEPT = Rule(
    "single-use-kept", Level.MUST, "An item is kept that the kit discards or sends after use."
)
NEVER_KEPT = Rule(
    "reusable-never-kept",
    Level.SHOULD,
    "The kit keeps an item after use, and the protocol keeps it on no way.",
)
FETCHED_ELSEWHERE = Rule(
    "fetched-from-elsewhere",
    Level.MUST,
    "A kept item is fetched from another place than the one it was put in.",
)
FETCH_UNSAID = Rule(
    "fetch-place-unsaid",
    Level.SHOULD,
    "A kept item is put on again and the step does not say where it is.",
)
SHARED_HOOK = Rule(
    "shared-hook",
    Level.SHOULD,
    "More kept items at one place than it holds without touching.",
    ("niosh-n95-reuse",),
)
UNTALLIED = Rule(
    "wearings-untallied",
    Level.SHOULD,
    "An item with a wearing limit is kept, and nobody counted or checked it in this round.",
    ("niosh-n95-reuse", "bergman-2012"),
)

RULES = (
    KEPT_DIRTY,
    SINGLE_USE_KEPT,
    NEVER_KEPT,
    FETCHED_ELSEWHERE,
    FETCH_UNSAID,
    SHARED_HOOK,
    UNTALLIED,
)


def kept_contaminated(visit: Visit) -> Iterator[Finding]:
    """Kept with a contaminated outside and no rest."""
    assert isinstance(visit.phrase, Keep)
    index = visit.world.item_index[visit.phrase.item]
    item, row = visit.before.items[index], visit.world.items[index]
    if item.where is Where.KEPT or row.rest or item.outside < Contamination.CONTAMINATED:
        return
    yield found(
        visit,
        KEPT_DIRTY,
        f"The {row.name} {be(row.name)} contaminated when kept, and "
        f"{be(row.name)} neither disinfected nor rested.",
        _dirtied(visit, index),
        label="kept here",
        remedy=f'add "disinfect {row.name}" while gloves are still on, or give it a rest in '
        "kit.yaml",
    )


def _dirtied(visit: Visit, index: int) -> Mark | None:
    reached = None
    for node in visit.trail.this_round():
        if node.state.items[index].outside < Contamination.CONTAMINATED:
            break
        reached = node
    at = getattr(reached.event, "at", None) if reached else None
    return Mark(at, "contaminated from here") if at else None


def single_use_kept(visit: Visit) -> Iterator[Finding]:
    """Kept against the kit."""
    assert isinstance(visit.phrase, Keep)
    row = visit.world.items[visit.world.item_index[visit.phrase.item]]
    if row.after_use is not AfterUse.KEEP:
        yield found(
            visit,
            SINGLE_USE_KEPT,
            f'The {row.name} {be(row.name)} kept, and kit.yaml says "after use: '
            f'{row.after_use.value}".',
            label="kept here",
            remedy=f'write "{row.after_use.value} {row.name}" here',
        )


def reusable_never_kept(world: World) -> Iterator[Finding]:
    """Looks at the whole protocol: no way keeps it."""
    phrases = list(_phrases(world.protocol))
    kept = {p.item for p in phrases if isinstance(p, Keep)}
    removals = [p for p in phrases if isinstance(p, Remove)]
    for row in (world.items[index] for index in world.used[0]):
        off = [p for p in removals if row.name in p.items]
        if row.after_use is AfterUse.KEEP and off and row.name not in kept:
            yield Finding(
                rule=NEVER_KEPT,
                message=f"The {row.name} {be(row.name)} reusable by kit.yaml, and no way "
                f"through this protocol keeps {be(row.name, 'it', 'them')}.",
                at=Mark(off[0].at, "comes off here"),
                remedy=f'keep the {row.name}, or write "after use: discard" in kit.yaml and '
                "leave out what it says about keeping",
            )


def _phrases(protocol: Protocol) -> Iterator[Phrase]:
    for part in protocol.parts:
        for step in every_step(part.steps):
            yield from step.phrases


def fetched_from_elsewhere(visit: Visit) -> Iterator[Finding]:
    """Fetched from a place where it does not hang."""
    assert isinstance(visit.phrase, Wear)
    index = visit.world.item_index[visit.phrase.item]
    item, row = visit.before.items[index], visit.world.items[index]
    if item.where is not Where.KEPT or item.place < 0:
        return
    place = visit.world.places[item.place].name
    kept = _kept_before(visit, row.name)
    if not visit.phrase.source:
        yield found(
            visit,
            FETCH_UNSAID,
            f"The {row.name} {be(row.name, 'was', 'were')} kept at the {place}, and this step "
            f"does not say where {be(row.name, 'it is', 'they are')}.",
            kept,
            label="put on again here",
            remedy=f'write "wear {row.name} from {place}"',
        )
    elif visit.phrase.source != place:
        yield found(
            visit,
            FETCHED_ELSEWHERE,
            f"The {row.name} {be(row.name, 'was', 'were')} kept at the {place}, and "
            f"{be(row.name)} fetched from the {visit.phrase.source}.",
            kept,
            label="fetched here",
            remedy="name the same place in both steps",
        )


def _kept_before(visit: Visit, name: str) -> Mark | None:
    """Where the item was kept, in this round or an earlier one."""
    for node in visit.trail.back():
        if isinstance(node.event, Keep) and node.event.item == name:
            return Mark(node.event.at, "kept here")
    return None


def shared_hook(visit: Visit) -> Iterator[Finding]:
    """Another kept item is at the same place already."""
    assert isinstance(visit.phrase, Keep)
    world = visit.world
    spot = world.place_index.get(visit.phrase.place, -1)
    others = [
        i
        for i, item in enumerate(visit.before.items)
        if item.where is Where.KEPT and item.place == spot >= 0
    ]
    others = [i for i in others if world.items[i].name != visit.phrase.item]
    if others and len(others) >= world.places[spot].holds:
        neighbour = world.items[others[0]].name
        yield found(
            visit,
            SHARED_HOOK,
            f"The {visit.phrase.item} and the {neighbour} are kept at the {visit.phrase.place} "
            "at the same time and can touch.",
            _kept_before(visit, neighbour),
            label="kept here too",
            remedy=f'give each its own place, or write "holds: {len(others) + 1}" if they '
            "cannot touch",
        )


def wearings_untallied(visit: Visit) -> Iterator[Finding]:
    """A limit nobody can keep to."""
    assert isinstance(visit.phrase, Keep)
    index = visit.world.item_index[visit.phrase.item]
    row = visit.world.items[index]
    if row.at_most and not visit.before.items[index].tallied:
        yield found(
            visit,
            UNTALLIED,
            f"The {row.name} may be worn {row.at_most} times, and nothing in this round checks "
            "or counts it.",
            put_on(visit, row.name),
            label="kept here",
            remedy=f'add "check {row.name}" where the tally is read or marked',
        )


CHOICES = 500
"""Choices of neighbours looked at one by one; beyond, all items are looked at together."""


def _neighbours(world: World, phrase: Phrase | None, possible: Possible) -> Iterator[Sight]:
    """As many other kept items as fill the place, in every choice of them."""
    assert isinstance(phrase, Keep)
    mine, spot = world.item_index[phrase.item], world.place_index.get(phrase.place, -1)
    if spot >= 0:
        others = sorted(possible.among(Where.KEPT, set(range(len(world.items))) - {mine}))
        holds = world.places[spot].holds
        if comb(len(others), holds) > CHOICES:
            yield Sight(frozenset({mine, *others}))
            return
        for filling in combinations(others, holds):
            yield Sight(frozenset({mine, *filling}))


CHECKS = (
    Look((Keep,), kept_contaminated, named),
    Look((Keep,), single_use_kept, named),
    Look((Wear,), fetched_from_elsewhere, named),
    Look((Keep,), shared_hook, _neighbours),
    Look((Keep,), wearings_untallied, named),
)
