"""A protocol's parts as columns of pieces: donning, with work at its end, and doffing."""

from __future__ import annotations

from dataclasses import dataclass

from compiler.layout.fitting import Text
from compiler.model.protocol import Activity, Part
from compiler.products.path import Beat, Path, Row, Split, Stop, Stretch, Way, path_of
from compiler.products.path_words import beat_lead, beat_place, beat_sign, ground, onward
from compiler.products.pictograms import pictogram_for
from compiler.products.poster_areas import AreaPiece, said_again
from compiler.products.poster_forks import ForkPiece, StretchPiece, WayPiece
from compiler.products.poster_pieces import (
    BEAT_PADDING,
    NASTALIQ_PADDING,
    BeatPiece,
    Measures,
    Piece,
    RowPiece,
    Shown,
    SlimPiece,
)
from compiler.products.sheet import Order
from compiler.products.theme import Theme
from compiler.products.typesetting import BOLD, REGULAR, Scale, Typesetter

HEADING_GAP, PART_GAP, INTRODUCTION_GAP = 0.5, 1.4, 0.4


@dataclass(frozen=True, slots=True)
class PartPiece:
    """A heading, what stands before the first step, and the path."""

    words: str
    activity: str
    title: Text
    introduction: tuple[tuple[str, Text], ...]
    stretches: tuple[StretchPiece, ...]
    path: Path

    def height(self, width: float, air: float) -> float:
        """The sum."""
        head = self.title.height(width) + HEADING_GAP
        head += sum(text.height(width) + INTRODUCTION_GAP for _, text in self.introduction)
        return head + sum(each.height(width, air) for each in self.stretches)

    def shown(self, width: float) -> Shown:
        """The words and the path."""
        return {
            "title": self.words,
            "activity": self.activity.replace(" ", "-"),
            "introduction": [words for words, _ in self.introduction],
            "stretches": [each.shown(width) for each in self.stretches],
        }


@dataclass(frozen=True, slots=True)
class Column:
    """Parts below each other."""

    parts: tuple[PartPiece, ...]

    def height(self, width: float, air: float) -> float:
        """The sum, and the gaps between the parts."""
        parts = sum(part.height(width, air) for part in self.parts)
        return parts + PART_GAP * (len(self.parts) - 1)


def measures_for(theme: Theme, scale: Scale, script: str) -> Measures:
    """The theme's lengths at a scale."""

    def of(name: str) -> float:
        return theme.number(f"poster/{name}")

    return Measures(
        lead=scale.lead,
        lead_line=scale.lead_line,
        text_line=scale.text_line,
        rail=theme.number("rail/width"),
        indent=of("indent"),
        number=of("number") * scale.lead,
        inner_number=of("inner number") * scale.lead,
        above_below=of("above"),
        sign=of("sign") * scale.lead,
        narrow_sign=of("narrow sign") * scale.lead,
        wide_sign=of("wide sign") * scale.lead,
        beat_sign=of("beat sign") * scale.lead,
        band_padding=NASTALIQ_PADDING if script == "Aran" else BEAT_PADDING,
        band_line=of("band line"),
        gap=of("gap"),
        wide=of("wide"),
        way=of("way"),
        between=of("between"),
    )


def columns_of(order: Order, typesetter: Typesetter, measures: Measures) -> tuple[Column, ...]:
    """The columns of the poster: donning and work, then doffing; those that there are."""
    builder = _Builder(order, typesetter, measures)
    doffing = [p for p in order.protocol.parts if p.begin.activity is Activity.DOFFING]
    others = [p for p in order.protocol.parts if p.begin.activity is not Activity.DOFFING]
    wanted = {"donning": [others], "doffing": [doffing]}.get(order.parts, [others, doffing])
    return tuple(
        Column(tuple(builder.part(part) for part in parts)) for parts in wanted if parts
    )


@dataclass(frozen=True, slots=True)
class _Builder:
    order: Order
    typesetter: Typesetter
    measures: Measures

    def part(self, part: Part) -> PartPiece:
        path = path_of(part, self.order.clinic)
        slim = part.begin.activity is Activity.WORK
        return PartPiece(
            words=part.title,
            activity=part.begin.activity.value,
            title=self.typesetter.lead(part.title)
            if slim
            else self.typesetter.title(part.title),
            introduction=tuple(
                (words, self.typesetter.detail(words)) for words in part.introduction
            ),
            stretches=self.stretches(path.stretches, slim, inside=False),
            path=path,
        )

    def stretches(
        self, stretches: tuple[Stretch, ...], slim: bool, inside: bool
    ) -> tuple[StretchPiece, ...]:
        alone = inside and len(stretches) == 1
        return tuple(
            self.stretch(stretch, slim, inside, door=i > 0, bare=alone)
            for i, stretch in enumerate(stretches)
            if stretch.stops or i > 0
        )

    def stretch(
        self, stretch: Stretch, slim: bool, inside: bool, door: bool, bare: bool
    ) -> StretchPiece:
        here = ground(stretch, self.order.words)
        label = self.typesetter.detail(f"{here.name} {here.kind}", BOLD)
        again = AreaPiece(here.zone.value, here.name, here.kind, label)
        places = set() if bare or slim else set(said_again(stretch.stops))
        stops: list[Piece] = []
        for place, stop in enumerate(stretch.stops):
            stops += [again] if place in places else []
            stops.append(self.stop(stop, slim, inside))
        return StretchPiece(
            measures=self.measures,
            zone=here.zone.value,
            area=here.name,
            kind=here.kind,
            label=label,
            door=door,
            bare=bare,
            stops=tuple(stops),
        )

    def stop(self, stop: Stop, slim: bool, inside: bool) -> Piece:
        match stop:
            case Row():
                return self.slim_row(stop) if slim else self.row(stop, inside)
            case Beat():
                return self.beat(stop, slim, inside)
            case Split():
                join = onward(stop.ways[0], self.order.words) if stop.ways else ""
                return ForkPiece(
                    self.measures,
                    self.row(stop.question, inside),
                    tuple(self.way(way) for way in stop.ways),
                    join,
                    self.typesetter.detail(join, BOLD),
                )

    def row(self, row: Row, inside: bool) -> RowPiece:
        return RowPiece(
            measures=self.measures,
            number=self.number(row.number),
            sign=pictogram_for(row.step, self.order.kit),
            words=(row.lead, row.detail),
            lead=self.typesetter.lead(row.lead),
            detail=self.typesetter.detail(row.detail),
            cautions=self.cautions(row.cautions),
            inside=inside,
        )

    def slim_row(self, row: Row) -> SlimPiece:
        return SlimPiece(
            measures=self.measures,
            number=self.number(row.number),
            words=(row.lead, row.detail),
            text=self.typesetter.together(row.lead, row.detail),
            cautions=self.cautions(row.cautions),
        )

    def beat(self, beat: Beat, slim: bool, inside: bool) -> BeatPiece:
        lead = beat_lead(beat, self.order.words)
        where = beat_place(beat, self.order.words)
        return BeatPiece(
            measures=self.measures,
            sign=beat_sign(beat),
            words=(lead, beat.detail),
            lead=self.typesetter.lead(lead),
            detail=self.typesetter.detail(beat.detail),
            together=self.typesetter.together(lead, beat.detail),
            cautions=self.cautions(beat.cautions),
            where=where,
            where_width=self.typesetter.width(where, 1.0, REGULAR),
            where_line=self.typesetter.detail(where),
            slim=slim,
            inside=inside,
        )

    def way(self, way: Way) -> WayPiece:
        return WayPiece(
            words=(way.lead or way.answer, way.detail),
            answer=self.typesetter.lead(way.lead or way.answer),
            detail=self.typesetter.detail(way.detail),
            stretches=self.stretches(way.stretches, slim=False, inside=True),
        )

    def cautions(self, cautions: tuple[str, ...]) -> tuple[tuple[str, Text], ...]:
        return tuple((words, self.typesetter.detail(words, BOLD)) for words in cautions)

    def number(self, number: int) -> str:
        return self.order.words.number(number)
