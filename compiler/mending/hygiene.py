"""Hand hygiene that is missing, of the wrong sort, or does not reach the hand."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator

from compiler.findings import Finding
from compiler.mending.ground import Ground, Ways, lone_hygiene, mentions, replaced, steps_of
from compiler.mending.lists import Body, Spot, body_of, part_at, with_step
from compiler.model.protocol import Hygiene, Keep, Protocol, Remove, Step
from compiler.source import Span

RUBBING = r"\d+|rub\w*|handrub|alcohol\w*|gel|dry"
"""Words that speak of handrub, or of how long it takes."""
HANDS, GLOVES = r"hands?|handrub|palms?|fingers?", r"gloves?|gloved"


def before(ground: Ground, finding: Finding) -> Iterator[Ways]:
    """Hand hygiene ahead of the step at fault, or of what stands around it."""
    yield from _added(ground, _ahead(ground, finding.at.span))


def between(ground: Ground, finding: Finding) -> Iterator[Ways]:
    """Hand hygiene after what came off last, or ahead of what follows."""
    spots = [s for mark in finding.path[-1:] for s in _behind(ground, mark.span)[:1]]
    yield from _added(ground, [*spots, *_ahead(ground, finding.at.span)])


def at_the_end(ground: Ground, finding: Finding) -> Iterator[Ways]:
    """Hand hygiene after what came off last, or as the last step."""
    removal = [s for mark in finding.path[-1:] for s in _behind(ground, mark.span)]
    last = _behind(ground, finding.at.span)
    yield from _added(ground, [*removal, *last[::-1]])


def before_removal(ground: Ground, finding: Finding) -> Iterator[Ways]:
    """Hand hygiene ahead of the step in which the item that is kept comes off."""
    spots = _ahead(ground, finding.at.span)
    phrase = ground.phrase_at(finding.at.span)
    if spots and isinstance(phrase, Keep):
        steps, index = spots[0].steps, spots[0].index
        while index > 0 and not _takes_off(steps[index], phrase.item):
            index -= 1
        if _takes_off(steps[index], phrase.item):
            spots.append(Spot(steps, index))
    yield from _added(ground, spots)


def washed(ground: Ground, finding: Finding) -> Iterator[Ways]:
    """Soap and water instead of handrub."""
    yield from _changed(ground, finding, RUBBING, wash=True)


def reached(ground: Ground, finding: Finding) -> Iterator[Ways]:
    """On gloves where gloves are worn, on hands where none are."""
    phrase = ground.phrase_at(finding.at.span)
    if isinstance(phrase, Hygiene):
        now = not phrase.on_gloves
        yield from _changed(ground, finding, HANDS if now else GLOVES, on_gloves=now)


def _takes_off(step: Step, item: str) -> bool:
    return any(isinstance(p, Remove) and item in p.items for p in step.phrases)


def _ahead(ground: Ground, span: Span) -> list[Spot]:
    """The spots before a place; before a heading it is the end of the part above."""
    spots = ground.spots(span)
    parts = ground.protocol.parts
    here = part_at(ground.protocol, span)
    if not spots and here and parts.index(here):
        above = parts[parts.index(here) - 1].steps
        return [Spot(above, len(above))] if above else []
    return spots


def _behind(ground: Ground, span: Span) -> list[Spot]:
    """The spots after the step at a place and after the steps around it."""
    return [Spot(spot.steps, spot.index + 1) for spot in ground.spots(span)]


def _added(ground: Ground, spots: list[Spot]) -> Iterator[Ways]:
    """One more step, at each spot, of each sort that the protocol may use."""
    for spot in dict.fromkeys(spots):
        for body in new_steps(ground):
            text = with_step(ground.source, spot, body)
            if text is not None:
                yield (text,)


def new_steps(ground: Ground) -> Iterator[Body]:
    """A hand hygiene step of each sort that the protocol may use."""
    for wash, on_gloves in _sorts(ground):
        yield from _steps(ground, wash, on_gloves)


def _sorts(ground: Ground) -> Iterator[tuple[bool, bool]]:
    """Handwash or handrub, on hands or on gloves; checking tells which of them is right."""
    used = {phrase.wash for step in ground.steps() if (phrase := lone_hygiene(step))}
    wash = ground.protocol.spores or used == {True}
    yield wash, False
    if ground.clinic.hygiene_on_gloves:
        yield wash, True


def _steps(ground: Ground, wash: bool, on_gloves: bool) -> Iterator[Body]:
    """The commonest step of this sort in the protocol, so that its translations are there.

    Where it has none, one from another protocol of the set, and one in our own words.
    """
    own = _commonest(ground.protocol, wash, on_gloves)
    if own:
        yield own
        return
    for other in ground.others:
        if body := _commonest(other, wash, on_gloves):
            yield body
            break
    if ground.english:
        yield Body((_words(ground, wash, on_gloves),))


def _commonest(protocol: Protocol, wash: bool, on_gloves: bool) -> Body | None:
    known: Counter[Body] = Counter()
    for step in steps_of(protocol):
        phrase = lone_hygiene(step)
        if phrase and (phrase.wash, phrase.on_gloves) == (wash, on_gloves):
            body = body_of(protocol.source, step)
            if body and len(body.lines) == 1:
                known[body] += 1
    return known.most_common(1)[0][0] if known else None


def _words(ground: Ground, wash: bool, on_gloves: bool) -> str:
    """A new step, in the clinic's own times."""
    least, most = ground.clinic.wash_seconds if wash else ground.clinic.rub_seconds
    time = f"{least} to {most} seconds" if least != most else f"{least} seconds"
    what = "gloves" if on_gloves else "hands"
    where = " on gloves" if on_gloves else ""
    if wash:
        return f"**Wash your {what}.** Use soap and water, {time}. `handwash{where}`"
    return f"**Clean your {what}.** Rub until dry, {time}. `handrub{where}`"


def _changed(
    ground: Ground,
    finding: Finding,
    at_odds: str,
    *,
    wash: bool | None = None,
    on_gloves: bool | None = None,
) -> Iterator[Ways]:
    """The phrase alone where the printed words fit both sorts, else the whole step."""
    phrase, step = ground.phrase_at(finding.at.span), ground.step_at(finding)
    if not isinstance(phrase, Hygiene) or not step:
        return
    wash = phrase.wash if wash is None else wash
    on_gloves = phrase.on_gloves if on_gloves is None else on_gloves
    written = f"{'handwash' if wash else 'handrub'}{' on gloves' if on_gloves else ''}"
    if ground.english and not mentions(step, at_odds):
        yield (replaced(ground.source, (phrase.at, written)),)
    old = body_of(ground.source, step)
    if lone_hygiene(step) and old and len(old.lines) == 1:
        start = ground.source.text.index(old.first, ground.source.offset(step.at.line))
        whole = ground.source.span(start, start + len(old.first))
        for new in _steps(ground, wash, on_gloves):
            yield (replaced(ground.source, (whole, new.first)),)
