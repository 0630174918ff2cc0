"""Questions and answers: renamed, reworded, added, dropped."""

from __future__ import annotations

from collections.abc import Iterator

from compiler.changes.change import Change, Detail
from compiler.changes.matching import Matched
from compiler.changes.placed import Placed, plain
from compiler.changes.telling import called, lead_of, number_of
from compiler.changes.texts import rewording
from compiler.model.protocol import Branch, Step, every_step
from compiler.syntax.spelling import alike


def changed_question(both: Matched, here: int, there: int, language: str) -> Iterator[Change]:
    """What changed about the question of a step that both versions have."""
    old, new = both.old_steps[here], both.new_steps[there]
    before, after = old.step.fork, new.step.fork
    if before and after:
        if alike(before.question) != alike(after.question):
            yield _told(
                "question renamed",
                f"{called(new.step)} now asks “{after.question}”; before: “{before.question}”.",
                old,
                new,
                before.question,
                after.question,
            )
        yield from _answers(both, here, there, language)
    elif before or after:
        yield _whole(old, new)


def _told(
    kind: str, sentence: str, old: Placed, new: Placed, was: str = "", now: str = ""
) -> Change:
    return Change(
        kind,
        sentence,
        subject=lead_of(new.step),
        place=new.words,
        old=old.step.at,
        new=new.step.at,
        was=was,
        is_now=now,
    )


def _whole(old: Placed, new: Placed) -> Change:
    """A step that stays, with a question come or gone."""
    gone = old.step.fork is not None
    fork = old.step.fork or new.step.fork
    assert fork
    words = "no longer asks" if gone else "now asks"
    sentence = f"{called(new.step)} {words} about the {fork.question}."
    was, now = (fork.question, "") if gone else ("", fork.question)
    kind = "question dropped" if gone else "question added"
    return _told(kind, sentence, old, new, was, now)


def _answers(both: Matched, here: int, there: int, language: str) -> Iterator[Change]:
    old, new = both.old_steps[here], both.new_steps[there]
    assert old.step.fork
    assert new.step.fork
    olds, news = old.step.fork.branches, new.step.fork.branches
    pairs = both.answers[here]
    back = {k: at for at, k in both.steps.items()}
    for at, branch in enumerate(olds):
        if at not in pairs:
            left = {id(p.step) for k, p in enumerate(both.old_steps) if k not in both.steps}
            yield _only_once(branch, old, new, left, dropped=True)
        else:
            yield from _answer(branch, news[pairs[at]], new, language)
    for at, branch in enumerate(news):
        if at not in pairs.values():
            left = {id(p.step) for k, p in enumerate(both.new_steps) if k not in back}
            yield _only_once(branch, old, new, left, dropped=False)
    order = [pairs[at] for at in sorted(pairs)]
    if order != sorted(order):
        was, now = (", ".join(b.answer for b in branches) for branches in (olds, news))
        sentence = f"The answers of {called(new.step)} stand in another order: {now}."
        yield _told("answers reordered", sentence, old, new, was, now)


def _only_once(
    branch: Branch, old: Placed, new: Placed, left: set[int], *, dropped: bool
) -> Change:
    """An answer with the steps that are in no other place of the other version."""
    steps: list[Step] = [step for step in every_step(branch.steps) if id(step) in left]
    leads = [(lead_of(step), step.at) for step in steps]
    with_it = f", with {number_of(len(steps), 'step')}" if steps else ""
    words = "is no longer an answer" if dropped else "is a new answer"
    said = plain(f"{branch.lead} {branch.detail}") or branch.answer
    return Change(
        "answer dropped" if dropped else "answer added",
        f"“{branch.answer}” {words} to {called(new.step)}{with_it}.",
        subject=branch.answer,
        place=old.words if dropped else new.words,
        old=branch.at if dropped else None,
        new=None if dropped else branch.at,
        was=said if dropped else "",
        is_now="" if dropped else said,
        look_first=dropped,
        details=tuple(
            Detail(lead, "", old=at) if dropped else Detail("", lead, new=at)
            for lead, at in leads
        ),
    )


def _answer(old: Branch, new: Branch, step: Placed, language: str) -> Iterator[Change]:
    def told(kind: str, sentence: str, was: str, now: str, look_first: bool = False) -> Change:
        return Change(
            kind=kind,
            sentence=sentence,
            subject=new.answer,
            place=step.words,
            old=old.at,
            new=new.at,
            was=was,
            is_now=now,
            look_first=look_first,
        )

    if alike(old.answer) != alike(new.answer):
        sentence = f"The answer “{new.answer}” was called “{old.answer}”."
        yield told("answer renamed", sentence, old.answer, new.answer)
    texts = [(plain(branch.lead), plain(branch.detail)) for branch in (old, new)]
    if texts[0] != texts[1]:
        was, now = (" ".join(filter(None, pair)) for pair in texts)
        judged = rewording(was, now, language)
        said = f" {judged.words}" if judged.words else ""
        sentence = f"The words beside the answer “{new.answer}” were reworded{said}."
        yield told(judged.kind or "answer reworded", sentence, was, now, judged.look_first)
