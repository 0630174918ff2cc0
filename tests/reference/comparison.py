"""Sets what the product found beside what the reference found.

Rules that strike at the end of a part, or point back at where an item was put on or taken off,
have several places for one fault when several ways lead to it. The product carries equal states on
as one, with the way that was found first, and so names one of these places; the reference names
all, with a subject. For these the subjects must agree, and the place must be one of them.
"""

from __future__ import annotations

import re
from collections import Counter
from collections.abc import Iterable, Iterator
from dataclasses import dataclass, field
from functools import partial

from compiler.catalogue import check
from compiler.findings import Finding, GivenAnswer
from tests.reference.drafts import Draft, Written, protocol_text, written
from tests.reference.enumeration import (
    TooManyWaysError,
    Walk,
    Way,
    check_by_enumeration,
    every_walk,
)
from tests.reference.scene import Strike
from tests.reference.smallest import smallest
from tests.reference.strikes import reusable_never_kept
from tests.reference.table import rule_slugs


@dataclass
class Outcome:
    """What came of comparing many sets."""

    sets: int = 0
    too_large: int = 0
    """Sets with more ways than the reference can list."""
    told: Counter[str] = field(default_factory=Counter)
    """By rule, in how many sets the reference finds it."""
    kinds: Counter[str] = field(default_factory=Counter)
    """By kind of disagreement, in how many sets it is."""
    shortest: dict[str, Draft] = field(default_factory=dict)
    """The shortest set of each kind."""

    def report(self) -> str:
        """Each kind of disagreement, with a set as small as can be that shows it."""
        shown: dict[str, list[str]] = {}
        for kind, draft in sorted(self.shortest.items()):
            shows = partial(_shows, kind)
            least = next((text for text, kinds in shown.items() if kind in kinds), None)
            if least is None:
                small = smallest(draft, shows)
                least = repr(written(small))
                shown[least] = [_kind(words) for words in disagreements(written(small))]
                shown[least].append("\n".join(disagreements(written(small))))
        counts = [f"{count} times {kind}" for kind, count in self.kinds.most_common()]
        return "\n\n".join(
            ["\n".join(counts), *(f"{words[-1]}\n{text}" for text, words in shown.items())]
        )


def compared(drafts: Iterable[Draft]) -> Outcome:
    """Sets product and reference side by side on many sets."""
    outcome = Outcome()
    for draft in drafts:
        outcome.sets += 1
        the_set = written(draft)
        try:
            strikes = check_by_enumeration(the_set.protocol, the_set.clinic, the_set.kit)
        except TooManyWaysError:
            outcome.too_large += 1
            continue
        outcome.told.update({slug for slug, _, _ in strikes})
        for kind in {_kind(words) for words in differences(the_set, strikes)}:
            outcome.kinds[kind] += 1
            known = outcome.shortest.get(kind, draft)
            outcome.shortest[kind] = min(known, draft, key=lambda d: len(protocol_text(d)))
    return outcome


def disagreements(the_set: Written) -> list[str]:
    """What only one of them found, or found in another round; nothing when they agree."""
    return differences(
        the_set, check_by_enumeration(the_set.protocol, the_set.clinic, the_set.kit)
    )


def _kind(words: str) -> str:
    return words.split(" at ")[0]


def _shows(kind: str, draft: Draft) -> bool:
    return kind in {_kind(words) for words in disagreements(written(draft))}


def differences(the_set: Written, strikes: dict[Strike, int]) -> list[str]:
    """The two sets of rule and place, and the rounds, in words."""
    told: dict[tuple[str, tuple[str, int, int]], int] = {}
    for finding in findings_of(the_set):
        key = finding.rule.slug, finding.at.span.order
        told[key] = min(finding.round, told.get(key, finding.round))
    expected: dict[tuple[str, object], int] = {}
    places: dict[tuple[str, object], list] = {}
    for (slug, place, subject), number in strikes.items():
        fault = slug, subject or place
        expected[fault] = min(number, expected.get(fault, number))
        places.setdefault(fault, []).append(place)
    wrong = []
    for fault, number in expected.items():
        slug, somewhere = fault[0], f"at {_words(places[fault], the_set)}"
        rounds = [told[slug, place] for place in places[fault] if (slug, place) in told]
        if not rounds:
            wrong.append(f"only the reference: {slug} {somewhere}")
        elif min(rounds) != number:
            wrong.append(
                f"another round: {slug} {somewhere}: the product {min(rounds)}, the reference {number}"
            )
    known = {(slug, place) for slug, place, _ in strikes}
    for slug, place in told.keys() - known:
        wrong.append(f"only the product: {slug} at {_words([place], the_set)}")
    return sorted(wrong)


def findings_of(the_set: Written) -> list[Finding]:
    """What the product finds, by the rules that the page describes."""
    known = rule_slugs()
    found = check(the_set.protocol, the_set.clinic, the_set.kit)
    return [finding for finding in found if finding.rule.slug in known]


def _words(places: list[tuple[str, int, int]], the_set: Written) -> str:
    source = the_set.protocol.source
    return " or ".join(
        f"line {source.place(start)[0]} {source.text[start:end]!r}"
        for _, start, end in sorted(places)
    )


def unfounded(the_set: Written) -> list[str]:
    """Findings that their own answers do not lead to: walked again with just these, unmet.

    Those that the reference does not find at all are disagreements, and told as such.
    """
    protocol, clinic, kit = the_set.protocol, the_set.clinic, the_set.kit
    known = {strike[:2] for strike in check_by_enumeration(protocol, clinic, kit)}
    met: dict[object, set[Strike]] = {}
    wrong = []
    for finding in findings_of(the_set):
        given = finding.answers, finding.round
        if given not in met:
            met[given] = replayed(the_set, *given)
        fault = finding.rule.slug, finding.at.span.order
        if fault in known and fault not in {strike[:2] for strike in met[given]}:
            said = ", ".join(f"{each.question}: {each.answer}" for each in finding.answers)
            wrong.append(f"{finding.message} Round {finding.round}, {said or 'any answers'}")
    return wrong


def uncertain(the_set: Written) -> list[str]:
    """Findings that are not met on every way with their own answers: one that matters is left out.

    Those that several ways tell at several places are not looked at.
    """
    protocol, clinic, kit = the_set.protocol, the_set.clinic, the_set.kit
    known = {strike[:2] for strike in check_by_enumeration(protocol, clinic, kit)}
    wrong = []
    for finding in findings_of(the_set):
        fault = finding.rule.slug, finding.at.span.order
        met = [walk.strikes for walk in replays(the_set, finding.answers, finding.round)]
        placed = any(
            strike[:2] == fault and not strike[2] for strikes in met for strike in strikes
        )
        if placed and fault in known:
            missed = sum(fault not in {strike[:2] for strike in strikes} for strikes in met)
            if missed:
                said = ", ".join(f"{each.question}: {each.answer}" for each in finding.answers)
                wrong.append(f"{finding.message} {said or 'any'}: not on {missed} ways")
    return wrong


def replayed(the_set: Written, answers: tuple[GivenAnswer, ...], number: int) -> set[Strike]:
    """What strikes in a round, with these answers fixed in it and in those before it."""
    strikes = set(reusable_never_kept(the_set.protocol, the_set.kit))
    for walk in replays(the_set, answers, number):
        strikes |= walk.strikes
    return strikes


def replays(the_set: Written, answers: tuple[GivenAnswer, ...], number: int) -> Iterator[Walk]:
    """Every walk of a round with these answers fixed in it and in those before it."""
    fixed: dict[int, dict[str, str]] = {}
    for given in answers:
        question, before = question_and_rounds_before(given.question)
        fixed.setdefault(number - before, {})[question] = given.answer

    def allowed(at: int, way: Way) -> bool:
        asked = fixed.get(at, {}).items()
        return at <= number and all(way.answers.get(q) == answer for q, answer in asked)

    protocol, clinic, kit = the_set.protocol, the_set.clinic, the_set.kit
    for walk in every_walk(protocol, clinic, kit, allowed=allowed):
        if walk.round == number:
            yield walk


def question_and_rounds_before(words: str) -> tuple[str, int]:
    """A question as a finding gives it: "state", "state (the round before)" and so on."""
    found = re.fullmatch(r"(.+) \((the|[0-9]+) rounds? before\)", words)
    if not found:
        return words, 0
    return found[1], 1 if found[2] == "the" else int(found[2])
