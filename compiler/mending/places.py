"""Where an item goes, stays and is fetched: places named, or named right, in a phrase.

What is printed of a step must not say otherwise than its phrase, so a phrase is changed only
where the words beside it say nothing of the matter or can be changed with it.
"""

from __future__ import annotations

import re
from collections.abc import Iterator

from compiler.findings import Finding
from compiler.mending.ground import Ground, Ways, mentions, prose, replaced
from compiler.model.clinic import Purpose
from compiler.model.kit import AfterUse, Item
from compiler.model.protocol import Discard, Disinfect, Keep, Phrase, Remove, Send, Step, Wear
from compiler.source import Span
from compiler.syntax.spelling import alike

ENDS = {
    AfterUse.DISCARD: Purpose.WASTE,
    AfterUse.KEEP: Purpose.KEEPING,
    AfterUse.SEND: Purpose.SENDING,
}
OTHERWISE = {
    AfterUse.DISCARD: r"keep|kept|hang|hung|stor\w+|re-?us\w+|again|next|rest|hook|shelf|rack"
    r"|peg|laundry|wash\w*|send|sent|launder\w*",
    AfterUse.KEEP: r"throw\w*|thrown|discard\w*|bin|waste|rubbish|laundry|send|sent",
    AfterUse.SEND: r"throw\w*|thrown|discard\w*|bin|waste|rubbish|keep|kept|hang|hung|hook",
}
"""Words in a step that speak of another end than the one to be written into it."""


def ended(ground: Ground, finding: Finding) -> Iterator[Ways]:
    """What came off goes where the kit says, right after it came off."""
    removal, step = ground.phrase_at(finding.at.span), ground.step_at(finding)
    if not isinstance(removal, Remove) or not step:
        return
    after = _behind_code(removal.at)
    for name in removal.items:
        row = ground.kit.items.get(name)
        if row and f"The {name} " in finding.message and _fits(ground, step, row.after_use):
            for phrases in _endings(ground, row, step):
                yield tuple(replaced(ground.source, (after, f" `{p}`")) for p in phrases)


def not_kept(ground: Ground, finding: Finding) -> Iterator[Ways]:
    """What the kit does not keep is discarded or sent."""
    phrase, step = ground.phrase_at(finding.at.span), ground.step_at(finding)
    if not isinstance(phrase, Keep) or not step:
        return
    row = ground.kit.items[phrase.item]
    if _fits(ground, step, row.after_use) and not _named_in(step, phrase.place):
        for phrases in _endings(ground, row, step):
            yield tuple(replaced(ground.source, (phrase.at, words)) for words in phrases)


def _fits(ground: Ground, step: Step, end: AfterUse) -> bool:
    """Whether the printed words of a step leave this end open; read in English only."""
    return ground.english and not mentions(step, OTHERWISE[end])


def _endings(ground: Ground, row: Item, step: Step) -> Iterator[tuple[str, ...]]:
    """Phrases for the end of an item, the surest first; of those in one row one may fit."""
    places = [p.name for p in ground.clinic.places.values() if p.purpose is ENDS[row.after_use]]
    if row.after_use is AfterUse.KEEP:
        if row.keep_at:
            yield (_kept(ground, row, row.keep_at),)
        elif places:
            yield tuple(_kept(ground, row, place) for place in places)
        return
    verb = row.after_use.value
    said = [place for place in places if alike(place) in prose(step)]
    yield tuple(f"{verb} {row.name} in {place}" for place in said or places)
    if not said:
        yield (f"{verb} {row.name}",)


def _kept(ground: Ground, row: Item, place: str) -> str:
    """Kept *on* or *in* a place, whichever is written elsewhere."""
    texts = f"{ground.source.text}\n{row.at.source.text}"
    on = re.search(rf"\bon:? {re.escape(place)}\b", texts, re.IGNORECASE)
    return f"keep {row.name} {'on' if on else 'in'} {place}"


def from_said(ground: Ground, finding: Finding) -> Iterator[Ways]:
    """A kept item is fetched from where it was kept."""
    phrase, step = ground.phrase_at(finding.at.span), ground.step_at(finding)
    kept = {p.place for m in finding.path if isinstance(p := ground.phrase_at(m.span), Keep)}
    if not isinstance(phrase, Wear) or not step or len(kept) != 1:
        return
    place = kept.pop()
    if phrase.source:
        yield from _elsewhere(ground, step, phrase, phrase.source, place)
        return
    if any(alike(p) in prose(step) and p != place for p in ground.clinic.places):
        return
    written = re.match(r"(?is)(.*?)(\s+with\s+assistant)?$", phrase.at.text)
    assert written
    words = f"{written[1]} from {place}{written[2] or ''}"
    yield (replaced(ground.source, (phrase.at, words)),)


def right_purpose(ground: Ground, finding: Finding) -> Iterator[Ways]:
    """The one place that is for this."""
    phrase, step = ground.phrase_at(finding.at.span), ground.step_at(finding)
    if not step or not isinstance(phrase, Wear | Keep | Discard | Send):
        return
    purpose = {Discard: Purpose.WASTE, Send: Purpose.SENDING}.get(type(phrase), Purpose.KEEPING)
    old = phrase.source if isinstance(phrase, Wear) else phrase.place
    new = [p.name for p in ground.clinic.places.values() if p.purpose is purpose]
    yield tuple(
        text for place in new for (text,) in _elsewhere(ground, step, phrase, old, place)
    )


def as_the_kit_says(ground: Ground, finding: Finding) -> Iterator[Ways]:
    """The kit's own place or agent; a place where the item is fetched too."""
    phrase, step = ground.phrase_at(finding.at.span), ground.step_at(finding)
    if not step or not isinstance(phrase, Keep | Disinfect):
        return
    name = phrase.item if isinstance(phrase, Keep) else phrase.target
    row = ground.kit.items[name]
    if isinstance(phrase, Disinfect):
        yield from _elsewhere(ground, step, phrase, phrase.agent, row.disinfect_with)
        return
    yield from _elsewhere(ground, step, phrase, phrase.place, row.keep_at)
    changes = list(_renamed(step, phrase, phrase.place, row.keep_at))
    for other in ground.steps():
        for fetched in other.phrases:
            if isinstance(fetched, Wear) and (fetched.item, fetched.source) == (
                name,
                phrase.place,
            ):
                changes += _renamed(other, fetched, phrase.place, row.keep_at)
    if changes:
        yield (replaced(ground.source, *changes),)


def _elsewhere(
    ground: Ground, step: Step, phrase: Phrase, old: str, new: str
) -> Iterator[Ways]:
    changes = list(_renamed(step, phrase, old, new))
    if changes:
        yield (replaced(ground.source, *changes),)


def _renamed(step: Step, phrase: Phrase, old: str, new: str) -> Iterator[tuple[Span, str]]:
    """The name in the phrase; nothing when the printed words go on speaking of the old one."""
    lost = set(alike(old).split()) - set(alike(new).split())
    if any(mentions(step, re.escape(word)) for word in lost):
        return
    pattern = r"\s+".join(map(re.escape, old.split()))
    found = [*re.finditer(rf"(?i)(?<!\S){pattern}(?!\S)", phrase.at.text)]
    if found:
        start = phrase.at.start + found[-1].start()
        yield phrase.at.source.span(start, phrase.at.start + found[-1].end()), new


def _named_in(step: Step, place: str) -> bool:
    return any(mentions(step, re.escape(word)) for word in alike(place).split())


def _behind_code(at: Span) -> Span:
    """The empty place after the backticks that end a phrase."""
    closing = re.compile(r"\s*`+").match(at.source.text, at.end)
    end = closing.end() if closing else at.end
    return at.source.span(end, end)
