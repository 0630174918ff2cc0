"""The one home of Hypothesis strategies: random protocol sets, as texts and as model values.

Most are nearly sound: a sound protocol with a few random edits, since in a wholly random one the
first steps go wrong and the rules that look at later ones see nothing of interest.
"""

from __future__ import annotations

import copy

from hypothesis import strategies as st

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
from tests.reference.drafts import NOWHERE, Act, Draft, DraftPart, Written, hygiene, written
from tests.reference.outfits import ANSWERS, ON, Draw, one_of, sound, surroundings, usually

MOST_STEPS = 40
MOST_FORKS = 6


@st.composite
def sets(draw: Draw) -> Written:
    """A random set with one protocol: four in five nearly sound, the others wholly random."""
    return written(draw(drafts()))


@st.composite
def drafts(draw: Draw) -> Draft:
    """The same before it is written down."""
    return draw(nearly_sound()) if usually(draw) else draw(wholly_random())


@st.composite
def nearly_sound(draw: Draw) -> Draft:
    """A sound protocol with up to eight edits."""
    draft = sound(draw)
    for _ in range(draw(st.integers(0, 8))):
        edit(draw, draft)
    trim(draft)
    return draft


@st.composite
def wholly_random(draw: Draw) -> Draft:
    """Any phrases in any order."""
    names = draw(st.lists(st.sampled_from(ON), min_size=1, max_size=7, unique=True))
    draft = surroundings(draw, names)
    for activity in draw(st.lists(st.sampled_from(Activity), min_size=1, max_size=3)):
        area = one_of(draw, *draft.areas).name
        draft.parts.append(DraftPart(activity, area, random_acts(draw, draft, 2)))
    trim(draft)
    return draft


def random_acts(draw: Draw, draft: Draft, deep: int) -> list[Act]:
    """Some steps; forks may be nested as deep as given."""
    return [random_act(draw, draft, deep) for _ in range(draw(st.integers(0, 3 + 4 * deep)))]


def random_act(draw: Draw, draft: Draft, deep: int) -> Act:
    """A step of up to three phrases, now and then with a fork."""
    act = Act([random_phrase(draw, draft) for _ in range(one_of(draw, 1, 1, 2, 3))])
    if deep and not usually(draw, 5):
        act.question = one_of(draw, *ANSWERS)
        act.branches = [
            (answer, random_acts(draw, draft, deep - 1)) for answer in ANSWERS[act.question]
        ]
    return act


def random_phrase(draw: Draw, draft: Draft) -> Phrase:
    """Any phrase about this clinic and kit."""
    item = one_of(draw, *draft.items)
    place = one_of(draw, *draft.places).name
    perhaps = one_of(draw, "", place)
    helped = not usually(draw)
    match one_of(draw, *_VERBS):
        case "wear":
            return Wear(item.name, perhaps, helped, NOWHERE)
        case "remove":
            more = [one_of(draw, *draft.items).name] if not usually(draw, 2) else []
            names = tuple(dict.fromkeys([item.name, *more]))
            return Remove(names, one_of(draw, *Grip), helped, NOWHERE)
        case "discard":
            return Discard(item.name, perhaps, NOWHERE)
        case "keep":
            return Keep(item.name, item.keep_at or place, NOWHERE)
        case "send":
            return Send(item.name, perhaps, NOWHERE)
        case "check":
            return Check(item.name, NOWHERE)
        case "disinfect":
            target = item.name if usually(draw, 3) else place
            agent = one_of(draw, "", *(agent.name for agent in draft.agents))
            return Disinfect(target, agent, NOWHERE)
        case "touch":
            return Touch(place, NOWHERE)
        case "go":
            return Go(one_of(draw, *draft.areas).name, NOWHERE)
        case "observed":
            return Observed(NOWHERE)
        case "takes":
            return Takes(30, NOWHERE)
        case _:
            return hygiene(one_of(draw, False, True), one_of(draw, False, True))


_VERBS = (
    "hygiene", "wear", "remove", "discard", "keep", "send", "check", "disinfect", "touch", "go",
    "hygiene", "wear", "remove", "observed", "takes",
)  # fmt: skip


def edit(draw: Draw, draft: Draft) -> None:
    """Changes one thing somewhere."""
    lists = [acts for acts in draft.lists() if acts]
    if not lists:
        return
    # Longer lists have more places to go wrong, so each step is as likely as any other.
    places = [(acts, number) for acts in lists for number in range(len(acts))]
    acts, number = places[draw(st.integers(0, len(places) - 1))]
    act = acts[number]
    match one_of(draw, *_EDITS):
        case "drop":
            del acts[number]
        case "add":
            acts.insert(number, random_act(draw, draft, 1))
        case "repeat":
            acts.insert(number, copy.deepcopy(act))
        case "swap":
            other = draw(st.integers(0, len(acts) - 1))
            acts[number], acts[other] = acts[other], acts[number]
        case "phrase":
            act.phrases.insert(
                draw(st.integers(0, len(act.phrases))), random_phrase(draw, draft)
            )
        case "tweak":
            act.phrases[:] = [tweaked(draw, draft, phrase) for phrase in act.phrases]
        case "join" if number + 1 < len(acts):
            join(act, acts[number + 1])
        case "fork":
            fork(draw, draft, acts, number)
        case "stay" if draft.parts:
            draft.parts[0].area = one_of(draw, *draft.areas).name


_EDITS = ("drop", "fork", "tweak", "swap", "phrase", "fork", "add", "repeat", "join", "stay")


def join(act: Act, following: Act) -> None:
    """Takes off together what came off one after the other."""
    first = next((p for p in act.phrases if isinstance(p, Remove)), None)
    second = next((p for p in following.phrases if isinstance(p, Remove)), None)
    if first and second:
        items = tuple(dict.fromkeys([*first.items, *second.items]))
        number = act.phrases.index(first)
        act.phrases[number] = Remove(items, first.grip, first.assistant, NOWHERE)
        following.phrases.remove(second)


def fork(draw: Draw, draft: Draft, acts: list[Act], number: int) -> None:
    """Puts a run of steps below an answer; the other answers have none, or a changed copy."""
    end = draw(st.integers(number + 1, min(len(acts), number + 4)))
    run, question = acts[number:end], one_of(draw, *ANSWERS)
    branches = []
    for answer in ANSWERS[question]:
        copied = copy.deepcopy(run) if one_of(draw, True, False) else []
        if copied and one_of(draw, False, True):
            changed = copied[draw(st.integers(0, len(copied) - 1))]
            changed.phrases[:] = [tweaked(draw, draft, phrase) for phrase in changed.phrases]
        branches.append((answer, copied))
    acts[number:end] = [Act([], question, branches)]


def tweaked(draw: Draw, draft: Draft, phrase: Phrase) -> Phrase:
    """The same verb with something else about it."""
    item, place = one_of(draw, *draft.items), one_of(draw, *draft.places).name
    match phrase:
        case Wear():
            home = one_of(draw, phrase.source, "", place)
            return Wear(phrase.item, home, one_of(draw, False, True), NOWHERE)
        case Remove():
            return Remove(
                phrase.items, one_of(draw, *Grip), one_of(draw, False, True), NOWHERE
            )
        case Keep() | Discard() | Send():
            if item.after_use is AfterUse.KEEP and usually(draw, 1):
                return Keep(phrase.item, place, NOWHERE)
            return one_of(draw, Discard, Send)(phrase.item, one_of(draw, "", place), NOWHERE)
        case Disinfect():
            agent = one_of(draw, "", *(agent.name for agent in draft.agents))
            return Disinfect(phrase.target, agent, NOWHERE)
        case Check():
            return Check(item.name, NOWHERE)
        case Touch():
            return Touch(place, NOWHERE)
        case Go():
            return Go(one_of(draw, *draft.areas).name, NOWHERE)
    return hygiene(one_of(draw, False, True), one_of(draw, False, True))


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
