"""How kept items end a round, held against a list of all answers, round after round.

The outside judge is the second checker in `tests/reference/`, which lists every way one by one.
"""

from __future__ import annotations

import itertools

import pytest

from compiler.analysis.fates import End, Ends, fates, rows
from compiler.analysis.state import Contamination, Where
from compiler.analysis.world import World
from compiler.following.keeping import kept_told
from compiler.pipeline import read_texts
from compiler.report.style import Style
from compiler.source import Source
from tests.reference.drafts import Written, written
from tests.reference.effects import do, end_of_part, end_of_round
from tests.reference.enumeration import Way, copied, every_way, fresh, summary
from tests.reference.scene import PartEnds
from tests.reference.text import read_text
from tests.strategies import sample

WHERE = {
    "ready": Where.READY,
    "worn": Where.WORN,
    "in the hand": Where.HAND,
    "kept": Where.KEPT,
    "discarded": Where.DISCARDED,
    "sent": Where.SENT,
}
MOST = 1_500


def ends_by_enumeration(read: Written, world: World) -> list[tuple[Way, list[Ends]]] | None:
    """For each way the ends of each item, with the first round; nothing if there are too many."""
    protocol, clinic, kit = read.protocol, read.clinic, read.kit
    text, ways = read_text(protocol, clinic, kit), every_way(protocol)
    found: list[tuple[Way, list[Ends]]] = [(way, [{} for _ in world.items]) for way in ways]
    begins = [fresh(clinic, kit)]
    seen, walked = [summary(begins[0])], 0
    for number in itertools.count(1):
        ends = []
        for begin, (way, its) in itertools.product(begins, found):
            walked += 1
            if walked > MOST:
                return None
            state = copied(begin)
            for event in way.events:
                if isinstance(event, PartEnds):
                    end_of_part(state)
                else:
                    do(event, state, text, clinic, kit)
            for item, known in zip(world.items, its, strict=True):
                known.setdefault(end_of(state["items"][item.name], world), number)
            end_of_round(state, kit)
            if summary(state) not in seen:
                seen.append(summary(state))
                ends.append(state)
        begins = ends
        if not begins:
            return found
    return None


def end_of(item: dict, world: World) -> End:
    kept = item["where"] == "kept"
    level = Contamination(item["outside"]) if kept else Contamination.CLEAN
    place = world.place_index.get(item["kept at"], -1)
    return End(WHERE[item["where"]], place, level)


def test_every_answer_ends_as_in_the_list_of_all_answers():
    compared = forked = 0
    for draft in sample(80):
        read = written(draft)
        world = World(read.protocol, read.clinic, read.kit)
        listed = ends_by_enumeration(read, world)
        if listed is None:
            continue
        for fate in fates(world, range(len(world.items))):
            for way, its in listed:
                key = tuple(way.answers.get(question, "") for question in fate.questions)
                assert fate.table[key] == its[fate.item], (read, world.items[fate.item], key)
                compared += 1
            forked += bool(fate.questions)

    assert compared > 1_000
    assert forked > 50


def test_only_answers_that_matter_are_told():
    """Taking one question away from a table would mix different ends."""
    for draft in sample(40):
        read = written(draft)
        world = World(read.protocol, read.clinic, read.kit)
        listed = ends_by_enumeration(read, world)
        if listed is None:
            continue
        for fate in fates(world, range(len(world.items))):
            ends = [its[fate.item] for _, its in listed]
            if all(one == ends[0] for one in ends):
                assert fate.questions == (), read


HEAD = """---
title: Many hooks
precautions: [standard]
hazard: virus
edition: 1
valid from: 2026-11-01
review by: 2027-05-01
owner: Infection prevention lead
---
"""


def many(count: int, between: str = "\n1. **Hands.** `handrub`") -> World:
    """As many shields as forks: each is wiped and kept, or kept as it is, by its own answer."""
    numbers = range(count)
    donning = [f"1. **Shield.** `wear shield {n} from hook {n}`{between}" for n in numbers]
    doffing = [
        f"1. **Off.** `remove shield {n} by straps`\n"
        f"1. **How is it?** `decide state {n}`\n"
        f"   - **Fine.** `if fine`\n"
        f"     1. **Wipe it.** `disinfect shield {n} with wipe`\n"
        f"   - **Not now.** `if hurry`\n"
        f"1. **Keep it.** `keep shield {n} on hook {n}`\n"
        f"1. **Hands.** `handrub`"
        for n in numbers
    ]
    return hooks_world(donning, doffing, count)


def hooks_world(donning: list[str], doffing: list[str], count: int) -> World:
    """A set with as many shields, each with a hook of its own."""
    numbers = range(count)
    protocol = [
        HEAD,
        "# On `donning in bay`",
        "",
        "1. **Hands.** `handrub`",
        *donning,
        "",
        "# Work `at work in room`",
        "",
        "1. **Care.** Be kind.",
        "",
        "# Off `doffing in bay`",
        "",
        *doffing,
    ]
    hooks = "".join(f"  hook {n}: {{in: bay, for: keeping}}\n" for n in numbers)
    kit = "".join(f"shield {n}: {{kind: face shield, after use: keep}}\n" for n in numbers)
    clinic = (
        "clinic: Tern Island Health Post\ncontact: extension 214\nlanguages: [en]\n"
        f"areas:\n  bay: transition\n  room: contaminated\nplaces:\n{hooks}"
        "  bell: {in: room, for: use}\n"
        "hand hygiene: {policy: after every item}\nagents:\n  wipe: {wet time: 1 min}\n"
    )
    texts = {"clinic.yaml": clinic, "kit.yaml": kit, "hooks.md": "\n".join(protocol) + "\n"}
    read = read_texts({name: Source(name, text) for name, text in texts.items()})
    assert read.clinic
    assert read.kit
    assert len(read.protocols) == 1, read.findings
    return World(read.protocols[0], read.clinic, read.kit)


@pytest.mark.parametrize("count", [2, 12])
def test_forks_that_have_nothing_to_do_with_one_another_are_told_apart(count):
    """Twelve forks make 4,096 ways, and two rows for each of twelve items."""
    found = fates(many(count), range(count))

    assert [fate.questions for fate in found] == [(f"state {n}",) for n in range(count)]
    assert [len(rows(fate)) for fate in found] == [2] * count


def test_a_shield_that_nobody_wiped_stays_dirty():
    said = kept_told(many(2), Style())

    assert "state 0: hurry  ● kept on hook 0, contaminated" in said
    # the hook is as dirty as what hung on it, and is never wiped: clean only in the first round
    assert "state 0: fine   ● kept on hook 0, clean in round 1; from round 2" in said
    plain = " ".join(said.split())
    # the first shield is hung up with hands that were not cleaned since the room, on every way;
    # the second's hook is dirty only after the second hung there dirty
    assert plain.count("can also be contaminated, whatever was answered before") == 1
    assert (
        plain.count("can also be contaminated, after state 1: hurry in the rounds before") == 1
    )


def tangled(count: int) -> World:
    """One shield, kept by hands that any of many answers may have made dirty."""
    doffing = [
        "1. **Wipe it.** `disinfect shield 0 with wipe`",
        "1. **Hands.** `handrub`",
        *(
            f"1. **Bell?** `decide bell {n}`\n   - **Rang.** `if yes`\n     1. **Stop it.** `touch bell`\n"
            "   - **Quiet.** `if no`"
            for n in range(count)
        ),
        "1. **Off.** `remove shield 0 by outside`",
        "1. **Keep it.** `keep shield 0 on hook 0`",
    ]
    return hooks_world(["1. **Shield.** `wear shield 0 from hook 0`"], doffing, 1)


def test_what_hangs_on_many_answers_together_is_said_without_them():
    """Too large to tell by answers, but every end is still told."""
    few, much = kept_told(tangled(3), Style()), kept_told(tangled(14), Style())

    assert "bell 0: yes" in few
    assert "Too much hangs together" not in few
    assert much.startswith("Too much hangs together here to tell which answers")
    assert "over all answers" in much


def test_more_than_can_be_followed_is_said():
    assert kept_told(many(12, ""), Style()).startswith("More different situations")
