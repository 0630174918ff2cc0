"""What is dirty after each step of one way, as a picture for each part."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Mapping
from dataclasses import dataclass

from compiler.analysis.state import ItemState, State, Where
from compiler.analysis.world import World
from compiler.following.steps import Named
from compiler.following.walk import Moment, Walk
from compiler.report.picture_text import LEVELS, Line, Picture, Sign, drawn, signed
from compiler.report.style import Style
from compiler.report.text import WIDTH

BODY = ("face", "hair", "clothing", "feet")
AROUND = {Where.WORN: "  ", Where.KEPT: "()", Where.HAND: "[]"}
"""How an item's sign is set, by where it is; elsewhere it has none."""


@dataclass(frozen=True, slots=True)
class Surface:
    """Something that can be dirty."""

    name: str
    look: Callable[[State], Sign | None]


def surfaces(world: World) -> tuple[Surface, ...]:
    """Bare hands, the body, items and places."""
    return (
        Surface("bare hands", lambda state: Sign(state.hands)),
        *(Surface(name, _body(at)) for at, name in enumerate(BODY)),
        *(Surface(item.name, _item(i)) for i, item in enumerate(world.items)),
        *(Surface(place.name, _place(j)) for j, place in enumerate(world.places)),
    )


def _body(at: int) -> Callable[[State], Sign]:
    return lambda state: Sign(state.body[at])


def _item(index: int) -> Callable[[State], Sign | None]:
    def look(state: State) -> Sign | None:
        item: ItemState = state.items[index]
        around = AROUND.get(item.where)
        return Sign(item.outside, around) if around else None

    return look


def _place(index: int) -> Callable[[State], Sign]:
    return lambda state: Sign(state.places[index])


def pictures(walk: Walk, steps: Iterable[Named]) -> list[Picture]:
    """One for each part, with the surfaces in it that change on this way."""
    moments = walk.moments()
    states = [walk.start, *(moment.state for moment in moments)]
    changing = [s for s in surfaces(walk.world) if len({s.look(state) for state in states}) > 1]
    # by identity: a step's place tells it apart, and steps cannot be hashed cheaply
    names = {id(named.step): named for named in steps}
    return [
        _picture(part.title, [m for m in moments if m.part is part], changing, names)
        for part in walk.world.protocol.parts
    ]


def _picture(
    title: str, moments: list[Moment], changing: list[Surface], names: Mapping[int, Named]
) -> Picture:
    seen = [s for s in changing if any(s.look(m.state) for m in moments)]
    lines = tuple(_line(moment, seen, names) for moment in moments)
    return Picture(title, tuple(s.name for s in seen), lines)


def _line(moment: Moment, seen: list[Surface], names: Mapping[int, Named]) -> Line:
    signs = tuple(s.look(moment.state) for s in seen)
    if moment.step is None:
        begin = moment.part.begin
        words = f"({begin.activity.value} in {begin.area})"
        return Line("", words, "", str(begin.at.line), signs)
    named = names[id(moment.step)]
    lead = moment.step.lead or moment.step.at.text.split("\n")[0]
    ending = f" ({moment.answer})" if moment.answer else ""
    number = str(named.number or "")
    return Line(number, "  " * moment.depth + lead, ending, str(named.line), signs)


def told(walk: Walk, steps: Iterable[Named], style: Style, width: int = WIDTH) -> str:
    """Pictures of all parts, one below the other, and what the signs stand for."""
    blocks = [drawn(picture, style, width) for picture in pictures(walk, steps)]
    return "\n\n".join([*blocks, "\n".join(_key(style))])


def _key(style: Style) -> Iterator[str]:
    said = (f"{signed(Sign(n), style).strip()} {word}" for n, word in enumerate(LEVELS))
    clean = style.levels[0]
    yield f"signs    {'   '.join(said)}   (touched: may be contaminated)"
    where = f"({clean}) kept   [{clean}] in the hand"
    yield f"         {where}   no sign: not in use, or thrown away"
    yield "numbers  left: on the sheet; right: line of the file"
