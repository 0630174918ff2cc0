"""The picture of one way, held against the second checker's states after each step.

The outside judge is `tests/reference/effects.py`, written apart from `compiler/README.md`.
"""

from __future__ import annotations

import pytest

from compiler.analysis.world import World
from compiler.following.table import surfaces
from compiler.following.walk import Walk
from compiler.pipeline import open_set
from tests.command.running import EXAMPLE
from tests.reference.drafts import Written, written
from tests.reference.effects import do, end_of_part, end_of_round
from tests.reference.enumeration import every_way, fresh
from tests.reference.scene import PartEnds
from tests.reference.text import read_text
from tests.strategies import sample

BRACKETS = {"worn": "  ", "kept": "()", "in the hand": "[]"}


def shown_by_reference(state: dict, world: World) -> dict[str, tuple[int, str] | None]:
    """What each column has to show, by the reference's state."""
    shown: dict[str, tuple[int, str] | None] = {"bare hands": (state["bare hands"], "  ")}
    shown |= {name: (level, "  ") for name, level in state["body"].items()}
    for item in world.items:
        its = state["items"][item.name]
        around = BRACKETS.get(its["where"])
        shown[item.name] = (its["outside"], around) if around else None
    return shown | {name: (level, "  ") for name, level in state["places"].items()}


def agree_on_every_step(written_set: Written, rounds: int) -> int:
    """Walks every way of a set in both; gives how many states were compared."""
    protocol, clinic, kit = written_set.protocol, written_set.clinic, written_set.kit
    world = World(protocol, clinic, kit)
    text, columns = read_text(protocol, clinic, kit), surfaces(world)
    compared = 0
    for way in every_way(protocol)[:16]:
        state = fresh(clinic, kit)
        for number in range(1, rounds + 1):
            moments = Walk(world, number, way.answers, way.answers).moments()
            events = iter(way.events)
            for moment in moments:
                due = list(moment.step.phrases) if moment.step else [moment.part.begin]
                while due:
                    event = next(events)
                    if isinstance(event, PartEnds):
                        end_of_part(state)
                        continue
                    assert event is due.pop(0)
                    do(event, state, text, clinic, kit)
                expected = shown_by_reference(state, world)
                for column in columns:
                    sign = column.look(moment.state)
                    shown = (sign.level, sign.around) if sign else None
                    assert shown == expected[column.name], (column.name, moment.step, number)
                compared += 1
            assert all(isinstance(event, PartEnds) for event in events)
            end_of_round(state, kit)
    return compared


@pytest.mark.parametrize("name", sorted(path.stem for path in EXAMPLE.glob("[!R]*.md")))
def test_every_way_through_the_example_is_as_the_reference_has_it(name):
    protocol_set = open_set(EXAMPLE, [EXAMPLE / f"{name}.md"])
    read = Written({}, protocol_set.clinic, protocol_set.kit, protocol_set.protocols[0], [])

    assert agree_on_every_step(read, rounds=3) > 50


def test_random_protocols_are_as_the_reference_has_them():
    compared = sum(agree_on_every_step(written(draft), rounds=2) for draft in sample(60))

    assert compared > 1_000
