"""Tags: one label a kept item, in the grid of the clinic's label sheet, with boxes to count."""

from __future__ import annotations

from dataclasses import replace
from functools import cache

import pytest

from compiler.layout.fonts import faces_for
from compiler.model.clinic import LabelSheet
from compiler.products.pages import printed
from compiler.products.tags import TagSheet, tags
from compiler.products.theme import theme_named
from tests.printing.making import pdfium, plain
from tests.printing.posters import example, order

NEAR = 0.05
"""Millimetres."""
GRIDS = {
    "our own": LabelSheet(),
    "three by four": LabelSheet(3, 4, 63.5, 66.0, 7.2, 15.1, 2.5, 0.0),
    "two by four": LabelSheet(2, 4, 99.0, 68.0, 4.0, 12.0, 4.0, 1.0),
}


@cache
def sheet(language, grid):
    wanted = order("airborne-room", language, draft=True, reviewed=False)
    wanted = replace(wanted, clinic=replace(wanted.clinic, labels=GRIDS[grid]))
    maker = TagSheet(wanted, theme_named("default"), faces_for(language))
    laid, pdf, findings = printed(maker.document(1.9))
    assert findings == ()
    return maker, laid, pdf


@pytest.mark.parametrize("language", ["en", "ar"])
@pytest.mark.parametrize("grid", GRIDS)
def test_labels_lie_where_the_paper_has_them(language, grid):
    """The corner of label (i, j) by arithmetic: left + i (width + between), top likewise."""
    _, laid, _ = sheet(language, grid)
    labels = GRIDS[grid]
    found = sorted(
        (round(b.top, 2), round(b.left, 2), b.width, b.height)
        for b in laid.blocks
        if "label" in b.classes
    )
    expected = sorted(
        (
            labels.top + row * (labels.height + labels.between_rows),
            labels.left + column * (labels.width + labels.between_columns),
        )
        for row in range(labels.down)
        for column in range(labels.across)
    )

    assert laid.pages == 1
    assert len(found) == len(expected)
    for (top, left, width, height), place in zip(found, expected, strict=True):
        assert (top, left) == pytest.approx(place, abs=NEAR)
        assert width == pytest.approx(labels.width, abs=NEAR)
        assert height == pytest.approx(labels.height, abs=NEAR)


def test_every_item_kept_has_a_tag_and_nothing_else_has():
    maker, laid, _ = sheet("en", "our own")
    names = {item.name for item, _ in maker.items}
    # read off the example's own text: each of these is the object of a `keep` phrase
    assert names == {"apron", "coverall", "goggles", "face shield", "respirator"}

    printed_names = {t.text.strip() for t in laid.texts if "name" in t.classes}
    assert names <= printed_names


def test_a_tag_counts_each_allowed_wearing_and_the_rest_after_it():
    maker, _, pdf = sheet("en", "our own")
    limits = {item.name: (item.at_most, item.rest) for item, _ in maker.items}
    labels = GRIDS["our own"]
    cells = labels.across * labels.down - 1
    turns = [maker.items[i % len(maker.items)][0] for i in range(cells)]
    text = plain(pdfium(pdf))

    assert limits["respirator"][0] == 5
    assert text.count(plain("Worn on")) == sum(item.at_most for item in turns)
    assert text.count(plain("Rest until")) == sum(i.at_most for i in turns if i.rest)
    assert plain("Rest: 5 days") in text


def test_what_an_item_is_wiped_with_is_named_in_every_language():
    """The clinic's own file for a language names it, as it does the items."""
    for language in example().clinic.languages:
        wanted = order("airborne-room", language)
        name = wanted.clinic.agents["surface wipe"].name
        sheet = TagSheet(wanted, theme_named("default"), faces_for(language))

        assert (name == "surface wipe") == (language == "en")
        assert name in sheet.document(1.9).html, language


@pytest.mark.parametrize("language", ["en", "ar"])
def test_nothing_runs_over_the_edge_of_a_label(language):
    made = tags((order("airborne-room", language, draft=True, reviewed=False),))
    assert made.findings == ()
    _, laid, _ = sheet(language, "two by four")
    cells = [b for b in laid.blocks if "label" in b.classes]
    for text in laid.texts:
        assert any(
            cell.left <= text.left + NEAR
            and text.left + text.width <= cell.left + cell.width + NEAR
            and cell.top <= text.top + NEAR
            and text.top + text.height <= cell.bottom + NEAR
            for cell in cells
        ), text.text


def test_a_protocol_that_keeps_nothing_has_no_tags():
    made = tags((order("rapid-entry", "en"),))

    assert made.files == {} or b"%PDF" in made.files["pdf"][:8]
