"""Which branches end with a kept item clean, told by the answers that matter."""

from __future__ import annotations

from collections.abc import Collection, Iterator
from dataclasses import dataclass

from compiler.analysis.earlier import leading
from compiler.analysis.fates import End, Ends, Fate, fates, rows
from compiler.analysis.hits import TooManyStatesError
from compiler.analysis.parts import TooLargeError
from compiler.analysis.state import Contamination, Where
from compiler.analysis.world import World
from compiler.following.sentences import LEVEL_WORDS, keeping_place
from compiler.model.kit import AfterUse
from compiler.model.protocol import Keep, every_step
from compiler.report.folding import folded
from compiler.report.picture_text import Sign, signed
from compiler.report.style import Style
from compiler.report.text import WIDTH
from compiler.wording.cells import cells

MOST_ROWS = 24
"""More combinations of answers than this are counted, not listed."""
GONE = {
    Where.READY: "not used",
    Where.WORN: "still worn",
    Where.HAND: "still in the hand",
    Where.DISCARDED: "thrown away",
    Where.SENT: "sent for reprocessing",
}


def kept_items(world: World) -> list[int]:
    """Items that the kit keeps, or that some step keeps."""
    kept = {
        phrase.item
        for part in world.protocol.parts
        for step in every_step(part.steps)
        for phrase in step.phrases
        if isinstance(phrase, Keep)
    }
    return [
        index
        for index, item in enumerate(world.items)
        if item.after_use is AfterUse.KEEP or item.name in kept
    ]


def kept_told(world: World, style: Style, width: int = WIDTH) -> str:
    """Each kept item, with how it ends a round by the answers that matter."""
    items = kept_items(world)
    if not items:
        return "Nothing is kept: no step keeps an item, and the kit keeps none that is used."
    found, always, notes = _found(world, items)
    told = [list(_told(world, fate, always)) for fate in found]
    longest = max((cells(row.words) for rows_of in told for row in rows_of), default=0)
    column = min(longest, width // 2 - 4)
    blocks = [
        "\n".join(_block(world, fate.item, rows_of, column, style, width))
        for fate, rows_of in zip(found, told, strict=True)
    ]
    return "\n\n".join([*notes, *blocks])


def _found(world: World, items: list[int]) -> tuple[list[Fate], str, list[str]]:
    """The fates, what to say of a row that holds for every answer, and what is left open."""
    try:
        return fates(world, items), "whatever is answered", []
    except (TooManyStatesError, TooLargeError):
        pass
    try:
        note = "Too much hangs together here to tell which answers lead to which end."
        return fates(world, items, by_answers=False), "over all answers", [note]
    except (TooManyStatesError, TooLargeError):
        note = "More different situations meet in this protocol than can be followed."
        return [], "", [note]


@dataclass(frozen=True, slots=True)
class _Told:
    """One row."""

    words: str
    """The answers of the round."""
    ends: Ends
    before: dict[End, str]
    """The answers of earlier rounds that lead to ends not possible in the first."""


def _told(world: World, fate: Fate, always: str) -> Iterator[_Told]:
    for shown, (conditions, ends) in enumerate(rows(fate)):
        now = {question: answers[0] for question, answers in conditions}
        before: dict[End, str] = {}
        for end, number in ends.items() if shown < MOST_ROWS else ():
            if number > 1:
                before[end] = _before(leading(world, fate.item, now, end, number))
        yield _Told(_conditions(conditions) or always, ends, before)


def _block(
    world: World,
    index: int,
    told: list[_Told],
    column: int,
    style: Style,
    width: int,
) -> Iterator[str]:
    item = world.items[index]
    rest = ", rests before it is worn again" if item.rest else ""
    yield f"{style.paint('slug', item.name)}{rest}"
    for row in told[:MOST_ROWS]:
        yield from _row(world, row, column, item.rest > 0, style, width)
    if len(told) > MOST_ROWS:
        yield f"  and {len(told) - MOST_ROWS} more combinations of answers"


def _row(
    world: World,
    row: _Told,
    column: int,
    rests: bool,
    style: Style,
    width: int,
) -> Iterator[str]:
    worst = max((end.outside for end in row.ends if end.where is Where.KEPT), default=None)
    sign = signed(Sign(worst), style).strip() if worst is not None else " "
    left = folded(row.words, column)
    right = folded(_ends_told(world, row, rests), width - column - 6)
    for at in range(max(len(left), len(right))):
        condition = left[at] if at < len(left) else ""
        space = " " * max(column - cells(condition), 0)
        said = right[at] if at < len(right) else ""
        yield f"  {condition}{space}  {sign if at == 0 else ' '} {said}".rstrip()


def _conditions(conditions: tuple[tuple[str, tuple[str, ...]], ...]) -> str:
    said = (f"{question}: {' or '.join(answers)}" for question, answers in conditions)
    return "; ".join(said)


def _ends_told(world: World, row: _Told, rests: bool) -> str:
    ends = row.ends
    first = [end for end, number in ends.items() if number == 1]
    later = sorted((number, end) for end, number in ends.items() if number > 1)
    known: set[int] = set()
    said = ""
    for end in sorted(first):
        said += (" or " if said else "") + _end_told(world, end, known)
        known.add(end.place)
    worst = max((e.outside for e in ends if e.where is Where.KEPT), default=Contamination.CLEAN)
    if later:
        more = " or ".join(
            _end_told(world, end, known) + row.before.get(end, "") for _, end in later
        )
        said += f" in round 1; from round {later[0][0]} on it can also be {more}"
    else:
        said += ", in every round"
    if rests and worst is Contamination.CONTAMINATED:
        said += "; rested, it comes back as touched (may be contaminated)"
    return said


def _before(answers: dict[str, str] | None) -> str:
    """The answers of the rounds before, where they could be found."""
    if answers is None:
        return ""
    said = "; ".join(f"{question}: {answer}" for question, answer in answers.items())
    return f", after {said} in the rounds before" if said else ", whatever was answered before"


def _end_told(world: World, end: End, known: Collection[int] = ()) -> str:
    """Where it is and how clean; a place that was just named is not named again."""
    if end.where is not Where.KEPT:
        return GONE[end.where]
    if end.place in known:
        return LEVEL_WORDS[end.outside]
    kept = f"kept {keeping_place(world, end.place)}".strip()
    return f"{kept}, {LEVEL_WORDS[end.outside]}"
