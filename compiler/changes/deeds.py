"""What is done differently in a step that both versions have: its phrases, one by one."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from compiler.changes.aligning import Pairs, in_place
from compiler.changes.change import Change
from compiler.changes.matching import paired
from compiler.changes.placed import VERBS, Placed, bare, doing, things, valued
from compiler.changes.telling import called, joined, lead_of, phrase_text
from compiler.model.kit import Kind, Kit
from compiler.model.protocol import (
    Check,
    Discard,
    Disinfect,
    Go,
    Grip,
    Hygiene,
    Keep,
    Observed,
    Phrase,
    Remove,
    Send,
    Takes,
    Touch,
    Wear,
)


@dataclass(frozen=True, slots=True)
class Grounds:
    """What has to be known to judge a change."""

    kits: tuple[Kit | None, Kit | None]
    """Of both versions."""
    spores: bool
    """Whether either version protects from spores, which only soap and water remove."""
    language: str = "en"
    """The language that the protocol is written in."""

    def sealed(self, item: str) -> bool:
        """Whether checking the item is a seal check, in either version."""
        known = [kit.items[item] for kit in self.kits if kit and item in kit.items]
        return any(one.kind is Kind.RESPIRATOR for one in known)


PROTECTIVE = {"hand hygiene", "seal check", "check", "disinfection", "observer"}
"""What protects by being done at all."""
NAMES: dict[type, str] = {
    Hygiene: "hand hygiene",
    Disinfect: "disinfection",
    Observed: "observer",
}

ENDS: dict[type, str] = {Discard: "discarded", Keep: "kept", Send: "sent"}


def sort_of(phrase: Phrase, grounds: Grounds) -> str:
    """What is added or dropped with a phrase, as the beginning of the name of a kind."""
    if isinstance(phrase, Check):
        return "seal check" if grounds.sealed(phrase.item) else "check"
    return NAMES.get(type(phrase), "action")


def changed_deeds(old: Placed, new: Placed, grounds: Grounds) -> Iterator[Change]:
    """Every difference between the phrases of the two, planning time included."""
    olds, news = doing(old.step), doing(new.step)
    pairs = _paired(olds, news)
    step = _Step(old, new, grounds)
    for here, there in sorted(pairs.items(), key=lambda pair: pair[1]):
        yield from step.changed(olds[here], news[there])
    yield from (step.dropped(p) for at, p in enumerate(olds) if at not in pairs)
    yield from (step.added(p) for at, p in enumerate(news) if at not in pairs.values())
    if len(in_place(pairs.items())) < len(pairs):
        was, now = (", ".join(map(phrase_text, phrases)) for phrases in (olds, news))
        yield step.told(
            "actions reordered",
            f"{called(new.step)} does the same in another order: {now}.",
            was,
            now,
        )
    was, now = _time(old), _time(new)
    if was != now:
        words = f"is now planned to take {now} s" if now else "has the usual time again"
        sentence = f"{called(new.step)} {words}{_before(was, ' s')}."
        yield step.told("time changed", sentence, was, now)


def _time(placed: Placed) -> str:
    times = [phrase.seconds for phrase in placed.step.phrases if isinstance(phrase, Takes)]
    return str(sum(times)) if times else ""


def _before(was: str, unit: str = "") -> str:
    return f"; before: {was}{unit}" if was else ""


def _paired(olds: tuple[Phrase, ...], news: tuple[Phrase, ...]) -> Pairs:
    """Phrases that are the same; then of the same verb and thing; then of the same verb."""

    def about(phrase: Phrase) -> object:
        return VERBS[type(phrase)], things(phrase)[:1]

    def verb(phrase: Phrase) -> object:
        return VERBS[type(phrase)]

    return paired(olds, news, (bare, about, verb))


@dataclass(frozen=True, slots=True)
class _Step:
    """Tells changes of the phrases of one step."""

    old: Placed
    new: Placed
    grounds: Grounds

    def told(
        self, kind: str, sentence: str, was: str, now: str, *, look_first: bool = False
    ) -> Change:
        """A change of this step."""
        return Change(
            kind=kind,
            sentence=sentence,
            subject=lead_of(self.new.step),
            place=self.new.words,
            old=self.old.step.at,
            new=self.new.step.at,
            was=was,
            is_now=now,
            look_first=look_first,
        )

    def dropped(self, phrase: Phrase) -> Change:
        """A phrase that the step no longer has."""
        sort = sort_of(phrase, self.grounds)
        words = phrase_text(phrase)
        return self.told(
            f"{sort} dropped",
            f"{called(self.new.step)} no longer has “{words}”; the step itself is still there.",
            words,
            "",
            look_first=sort in PROTECTIVE or isinstance(phrase, Wear),
        )

    def added(self, phrase: Phrase) -> Change:
        """A phrase that the step did not have."""
        words = phrase_text(phrase)
        kind = f"{sort_of(phrase, self.grounds)} added"
        sentence = f"{called(self.new.step)} now has “{words}” too."
        return self.told(kind, sentence, "", words)

    def changed(self, old: Phrase, new: Phrase) -> Iterator[Change]:
        """What is different between two phrases about the same."""
        if bare(old) == bare(new):
            return
        was, now = phrase_text(old), phrase_text(new)
        if isinstance(old, Hygiene) and isinstance(new, Hygiene):
            yield self.told(
                "hand hygiene changed",
                f"{called(self.new.step)} is now {_cleaning(new)}; before: {_cleaning(old)}.",
                was,
                now,
                look_first=old.wash and not new.wash and self.grounds.spores,
            )
            return
        if things(old) != things(new):
            yield self.of_another(old, new)
        yield from self.ended(old, new)
        yield from self.held(old, new)
        yield from self.helped(old, new)

    def of_another(self, old: Phrase, new: Phrase) -> Change:
        """Something else is meant than before."""
        was, now = joined(things(old)), joined(things(new))
        if isinstance(new, Go):
            kind, sentence = "area changed", f"now leads to the {now}; before: to the {was}"
        elif isinstance(new, Touch):
            kind, sentence = "place changed", f"now handles the {now}; before: the {was}"
        else:
            kind, sentence = "item changed", f"is now about the {now}; before: the {was}"
        fewer = isinstance(new, Wear | Disinfect | Check) and now != was
        sentence = f"{called(self.new.step)} {sentence}."
        return self.told(kind, sentence, phrase_text(old), phrase_text(new), look_first=fewer)

    def ended(self, old: Phrase, new: Phrase) -> Iterator[Change]:
        """Kept, sent or discarded; and where."""
        if not isinstance(new, Discard | Keep | Send):
            return
        assert isinstance(old, Discard | Keep | Send)
        was, now = phrase_text(old), phrase_text(new)
        if type(old) is not type(new):
            instead = f"{ENDS[type(new)]} instead of {ENDS[type(old)]}"
            yield self.told(
                f"now {instead}",
                f"The {new.item} is now {instead}.",
                was,
                now,
                look_first=isinstance(new, Keep),
            )
        elif old.place != new.place:
            here, there = new.place or "no place named", old.place or "no place named"
            yield self.told(
                "place changed",
                f"The {new.item} now goes to another place: {here}; before: {there}.",
                was,
                now,
            )

    def held(self, old: Phrase, new: Phrase) -> Iterator[Change]:
        """How an item is gripped, where it comes from, what it is wiped with."""
        was, now = phrase_text(old), phrase_text(new)
        called_step = called(self.new.step)
        if isinstance(old, Remove) and isinstance(new, Remove) and old.grip is not new.grip:
            yield self.told(
                "grip changed",
                f"{called_step} now grips {_by(new.grip)}; before: {_by(old.grip)}.",
                was,
                now,
                look_first=new.grip is Grip.OUTSIDE,
            )
        if isinstance(old, Wear) and isinstance(new, Wear) and old.source != new.source:
            here, there = new.source or "no place named", old.source or "no place named"
            yield self.told(
                "place changed",
                f"The {new.item} now comes from another place: {here}; before: {there}.",
                was,
                now,
            )
        if (
            isinstance(old, Disinfect)
            and isinstance(new, Disinfect)
            and (old.agent != new.agent)
        ):
            here, there = new.agent or "none named", old.agent or "none named"
            yield self.told(
                "agent changed",
                f"The {new.target} is now wiped with another agent: {here}; before: {there}.",
                was,
                now,
                look_first=self.grounds.spores or not new.agent,
            )

    def helped(self, old: Phrase, new: Phrase) -> Iterator[Change]:
        """An assistant who came or went."""
        if not isinstance(old, Wear | Remove) or not isinstance(new, Wear | Remove):
            return
        if old.assistant != new.assistant:
            words = "is now done with" if new.assistant else "is no longer done with"
            yield self.told(
                "assistant added" if new.assistant else "assistant dropped",
                f"{called(self.new.step)} {words} an assistant.",
                phrase_text(old),
                phrase_text(new),
                look_first=not new.assistant,
            )


def _by(grip: Grip) -> str:
    return f"by the {valued(grip)}" if grip is not Grip.USUAL else "as is usual"


def _cleaning(hygiene: Hygiene) -> str:
    how = "soap and water" if hygiene.wash else "handrub"
    return f"{how} on gloves" if hygiene.on_gloves else f"{how} on bare hands"
