"""Whether things are wiped with the right agent, by the right hands, as the kit says."""

from __future__ import annotations

from collections.abc import Iterator

from compiler.analysis.state import Contamination
from compiler.analysis.visits import Check as Look
from compiler.analysis.visits import Visit
from compiler.findings import Finding, Level, Rule
from compiler.model.protocol import Disinfect, Keep, Remove
from compiler.rules.evidence import be, found, last
from compiler.rules.sights import named

KIT_CONTRADICTED = Rule(
    "kit-contradicted",
    Level.SHOULD,
    "A step keeps or wipes an item otherwise than kit.yaml says.",
)
WEAK_AGENT = Rule(
    "weak-against-spores",
    Level.MUST,
    "An item is disinfected with an agent that does not kill spores.",
)
WIPED_BARE = Rule(
    "wiped-bare-handed",
    Level.SHOULD,
    "A contaminated item is disinfected with bare hands.",
    ("cdc-eye-protection-2020",),
)

RULES = (KIT_CONTRADICTED, WEAK_AGENT, WIPED_BARE)


def kit_contradicted(visit: Visit) -> Iterator[Finding]:
    """Another hook or another agent than the kit says."""
    phrase = visit.phrase
    assert isinstance(phrase, Keep | Disinfect)
    name = phrase.item if isinstance(phrase, Keep) else phrase.target
    row = visit.world.kit.items.get(name)
    if row is None:
        return
    if isinstance(phrase, Keep):
        here, kit = phrase.place, row.keep_at
    else:
        here, kit = phrase.agent, row.disinfect_with
    if here and kit and here != kit:
        verb = "kept at" if isinstance(phrase, Keep) else "disinfected with"
        yield found(
            visit,
            KIT_CONTRADICTED,
            f"The {name} {be(name)} {verb} the {here} here, and kit.yaml says the {kit}.",
            label="otherwise here",
            remedy="make the two agree",
        )


def weak_against_spores(visit: Visit) -> Iterator[Finding]:
    """An agent that leaves spores alive."""
    assert isinstance(visit.phrase, Disinfect)
    row = visit.world.kit.items.get(visit.phrase.target)
    name = visit.phrase.agent or (row.disinfect_with if row else "")
    agent = visit.world.clinic.agents.get(name)
    if visit.world.protocol.spores and agent and not agent.kills_spores:
        yield found(
            visit,
            WEAK_AGENT,
            f"The {name} does not kill spores, by clinic.yaml.",
            label="disinfected here",
            remedy='use an agent with "kills spores: true", here and under "disinfect with" in '
            "kit.yaml",
        )


def wiped_bare_handed(visit: Visit) -> Iterator[Finding]:
    """Bare hands on a contaminated item with a wipe."""
    assert isinstance(visit.phrase, Disinfect)
    index = visit.world.item_index.get(visit.phrase.target)
    if index is None or visit.world.glove(visit.before) >= 0:
        return
    if visit.before.items[index].outside is Contamination.CONTAMINATED:
        name = visit.phrase.target
        yield found(
            visit,
            WIPED_BARE,
            f"The {name} {be(name)} contaminated and wiped with bare hands.",
            last(visit, lambda n: isinstance(n.event, Remove), "gloves are off by here"),
            label="wiped here",
            remedy="put on fresh gloves first, or wipe before the gloves come off",
        )


CHECKS = (
    Look((Keep, Disinfect), kit_contradicted, named),
    Look((Disinfect,), weak_against_spores, named),
    Look((Disinfect,), wiped_bare_handed, named, hands=True),
)
