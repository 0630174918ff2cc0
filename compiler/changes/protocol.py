"""Everything that changed between two versions of one protocol, its findings apart."""

from __future__ import annotations

from collections.abc import Iterator

from compiler.changes.aligning import Pairs
from compiler.changes.cautions import changed_cautions
from compiler.changes.change import Change, Detail
from compiler.changes.coming import added_step, dropped_step
from compiler.changes.deeds import Grounds, changed_deeds
from compiler.changes.head import changed_head
from compiler.changes.matching import Matched, matched
from compiler.changes.placed import Placed, bare_protocol, doing, plain
from compiler.changes.questions import changed_question
from compiler.changes.telling import called, lead_of, neighbour, number_of, text_of
from compiler.changes.texts import paired_texts, rewording
from compiler.model.kit import Kit
from compiler.model.protocol import Part, Protocol, every_step


def changed_protocol(
    old: Protocol, new: Protocol, old_kit: Kit | None, new_kit: Kit | None, language: str
) -> Iterator[Change]:
    """Head, parts and steps; nothing when only the layout of the text differs."""
    if bare_protocol(old) == bare_protocol(new):
        return
    grounds = Grounds((old_kit, new_kit), old.spores or new.spores, language)
    both = matched(old, new)
    yield from changed_head(old, new)
    yield from _parts(both, language)
    yield from (dropped_step(both, at, grounds) for at in both.dropped if _told(both, at, True))
    yield from (added_step(both, at, grounds) for at in both.added if _told(both, at, False))
    for here, there in sorted(both.steps.items(), key=lambda pair: pair[1]):
        yield from _step(both, here, there, grounds)
    yield from changed_cautions(both, language)


def _told(both: Matched, at: int, dropped: bool) -> bool:
    """Whether a step is told by itself, and not with its part, question or answer."""
    steps, pairs = (both.old_steps, both.steps) if dropped else (both.new_steps, _back(both))
    parts = both.parts if dropped else {there: here for here, there in both.parts.items()}
    placed = steps[at]
    if placed.part not in parts:
        return False
    for fork, answer in placed.around:
        if fork not in pairs:
            return False
        old_fork = fork if dropped else pairs[fork]
        answers = both.answers.get(old_fork, {})
        if answer not in (answers if dropped else answers.values()):
            return False
    return True


def _back(both: Matched) -> Pairs:
    return {there: here for here, there in both.steps.items()}


def _step(both: Matched, here: int, there: int, grounds: Grounds) -> Iterator[Change]:
    old, new = both.old_steps[here], both.new_steps[there]
    if here in both.moved:
        yield _moved(both, here, there)
    if old.content == new.content:
        return
    deeds = [*changed_deeds(old, new, grounds)]
    yield from deeds
    yield from _reworded(old, new, grounds.language)
    yield from changed_question(both, here, there, grounds.language)


def _moved(both: Matched, here: int, there: int) -> Change:
    old, new = both.old_steps[here], both.new_steps[there]
    was, now = neighbour(both.old_steps, here), neighbour(both.new_steps, there)
    if both.same_list(here, there):
        place = ""
    else:
        place = f" from {old.words} to {new.words}" if old.words != new.words else ""
    return Change(
        "step moved",
        f"{called(new.step)} moved{place}: it now stands {now}.",
        subject=lead_of(new.step),
        place=new.words,
        old=old.step.at,
        new=new.step.at,
        was=was,
        is_now=now,
    )


def _reworded(old: Placed, new: Placed, language: str) -> Iterator[Change]:
    texts = [(plain(p.step.lead), plain(p.step.detail)) for p in (old, new)]
    if texts[0] == texts[1]:
        return
    was, now = text_of(old.step), text_of(new.step)
    judged = rewording(was, now, language)
    kept = "keeps its meaning for the checker" if _same_phrases(old, new) else ""
    if not doing(new.step) and new.step.fork is None:
        kept = "advice, which the checker does not read"
    only = "; only which words are bold changed" if was == now else ""
    said = f" {judged.words}" if judged.words else only
    yield Change(
        judged.kind or "step reworded",
        f"{called(new.step)} was reworded{said}{f' ({kept})' if kept else ''}.",
        subject=lead_of(new.step),
        place=new.words,
        old=old.step.at,
        new=new.step.at,
        was=was,
        is_now=now,
        look_first=judged.look_first,
    )


def _same_phrases(old: Placed, new: Placed) -> bool:
    return bool(old.content[3] == new.content[3])


# ---- parts


def _parts(both: Matched, language: str) -> Iterator[Change]:
    for at, part in enumerate(both.old.parts):
        if at not in both.parts:
            yield _whole_part(part, dropped=True)
    for at, part in enumerate(both.new.parts):
        if at not in both.parts.values():
            yield _whole_part(part, dropped=False)
    for here, there in both.parts.items():
        old, new = both.old.parts[here], both.new.parts[there]
        yield from _part(old, new, language)
        if here in both.moved_parts:
            yield _of_part("part moved", f"The part “{new.title}” moved.", old, new)


def _whole_part(part: Part, *, dropped: bool) -> Change:
    steps = [*every_step(part.steps)]
    leads = (lead_of(step) for step in steps)
    details = tuple(
        Detail(lead, "", old=step.at) if dropped else Detail("", lead, new=step.at)
        for lead, step in zip(leads, steps, strict=True)
    )
    count = number_of(len(steps), "step")
    return Change(
        "part dropped" if dropped else "part added",
        f"The part “{part.title}” is {'gone' if dropped else 'new'}, with {count}.",
        subject=part.title,
        old=part.at if dropped else None,
        new=None if dropped else part.at,
        was=part.title if dropped else "",
        is_now="" if dropped else part.title,
        look_first=dropped,
        details=details,
    )


def _of_part(
    kind: str, sentence: str, old: Part, new: Part, was: str = "", now: str = ""
) -> Change:
    return Change(
        kind,
        sentence,
        subject=new.title,
        place=new.title,
        old=old.at,
        new=new.at,
        was=was,
        is_now=now,
    )


def _part(old: Part, new: Part, language: str) -> Iterator[Change]:
    title, before = plain(new.title), plain(old.title)
    if title != before:
        sentence = f"The part “{title}” was called “{before}”."
        yield _of_part("part renamed", sentence, old, new, before, title)
    was, now = (f"{p.begin.activity.value} in {p.begin.area}" for p in (old, new))
    if was != now:
        sentence = f"The part “{title}” is now {now}; before: {was}."
        yield _of_part("area changed", sentence, old, new, was, now)
    texts = [[plain(text) for text in part.introduction] for part in (old, new)]
    reworded, gone, came = paired_texts(*texts)
    for text, later in reworded:
        judged = rewording(text, later, language)
        said = f" {judged.words}" if judged.words else ""
        sentence = f"The introduction of “{title}” was reworded{said}."
        kind = judged.kind or "introduction reworded"
        yield _of_part(kind, sentence, old, new, text, later)
    for text in gone:
        sentence = f"A text before the steps of “{title}” is gone."
        yield _of_part("introduction dropped", sentence, old, new, text)
    for text in came:
        sentence = f"A text before the steps of “{title}” is new."
        yield _of_part("introduction added", sentence, old, new, "", text)
