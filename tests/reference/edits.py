"""Random protocols: sound ones with random edits, and wholly random ones."""

from __future__ import annotations

import copy

from compiler.model.kit import AfterUse
from compiler.model.protocol import (
    Activity,
    Check,
    Discard,
    Disinfect,
    Go,
    Grip,
    Keep,
    Observed,
    Phrase,
    Remove,
    Send,
    Takes,
    Touch,
    Wear,
)
from tests.reference.drafts import NOWHERE, Act, Draft, DraftPart, hygiene
from tests.reference.outfits import (
    ANSWERS,
    ON,
    Choose,
    one_of,
    some_of,
    sound,
    surroundings,
    usually,
)

MOST_STEPS = 40
MOST_FORKS = 6


def nearly_sound(choose: Choose) -> Draft:
    """A sound protocol with up to eight edits."""
    draft = sound(choose)
    for _ in range(choose(0, 8)):
        edit(choose, draft)
    trim(draft)
    return draft


def wholly_random(choose: Choose) -> Draft:
    """Any phrases in any order."""
    draft = surroundings(choose, some_of(choose, ON, 7))
    for activity in (one_of(choose, *Activity) for _ in range(choose(1, 3))):
        area = one_of(choose, *draft.areas).name
        draft.parts.append(DraftPart(activity, area, random_acts(choose, draft, 2)))
    trim(draft)
    return draft


def random_acts(choose: Choose, draft: Draft, deep: int) -> list[Act]:
    """Some steps; forks may be nested as deep as given."""
    return [random_act(choose, draft, deep) for _ in range(choose(0, 3 + 4 * deep))]


def random_act(choose: Choose, draft: Draft, deep: int) -> Act:
    """A step of up to three phrases, now and then with a fork."""
    act = Act([random_phrase(choose, draft) for _ in range(one_of(choose, 1, 1, 2, 3))])
    if deep and not usually(choose, 5):
        act.question = one_of(choose, *ANSWERS)
        act.branches = [
            (answer, random_acts(choose, draft, deep - 1)) for answer in ANSWERS[act.question]
        ]
    return act


def random_phrase(choose: Choose, draft: Draft) -> Phrase:
    """Any phrase about this clinic and kit."""
    item = one_of(choose, *draft.items)
    place = one_of(choose, *draft.places).name
    perhaps = one_of(choose, "", place)
    helped = not usually(choose)
    agent = one_of(choose, "", *(agent.name for agent in draft.agents))
    others = [one_of(choose, *draft.items).name] if not usually(choose, 2) else []
    together = tuple(dict.fromkeys([item.name, *others]))
    target = item.name if usually(choose, 3) else place
    return one_of(
        choose,
        hygiene(False, False),
        hygiene(False, True),
        hygiene(True, one_of(choose, False, True)),
        *2 * [Wear(item.name, perhaps, helped, NOWHERE)],
        *2 * [Remove(together, one_of(choose, *Grip), helped, NOWHERE)],
        Discard(item.name, perhaps, NOWHERE),
        Keep(item.name, item.keep_at or place, NOWHERE),
        Send(item.name, perhaps, NOWHERE),
        Check(item.name, NOWHERE),
        Disinfect(target, agent, NOWHERE),
        Touch(place, NOWHERE),
        Go(one_of(choose, *draft.areas).name, NOWHERE),
        Observed(NOWHERE),
        Takes(30, NOWHERE),
    )


def edit(choose: Choose, draft: Draft) -> None:
    """Changes one thing somewhere."""
    # Each step is as likely as any other, wherever it stands.
    places = [(acts, number) for acts in draft.lists() for number in range(len(acts))]
    if places:
        one_of(choose, *_EDITS)(choose, draft, *one_of(choose, *places))


def drop(choose: Choose, draft: Draft, acts: list[Act], number: int) -> None:
    """A step is forgotten."""
    del acts[number]


def lose(choose: Choose, draft: Draft, acts: list[Act], number: int) -> None:
    """A phrase is forgotten."""
    phrases = acts[number].phrases
    if phrases:
        del phrases[choose(0, len(phrases) - 1)]


def add(choose: Choose, draft: Draft, acts: list[Act], number: int) -> None:
    """Another step."""
    acts.insert(number, random_act(choose, draft, 1))


def say_more(choose: Choose, draft: Draft, acts: list[Act], number: int) -> None:
    """Another phrase."""
    phrases = acts[number].phrases
    phrases.insert(choose(0, len(phrases)), random_phrase(choose, draft))


def tweak(choose: Choose, draft: Draft, acts: list[Act], number: int) -> None:
    """The same verbs with something else about them."""
    phrases = acts[number].phrases
    phrases[:] = [tweaked(choose, draft, phrase) for phrase in phrases]


def repeat(choose: Choose, draft: Draft, acts: list[Act], number: int) -> None:
    """The same step twice."""
    acts.insert(number, copy.deepcopy(acts[number]))


def swap(choose: Choose, draft: Draft, acts: list[Act], number: int) -> None:
    """Two steps change places."""
    other = choose(0, len(acts) - 1)
    acts[number], acts[other] = acts[other], acts[number]


def begin_elsewhere(choose: Choose, draft: Draft, acts: list[Act], number: int) -> None:
    """A part begins in another area."""
    one_of(choose, *draft.parts).area = one_of(choose, *draft.areas).name


def join(choose: Choose, draft: Draft, acts: list[Act], number: int) -> None:
    """Takes off together what came off one after the other."""
    act, following = acts[number], acts[min(number + 1, len(acts) - 1)]
    first = next((p for p in act.phrases if isinstance(p, Remove)), None)
    second = next((p for p in following.phrases if isinstance(p, Remove)), None)
    if first and second and first is not second:
        items = tuple(dict.fromkeys([*first.items, *second.items]))
        number = act.phrases.index(first)
        act.phrases[number] = Remove(items, first.grip, first.assistant, NOWHERE)
        following.phrases.remove(second)


def again(choose: Choose, draft: Draft, acts: list[Act], number: int) -> None:
    """Takes an item off somewhere, and puts it on again some steps later."""
    item = one_of(choose, *draft.items).name
    off, on = Act([Remove((item,), Grip.USUAL, False, NOWHERE)]), Act([])
    off.phrases += [Discard(item, "", NOWHERE)] if usually(choose, 1) else []
    on.phrases.append(Wear(item, "", False, NOWHERE))
    later = choose(number, min(len(acts), number + 3))
    acts[later:later] = [on]
    acts[number:number] = [off, Act([hygiene()])] if usually(choose, 1) else [off]


def fork(choose: Choose, draft: Draft, acts: list[Act], number: int) -> None:
    """Puts a run of steps below an answer; the other answers have none, or a changed copy."""
    end = choose(number + 1, min(len(acts), number + 4))
    run, question = acts[number:end], one_of(choose, *ANSWERS)
    branches = []
    for answer in ANSWERS[question]:
        copied = copy.deepcopy(run) if one_of(choose, True, False) else []
        if copied and one_of(choose, False, True):
            changed = copied[choose(0, len(copied) - 1)]
            changed.phrases[:] = [tweaked(choose, draft, phrase) for phrase in changed.phrases]
        branches.append((answer, copied))
    acts[number:end] = [Act([], question, branches)]


_EDITS = (
    drop, lose, add, say_more, tweak, tweak, repeat, swap, swap, begin_elsewhere, join, again,
    fork, fork, fork,
)  # fmt: skip


def tweaked(choose: Choose, draft: Draft, phrase: Phrase) -> Phrase:
    """The same verb with something else about it."""
    item, place = one_of(choose, *draft.items), one_of(choose, *draft.places).name
    match phrase:
        case Wear():
            home = one_of(choose, phrase.source, "", place)
            return Wear(phrase.item, home, one_of(choose, False, True), NOWHERE)
        case Remove():
            return Remove(
                phrase.items, one_of(choose, *Grip), one_of(choose, False, True), NOWHERE
            )
        case Keep() | Discard() | Send():
            if item.after_use is AfterUse.KEEP and usually(choose, 1):
                return Keep(phrase.item, place, NOWHERE)
            return one_of(choose, Discard, Send)(
                phrase.item, one_of(choose, "", place), NOWHERE
            )
        case Disinfect():
            agent = one_of(choose, "", *(agent.name for agent in draft.agents))
            return Disinfect(phrase.target, agent, NOWHERE)
        case Check():
            return Check(item.name, NOWHERE)
        case Touch():
            return Touch(place, NOWHERE)
        case Go():
            return Go(one_of(choose, *draft.areas).name, NOWHERE)
    return hygiene(one_of(choose, False, True), one_of(choose, False, True))


def trim(draft: Draft) -> None:
    """Holds a draft to the most steps and forks; parts without steps get one."""
    while len(list(draft.acts())) > MOST_STEPS:
        max(draft.lists(), key=len).pop()
    while draft.forks() > MOST_FORKS:
        last = [act for act in draft.acts() if act.question][-1]
        last.question, last.branches = "", []
    for acts in draft.lists():
        for act in acts:
            if not act.phrases and not act.question:
                act.phrases.append(Takes(30, NOWHERE))
    for part in draft.parts:
        part.acts = part.acts or [Act([Takes(30, NOWHERE)])]
