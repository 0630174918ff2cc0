"""The contamination picture of one way: steps across, surfaces down, and why each is so."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass

from compiler.analysis.state import State, Where
from compiler.analysis.world import World
from compiler.following.sentences import SHORT, sentences
from compiler.following.steps import Named
from compiler.following.table import AROUND, BODY, Surface, surfaces
from compiler.following.walk import Moment, Walk
from compiler.report.picture_text import LEVELS, Sign
from compiler.reviewing.branches import Branch

WHERE = {AROUND[Where.WORN]: "", AROUND[Where.KEPT]: "kept", AROUND[Where.HAND]: "in the hand"}
"""What is said of an item by how its sign is set."""
BRACKETS = {"": ("", ""), "kept": ("(", ")"), "in the hand": ("[", "]")}
LETTERS = "–tC"
"""By level."""


@dataclass(frozen=True, slots=True)
class Column:
    """One step, or the heading of a part."""

    number: str
    """As on the sheet; empty for hand hygiene and headings."""
    lead: str
    label: str
    line: int
    changed: str
    """What it changes, in a sentence."""


@dataclass(frozen=True, slots=True)
class Run:
    """One surface for as long as it stays as it is: so many steps."""

    steps: int
    level: int
    """By `LEVELS`; -1 where the item is not in use."""
    where: str
    """Kept, or in the hand; else empty."""
    why: str

    @property
    def sign(self) -> str:
        """The level as a letter, set as by `follow`: (C) is kept, [C] is in the hand."""
        before, after = BRACKETS[self.where]
        return f"{before}{LETTERS[self.level]}{after}"

    @property
    def word(self) -> str:
        """The level, for those who do not see the shade."""
        return LEVELS[self.level] if self.level >= 0 else "not in use"


@dataclass(frozen=True, slots=True)
class Row:
    """One surface in one part."""

    name: str
    runs: tuple[Run, ...]

    def signs(self) -> list[tuple[int, str]]:
        """Level and place, step by step."""
        return [(run.level, run.where) for run in self.runs for _ in range(run.steps)]


@dataclass(frozen=True, slots=True)
class Strip:
    """One part on one way."""

    title: str
    columns: tuple[Column, ...]
    rows: tuple[Row, ...]


@dataclass(frozen=True, slots=True)
class Drawn:
    """One way, all its parts."""

    title: str
    answers: tuple[tuple[str, str], ...]
    strips: tuple[Strip, ...]


def drawn(branch: Branch, steps: tuple[Named, ...]) -> Drawn:
    """The picture of a way."""
    # by identity: a step's place tells it apart, and steps cannot be hashed cheaply
    names = {id(named.step): named for named in steps}
    drawing = _Drawing(branch.walk, names)
    parts = branch.walk.world.protocol.parts
    strips = tuple(drawing.strip(part.title, _of(drawing.moments, part)) for part in parts)
    return Drawn(branch.title, branch.answers, strips)


def _of(moments: list[Moment], part: object) -> range:
    """Where the moments of a part lie among all."""
    places = [at for at, moment in enumerate(moments) if moment.part is part]
    return range(places[0], places[-1] + 1)


def all_surfaces(world: World) -> Iterator[tuple[Surface, bool]]:
    """Hands, body, each item outside and inside, places; and which are shown in any case."""
    always = {"bare hands", *BODY}
    items = len(world.items)
    first = 1 + len(BODY)
    for at, surface in enumerate(surfaces(world)):
        yield surface, surface.name in always
        if first <= at < first + items:
            yield Surface(f"{surface.name}, inside", _inside(at - first)), False


def _inside(index: int) -> Callable[[State], Sign | None]:
    def look(state: State) -> Sign | None:
        item = state.items[index]
        around = AROUND.get(item.where)
        return Sign(item.inside, around) if around and item.inside else None

    return look


class _Drawing:
    """One way, looked at surface by surface."""

    def __init__(self, walk: Walk, names: Mapping[int, Named]) -> None:
        self.moments = walk.moments()
        self.walk, self.names = walk, names
        self.surfaces = list(all_surfaces(walk.world))

    def strip(self, title: str, part: range) -> Strip:
        """One part."""
        rows = [self._row(surface, part) for surface in self._shown(part)]
        return Strip(title, tuple(self._column(self.moments[at]) for at in part), tuple(rows))

    def _shown(self, part: range) -> Iterator[Surface]:
        """What changes on this way and is in use in this part; hands and body in any case."""
        states = [self.walk.start, *(moment.state for moment in self.moments)]
        for surface, fixed in self.surfaces:
            changes = len({surface.look(state) for state in states}) > 1
            used = any(surface.look(self.moments[at].state) for at in part)
            if fixed or (changes and used):
                yield surface

    def _row(self, surface: Surface, part: range) -> Row:
        signs = {at: surface.look(self.moments[at].state) for at in part}
        starts = [at for at in part if at == part.start or signs[at] != signs[at - 1]]
        ends = [*starts[1:], part.stop]
        runs = (
            self._run(surface, start, end - start, signs[start])
            for start, end in zip(starts, ends, strict=True)
        )
        return Row(surface.name, tuple(runs))

    def _run(self, surface: Surface, start: int, steps: int, sign: Sign | None) -> Run:
        if sign is None:
            return Run(steps, -1, "", "")
        return Run(steps, sign.level, WHERE[sign.around], self._why(surface, start, sign))

    def _why(self, surface: Surface, at: int, now: Sign) -> str:
        """Since which step it is so, what it was before, and what may have done it."""
        while at >= 0 and surface.look(self.moments[at].before) == now:
            at -= 1
        if at < 0:
            return "So when the round begins."
        moment = self.moments[at]
        before = surface.look(moment.before)
        was = LEVELS[before.level] if before else "not in use"
        said = f"{LEVELS[now.level].capitalize()} since {self._called(moment)}; before: {was}."
        worse = now.level > (before.level if before else 0)
        return f"{said} {self._cause(moment)}" if worse else said

    def _cause(self, moment: Moment) -> str:
        """What made something worse: where the wearer went, and what handled it."""
        before, after, world = moment.before, moment.state, self.walk.world
        if after.area != before.area:
            return f"The wearer came into the {after.area}."
        glove = world.glove(before)
        hand = f"the outside of the {world.items[glove].name}" if glove >= 0 else "bare hands"
        return f"Hands before this step: {hand}, {SHORT[world.hand_level(before)]}."

    def _called(self, moment: Moment) -> str:
        named = self.names.get(id(moment.step))
        if named:
            return named.called
        begin = moment.part.begin
        return f'the heading "{moment.part.title}" (line {begin.at.line})'

    def _column(self, moment: Moment) -> Column:
        changed = next(sentences(self.walk.world, moment.before, moment.state))
        changed = changed.removeprefix("Changed by this step: ")
        named = self.names.get(id(moment.step))
        if named is None or moment.step is None:
            begin = moment.part.begin
            lead = f"{begin.activity.value} in {begin.area}"
            return Column("", lead, moment.part.title, begin.at.line, changed)
        lead = moment.step.lead or moment.step.at.text.split("\n")[0]
        lead += f" ({moment.answer})" if moment.answer else ""
        number = str(named.number or "")
        return Column(number, lead, named.label, named.line, changed)
