"""Steps in the wrong order, and the seal check that is not there."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import replace

from compiler.findings import Finding
from compiler.mending.ground import Ground, Ways, lone_hygiene, steps_of
from compiler.mending.hygiene import new_steps
from compiler.mending.lists import Body, Spot, Steps, body_of, rearranged, with_step
from compiler.model.kit import Kind
from compiler.model.protocol import (
    Check,
    Discard,
    Disinfect,
    Keep,
    Observed,
    Remove,
    Send,
    Step,
    Takes,
    Wear,
)

SEAL = "**Check the seal.** Breathe out hard. If air leaks, fit it again."


def taken_off_first(ground: Ground, finding: Finding) -> Iterator[Ways]:
    """What lies above comes off before what lies below, with the hand hygiene that follows.

    Both have to be steps of one list; a step under an answer does not move out of it.
    """
    above = [p.item for m in finding.path if isinstance(p := ground.phrase_at(m.span), Wear)]
    for spot in ground.spots(finding.at.span):
        removal = spot.steps[spot.index]
        mine = [i for p in removal.phrases if isinstance(p, Remove) for i in p.items]
        later = [i for item in above if (i := _off(spot, item)) > spot.index]
        if not mine or not later or len(later) < len(set(above)):
            continue
        for hygiene in (True, False):
            moved = sorted({i for at in later for i in _block(spot.steps, at, hygiene)})
            start = _block(spot.steps, spot.index, hygiene=False)[0]
            if start not in moved:
                yield from _moved(ground, spot.steps, moved, start)
        yield from _put_behind(ground, spot, max(later))


def after_gloves(ground: Ground, finding: Finding) -> Iterator[Ways]:
    """What dirty gloves must not do waits until they are off and hands are clean."""
    for spot in ground.spots(finding.at.span):
        gloves = [i.name for i in ground.kit.items.values() if i.kind is Kind.GLOVES]
        if later := [at for name in gloves if (at := _off(spot, name)) >= 0]:
            yield from _put_behind(ground, spot, min(later))


def _put_behind(ground: Ground, spot: Spot, at: int) -> Iterator[Ways]:
    """A step after the later one `at`, with hand hygiene before or after it as needed."""
    end = _block(spot.steps, at, hygiene=True)[-1] + 1
    yield from _moved(ground, spot.steps, _block(spot.steps, spot.index, hygiene=True), end)
    # what is wiped while gloves are on is not wiped after they are off
    for own in (_block(spot.steps, spot.index, hygiene=False), [spot.index]):
        yield from _moved(ground, spot.steps, own, end)
        for body in new_steps(ground):
            yield from _moved(ground, spot.steps, own, end, ahead=[body])
            yield from _moved(ground, spot.steps, own, end, behind=[body])
            yield from _moved(ground, spot.steps, own, end, ahead=[body], behind=[body])


def _off(spot: Spot, item: str) -> int:
    """The first later step of the list in which an item comes off; -1 for none."""
    for index in range(spot.index + 1, len(spot.steps)):
        if any(isinstance(p, Remove) and item in p.items for p in spot.steps[index].phrases):
            return index
    return -1


def _block(steps: Steps, at: int, hygiene: bool) -> list[int]:
    """The step of a removal with those before and after it that are about the same items.

    With `hygiene`, the hand hygiene right after them too.
    """
    items = {i for p in steps[at].phrases if isinstance(p, Remove) for i in p.items}
    first, end = at, at + 1
    while first and _is_about(steps[first - 1], items):
        first -= 1
    while end < len(steps) and _is_about(steps[end], items):
        end += 1
    if hygiene and end < len(steps) and lone_hygiene(steps[end]):
        end += 1
    return list(range(first, end))


def _is_about(step: Step, items: set[str]) -> bool:
    """Whether a step wipes, checks or ends these items and does nothing else."""
    named = set()
    for phrase in step.phrases:
        match phrase:
            case Discard() | Keep() | Send() | Check():
                named.add(phrase.item)
            case Disinfect():
                named.add(phrase.target)
            case Observed() | Takes():
                pass
            case _:
                return False
    return bool(named) and named <= items and not step.fork


def _moved(
    ground: Ground,
    steps: Steps,
    block: list[int],
    to: int,
    *,
    ahead: Sequence[Body] = (),
    behind: Sequence[Body] = (),
) -> Iterator[Ways]:
    """The whole text with some steps put before step `to`, and new ones around them."""
    left = [i for i in range(len(steps)) if i not in block]
    order: list[int | Body] = [i for i in left if i < to]
    order += [*ahead, *block, *behind, *(i for i in left if i >= to)]
    text = rearranged(ground.source, steps, order)
    if text is not None and order != list(range(len(steps))):
        yield (text,)


def seal_checked(ground: Ground, finding: Finding) -> Iterator[Ways]:
    """A step that checks the seal, right after the respirator goes on."""
    phrase = ground.phrase_at(finding.at.span)
    spots = ground.spots(finding.at.span)
    if not isinstance(phrase, Wear) or not spots:
        return
    for body in _checks(ground, phrase.item):
        text = with_step(ground.source, Spot(spots[0].steps, spots[0].index + 1), body)
        if text is not None:
            yield (text,)


def _checks(ground: Ground, name: str) -> Iterator[Body]:
    """As the set has it elsewhere, cautions included; else in our own words."""
    for protocol in (ground.protocol, *ground.others):
        for step in steps_of(protocol):
            phrase = step.phrases[0] if len(step.phrases) == 1 and not step.fork else None
            body = body_of(protocol.source, step) if isinstance(phrase, Check) else None
            if body and isinstance(phrase, Check) and _seals(ground, phrase.item):
                old, new = f"`{phrase.at.text}`", f"`check {name}`"
                yield replace(body, lines=tuple(line.replace(old, new) for line in body.lines))
                break
    if ground.english:
        yield Body((f"{SEAL} `check {name}`",))


def _seals(ground: Ground, name: str) -> bool:
    return ground.kit.items[name].kind is Kind.RESPIRATOR
