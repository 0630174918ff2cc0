"""Ten kinds of edits to a protocol set, each with what must be told of it.

What must be told is judged here from the words of the text alone.
"""

from __future__ import annotations

import random
import re
from collections.abc import Callable, Iterator
from dataclasses import dataclass

from tests.changes.blocks import Block, blocks, siblings

Files = dict[str, str]


@dataclass(frozen=True)
class Edit:
    """A set before and after, and the one change between them."""

    before: Files
    after: Files
    kind: str
    subject: str
    old_line: int
    """0 where it is only in the new version."""
    new_line: int


def _name(files: Files) -> str:
    return next(name for name in files if name.endswith(".md"))


def _lines(files: Files) -> list[str]:
    return files[_name(files)].split("\n")


def _with(files: Files, lines: list[str]) -> Files:
    return {**files, _name(files): "\n".join(lines)}


def _spliced(
    files: Files,
    at: int,
    end: int,
    new: list[str],
    kind: str,
    subject: str,
    old: int,
    there: int,
) -> Edit:
    lines = _lines(files)
    after = _with(files, [*lines[:at], *new, *lines[end:]])
    return Edit(files, after, kind, subject, old, there)


def _plain(files: Files) -> list[Block]:
    """Steps without anything below them that is no beat of hand hygiene."""
    found = blocks(_lines(files))
    return [
        b for b in found if b.end == b.first + 1 and not _beat(b) and "decide" not in b.verbs
    ]


def _beat(block: Block) -> bool:
    return bool(block.verbs) and block.verbs <= {"handrub", "handwash"}


NEW_STEPS = (
    ("step", "Look around once more.", "Is the way out free?"),
    ("step", "Open the window.", "Leave it open until the next round."),
    ("observer", "Let the observer confirm.", "Stand still and turn slowly. `observed`"),
)


def added(files: Files, dice: random.Random) -> Iterator[Edit]:
    """A new step after another."""
    for block in blocks(_lines(files)):
        sort, lead, detail = dice.choice(NEW_STEPS)
        line = f"{' ' * block.indent}1. **{lead}** {detail}"
        end = block.end
        yield _spliced(files, end, end, [line], f"{sort} added", lead, 0, end + 1)


ALONE = {"check": "check", "disinfect": "disinfection", "observed": "observer"}


def dropped(files: Files, dice: random.Random) -> Iterator[Edit]:
    """A step that does more than clean hands is taken out."""
    for block in _plain(files):
        if _needed(files, block):
            continue
        verbs = block.verbs - {"takes"}
        sort = ALONE.get(next(iter(verbs)), "step") if len(verbs) == 1 else "step"
        if sort == "check" and _respirator(files, block.phrases[0]):
            sort = "seal check"
        line = block.first + 1
        yield _spliced(
            files, block.first, block.end, [], f"{sort} dropped", block.lead, line, 0
        )


def _needed(files: Files, block: Block) -> bool:
    """A part without steps is a fault of the text.

    So is a list of steps that begins below an answer with another number than 1: it would be
    read as words of the answer (CommonMark 0.31, section 5.3).
    """
    lists = siblings(blocks(_lines(files)))
    alone = any(len(steps) == 1 and steps[0] == block for steps in lists)
    return alone or (block.indent > 0 and any(steps[0] == block for steps in lists))


def _respirator(files: Files, phrase: str) -> bool:
    item = phrase.removeprefix("check ")
    row = re.search(rf"^{item}: \{{kind: ([^,}}]+)", files["kit.yaml"], re.MULTILINE)
    return bool(row) and row[1] == "respirator"


def moved(files: Files, dice: random.Random) -> Iterator[Edit]:
    """A step, with all below it, stands at least two steps further up or down in its list."""
    lines = _lines(files)
    texts = [b.line.split("**")[1:] for b in blocks(lines)]
    for steps in siblings(blocks(lines)):
        for at, block in enumerate(steps):
            if _beat(block) or texts.count(block.line.split("**")[1:]) > 1:
                continue
            places = [to for to in range(len(steps)) if abs(to - at) > 1]
            if not places:
                continue
            to = dice.choice(places)
            text = lines[block.first : block.end]
            rest = [*lines[: block.first], *lines[block.end :]]
            goal = steps[to].end - len(text) if to > at else steps[to].first
            after = _with(files, [*rest[:goal], *text, *rest[goal:]])
            yield Edit(files, after, "step moved", block.lead, block.first + 1, goal + 1)


def reworded(files: Files, dice: random.Random) -> Iterator[Edit]:
    """Other words, the same phrases, no number and no prohibition more or less."""
    for block in blocks(_lines(files)):
        more = dice.choice(("Take your time.", "Work calmly.", "Stand with both feet apart."))
        line = block.line.replace(f"**{block.lead}**", f"**{block.lead}** {more}", 1)
        yield _on(files, block, line, "step reworded")


def _on(files: Files, block: Block, line: str, kind: str) -> Edit:
    number = block.first + 1
    return _spliced(
        files, block.first, block.first + 1, [line], kind, block.lead, number, number
    )


def kept(files: Files, dice: random.Random) -> Iterator[Edit]:
    """What was thrown away is kept; at the same place, which need not be sensible here."""
    for block in blocks(_lines(files)):
        for phrase in block.phrases:
            if re.fullmatch("discard .+ in .+", phrase):
                line = block.line.replace(phrase, phrase.replace("discard", "keep", 1), 1)
                yield _on(files, block, line, "now kept instead of discarded")


def unclean(files: Files, dice: random.Random) -> Iterator[Edit]:
    """A beat of hand hygiene is taken out."""
    for block in blocks(_lines(files)):
        if _beat(block) and not _needed(files, block):
            number = block.first + 1
            kind = "hand hygiene dropped"
            yield _spliced(files, block.first, block.end, [], kind, block.lead, number, 0)


def uncautioned(files: Files, dice: random.Random) -> Iterator[Edit]:
    """A caution is taken out; one is written first where the step has none."""
    for block in blocks(_lines(files)):
        if "decide" in block.verbs or block.end > block.first + 1:
            continue
        caution = f"{' ' * (block.indent + 3)}> Do not hurry here."
        lines = _lines(files)
        before = _with(files, [*lines[: block.end], caution, *lines[block.end :]])
        number = block.first + 1
        yield Edit(before, files, "caution dropped", block.lead, number, number)


def limited(files: Files, dice: random.Random) -> Iterator[Edit]:
    """A wet time, a rest, or how often something is worn."""
    for name in ("clinic.yaml", "kit.yaml"):
        lines = files[name].split("\n")
        for at, line in enumerate(lines):
            subject = line.split(":")[0].strip()
            for found in re.finditer(r"(?:wet time|rest|at most): (\d+)", line):
                number = str(int(found[1]) + dice.choice((-1, 1, 2)))
                new = line[: found.start(1)] + number + line[found.end(1) :]
                text = "\n".join([*lines[:at], new, *lines[at + 1 :]])
                yield Edit(
                    files, {**files, name: text}, "limit changed", subject, at + 1, at + 1
                )


def gripped(files: Files, dice: random.Random) -> Iterator[Edit]:
    """An item is held in another way while it comes off."""
    for block in blocks(_lines(files)):
        for phrase in block.phrases:
            if not phrase.startswith("remove "):
                continue
            whole = re.fullmatch(r"(remove .+?)(?: by (\w+))?((?: with assistant)?)", phrase)
            others = {"ties", "straps", "inside", "cuffs", "outside"} - {whole[2]}
            grip = dice.choice(sorted(others))
            line = block.line.replace(phrase, f"{whole[1]} by {grip}{whole[3]}", 1)
            yield _on(files, block, line, "grip changed")


def numbered(files: Files, dice: random.Random) -> Iterator[Edit]:
    """A number in the words is another one."""
    for block in blocks(_lines(files)):
        start = block.line.index("**")
        words = re.sub(r"`[^`]*`", lambda met: " " * len(met[0]), block.line[start:])
        for found in re.finditer(r"\d+", words):
            at, end = start + found.start(), start + found.end()
            number = str(int(found[0]) + dice.choice((5, 10)))
            line = block.line[:at] + number + block.line[end:]
            yield _on(files, block, line, "number changed")


KINDS: dict[str, Callable[[Files, random.Random], Iterator[Edit]]] = {
    "added": added,
    "dropped": dropped,
    "moved": moved,
    "reworded": reworded,
    "now kept": kept,
    "hygiene dropped": unclean,
    "caution dropped": uncautioned,
    "limit changed": limited,
    "grip changed": gripped,
    "number changed": numbered,
}


def edit(kind: str, number: int, sets: dict[str, Files]) -> Edit:
    """One edit of a kind, in a protocol and a place thrown by seeded dice."""
    dice = random.Random(f"{kind} {number}")
    names = sorted(sets)
    while True:
        files = sets[dice.choice(names)]
        found = list(KINDS[kind](files, dice))
        if found:
            return dice.choice(found)
