"""Ways to spoil the text of a protocol, by class. Each gives the whole text, once spoilt."""

from __future__ import annotations

import itertools
import re
from collections.abc import Callable, Iterator

STEP = re.compile(r"^(\s*)\d+\. ")
PHRASE = re.compile(r"`([^`]+)`")
Spoil = Callable[[list[str]], Iterator[list[str]]]


def _phrases(line: str) -> list[str]:
    return PHRASE.findall(line)


def _without(line: str, phrase: str) -> str:
    return line.replace(f" `{phrase}`", "", 1).replace(f"`{phrase}`", "", 1)


def _changed(lines: list[str], at: int, line: str) -> list[str]:
    return [*lines[:at], line, *lines[at + 1 :]]


def _doffing(lines: list[str]) -> int:
    return next((i for i, line in enumerate(lines) if "`doffing in" in line), len(lines))


def _verb(phrase: str, *verbs: str) -> bool:
    return phrase.split()[0] in verbs


def _each(lines: list[str], *verbs: str, start: int = 0) -> Iterator[tuple[int, str]]:
    for at, line in enumerate(lines):
        if at >= start and STEP.match(line):
            for phrase in _phrases(line):
                if _verb(phrase, *verbs):
                    yield at, phrase


def hygiene_dropped(lines: list[str]) -> Iterator[list[str]]:
    """Each hand hygiene in turn is forgotten."""
    for at, phrase in _each(lines, "handrub", "handwash"):
        yield _changed(lines, at, _without(lines[at], phrase))


def order_swapped(lines: list[str]) -> Iterator[list[str]]:
    """Each two removals that follow one another in one list change places."""
    removals = [at for at, _ in _each(lines, "remove", start=_doffing(lines))]
    for one, other in itertools.pairwise(removals):
        same_list = STEP.match(lines[one])[1] == STEP.match(lines[other])[1]
        between = lines[one + 1 : other]
        if same_list and all("`if " not in x and "`decide" not in x for x in between):
            swapped = list(lines)
            swapped[one], swapped[other] = lines[other], lines[one]
            yield swapped


def never_taken_off(lines: list[str]) -> Iterator[list[str]]:
    """Each removal in turn is forgotten, with where the item goes."""
    for at, phrase in _each(lines, "remove"):
        names = re.split(r" by | with ", phrase.removeprefix("remove "))[0].split(" and ")
        line = _without(lines[at], phrase)
        for ending in _phrases(line):
            if _verb(ending, "discard", "keep", "send") and any(n in ending for n in names):
                line = _without(line, ending)
        yield _changed(lines, at, line)


def taken_off_twice(lines: list[str]) -> Iterator[list[str]]:
    """Each removal in turn is written twice."""
    for at, _ in _each(lines, "remove"):
        yield [*lines[: at + 1], lines[at], *lines[at + 1 :]]


def never_put_on(lines: list[str]) -> Iterator[list[str]]:
    """Each item in turn is not put on."""
    for at, phrase in _each(lines, "wear"):
        yield _changed(lines, at, _without(lines[at], phrase))


def barrier_missing(lines: list[str]) -> Iterator[list[str]]:
    """Each item in turn is in neither half: all its phrases are gone."""
    worn = dict.fromkeys(_item(phrase) for _, phrase in _each(lines, "wear"))
    for item in worn:
        spoilt = list(lines)
        for at, line in enumerate(lines):
            for phrase in _phrases(line):
                if re.search(rf"\b{re.escape(item)}\b", phrase) and not _verb(
                    phrase, "decide", "if"
                ):
                    rest = re.sub(
                        rf"\b{re.escape(item)} and | and {re.escape(item)}\b", "", phrase
                    )
                    kept = f"`{rest}`" if rest != phrase else ""
                    spoilt[at] = spoilt[at].replace(f"`{phrase}`", kept)
        yield spoilt


def _item(phrase: str) -> str:
    return re.split(r" from | with ", phrase.removeprefix("wear "))[0]


def kept_undisinfected(lines: list[str]) -> Iterator[list[str]]:
    """Each disinfection in turn is forgotten."""
    for at, phrase in _each(lines, "disinfect"):
        yield _changed(lines, at, _without(lines[at], phrase))


def disinfected_after_keeping(lines: list[str]) -> Iterator[list[str]]:
    """Each item that is wiped is wiped when it already hangs."""
    for at, phrase in _each(lines, "disinfect"):
        item = phrase.removeprefix("disinfect ").split(" with ")[0]
        for later, keep in _each(lines, "keep", start=at):
            if keep.startswith(f"keep {item} "):
                spoilt = _changed(lines, at, _without(lines[at], phrase))
                spoilt[later] = spoilt[later].replace(f"`{keep}`", f"`{keep}` `{phrase}`")
                yield spoilt
                break


def wrong_store(lines: list[str]) -> Iterator[list[str]]:
    """Each kept item in turn is put into the waste bin to be kept."""
    for at, phrase in _each(lines, "keep"):
        item = re.split(r" on | in ", phrase.removeprefix("keep "))[0]
        yield _changed(lines, at, lines[at].replace(phrase, f"keep {item} in waste bin"))


def single_use_kept(lines: list[str]) -> Iterator[list[str]]:
    """Each item that is thrown away is kept in the bin instead."""
    for at, phrase in _each(lines, "discard"):
        item = phrase.removeprefix("discard ").split(" in ")[0]
        yield _changed(lines, at, lines[at].replace(phrase, f"keep {item} in waste bin"))


def answer_contradicted(lines: list[str]) -> Iterator[list[str]]:
    """Each question that is asked twice gets its answers exchanged the second time."""
    asked = [(at, phrase) for at, phrase in _each(lines, "decide")]
    for number, (at, question) in enumerate(asked):
        if question not in [q for _, q in asked[:number]]:
            continue
        below = [i for i in range(at + 1, len(lines)) if "`if " in lines[i]]
        end = asked[number + 1][0] if number + 1 < len(asked) else len(lines)
        branches = [i for i in below if i < end][:2]
        answers = [next(p for p in _phrases(lines[i]) if p.startswith("if ")) for i in branches]
        spoilt = list(lines)
        for i, old, new in zip(branches, answers, answers[::-1], strict=True):
            spoilt[i] = spoilt[i].replace(f"`{old}`", f"`{new}`")
        yield spoilt


def respirator_off_in_room(lines: list[str]) -> Iterator[list[str]]:
    """Nobody leaves before taking off: all comes off where the care was given."""
    room = next(
        (m[1] for line in lines if (m := re.search(r"`at work in ([^`]+)`", line))),
        next(
            (m[1] for line in lines if (m := re.search(r"`go to (room|[\w ]* room)`", line))),
            "",
        ),
    )
    removed = any("respirator" in phrase for _, phrase in _each(lines, "remove"))
    if room and removed:
        spoilt = [re.sub(r"`doffing in [^`]+`", f"`doffing in {room}`", line) for line in lines]
        start = _doffing(spoilt)
        yield [
            re.sub(r"`go to [^`]+`", "", line)
            if at > start or "`go to transition" in line
            else line
            for at, line in enumerate(spoilt)
        ]


def seal_check_dropped(lines: list[str]) -> Iterator[list[str]]:
    """Each check of a respirator is forgotten."""
    for at, phrase in _each(lines, "check"):
        if "respirator" in phrase:
            yield _changed(lines, at, _without(lines[at], phrase))


def soap_replaced_by_rub(lines: list[str]) -> Iterator[list[str]]:
    """Each handwash in turn becomes a handrub."""
    for at, phrase in _each(lines, "handwash"):
        rub = phrase.replace("handwash", "handrub")
        yield _changed(lines, at, lines[at].replace(f"`{phrase}`", f"`{rub}`", 1))


FAULTS: dict[str, Spoil] = {
    "hand hygiene dropped": hygiene_dropped,
    "order of two removals swapped": order_swapped,
    "item never taken off": never_taken_off,
    "item taken off twice": taken_off_twice,
    "item never put on": never_put_on,
    "item in neither half": barrier_missing,
    "disinfection dropped": kept_undisinfected,
    "disinfected after keeping": disinfected_after_keeping,
    "kept in the waste bin": wrong_store,
    "single-use item kept": single_use_kept,
    "answer contradicted": answer_contradicted,
    "all taken off in the room": respirator_off_in_room,
    "seal check dropped": seal_check_dropped,
    "soap replaced by rub": soap_replaced_by_rub,
}
"""Every class of fault, by the words of the table."""
