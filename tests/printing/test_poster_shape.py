"""The shape of the wall poster: bands, forks, rails, one path down, and its mirror image."""

from itertools import combinations

import pytest

from compiler.model.protocol import Go, every_step
from tests.printing.posters import (
    CODE,
    NEAR,
    SHEETS,
    named,
    order,
    printed,
    sheet,
    some_sheets,
    with_class,
)


@some_sheets
def test_bands_cross_the_whole_path(name, language):
    """From the rail to the far edge of the column, or across the whole answer of a fork."""
    found = sheet(name, language)
    columns = [box for key, box in named(found).items() if key.startswith("column-")]
    edge = 0.12 * found.plan.base + NEAR  # inside the frame of an answer
    edges = [(c.left, c.left + c.width) for c in columns]
    edges += [(w.left, w.left + w.width) for w in with_class(found, "way")]
    for band in with_class(found, "band"):
        assert any(
            abs(band.left - left) < edge and abs(band.left + band.width - right) < edge
            for left, right in edges
        ), band


@some_sheets
def test_one_path_down_each_column(name, language):
    """Numbers stand below one another, in order: never a zigzag."""
    found = sheet(name, language)
    for key, column in named(found).items():
        if not key.startswith("column-"):
            continue
        inside = [
            number
            for number in with_class(found, "number")
            if column.left - 1 <= number.left <= column.left + column.width
            and not any(_within(number, way) for way in with_class(found, "way"))
        ]
        assert len({round(number.left + number.width, 0) for number in inside}) <= 4
        tops = [number.top for number in inside]
        assert tops == sorted(tops)


def _within(box, frame):
    return (
        frame.left - NEAR <= box.left <= frame.left + frame.width
        and frame.top - NEAR <= box.top <= frame.bottom
    )


@some_sheets
def test_answers_stand_side_by_side_and_join_below(name, language):
    found = sheet(name, language)
    rows = with_class(found, "ways", "beside")
    for ways in rows:
        frames = [way for way in with_class(found, "way") if _within(way, ways)]
        outer = [f for f in frames if abs(f.top - ways.top) < NEAR]
        assert len(outer) >= 2
        assert max(f.bottom for f in outer) - min(f.bottom for f in outer) < NEAR
        for one, other in combinations(outer, 2):
            apart = max(one.left, other.left) - min(
                one.left + one.width, other.left + other.width
            )
            assert apart > 1
        below = [j for j in with_class(found, "join") if abs(j.top - ways.bottom) < NEAR]
        for join in below:
            assert join.left == pytest.approx(ways.left, abs=NEAR)
            assert join.width == pytest.approx(ways.width, abs=NEAR)
    assert rows or name == "high-consequence"


def test_arabic_is_the_mirror_image():
    """The order across the page, not only the letters: donning right, rail right, text left."""
    found = sheet("airborne-room", "ar")
    boxes = named(found)
    assert boxes["column-1"].left > boxes["column-2"].left + boxes["column-2"].width
    for rail in with_class(found, "rail"):
        column = next(
            c
            for c in (boxes["column-1"], boxes["column-2"])
            if c.left - 1 < rail.left < c.left + c.width
        )
        assert rail.left + rail.width == pytest.approx(column.left + column.width, abs=NEAR)
    english = sheet("airborne-room", "en")
    for each, sign in ((found, -1), (english, 1)):
        for step in with_class(each, "step"):
            parts = [b for b in each.blocks if _within(b, step) and b.top < step.bottom]
            number = next(b for b in parts if "number" in b.classes)
            text = next(b for b in parts if "text" in b.classes and b.left != number.left)
            assert (text.left - number.left) * sign > 0


def test_numbers_with_units_keep_their_order_in_arabic():
    found = sheet("airborne-room", "ar")
    text = "".join(t.text for t in found.texts)
    assert CODE in text
    assert "2026-11-01" in text


def test_rails_tell_every_area():
    """A rail for each stretch, its label in words, and a door wherever people cross."""
    found = sheet("airborne-room")
    again = with_class(found, "again")
    rails = with_class(found, "rail")
    heads = with_class(found, "area")
    labels = [head for head in heads if not any(_within(head, a) for a in again)]
    assert len(rails) == len(labels)
    assert len(with_class(found, "door")) == sum(
        step_goes(step)
        for part in order("airborne-room").protocol.parts
        for step in every_step(part.steps)
    )
    for rail, label in zip(rails, labels, strict=True):
        zone = {"clean", "transition", "contaminated"} & set(rail.classes)
        assert zone <= set(label.classes)
        assert rail.top <= label.top <= rail.bottom
    words = " ".join(text.text for text in found.texts)
    for area in ("clean area", "transition area", "contaminated area"):
        assert area in words


def step_goes(step):
    return any(isinstance(phrase, Go) for phrase in step.phrases)


def test_cautions_have_a_frame_and_a_sign():
    found = sheet("high-consequence")
    cautions = [
        words
        for part in order("high-consequence").protocol.parts
        for step in every_step(part.steps)
        for words in step.cautions
    ]
    frames = with_class(found, "caution")
    assert len(frames) == len(cautions)
    for frame in frames:
        assert any("sign" in b.classes and _within(b, frame) for b in found.blocks)


def test_three_sizes_and_two_weights():
    for name, language in SHEETS:
        texts = printed(sheet(name, language))
        assert len({round(text.size, 1) for text in texts}) == 3
        assert {text.weight for text in texts} == {400, 700}
