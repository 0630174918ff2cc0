"""The observer's tick sheet: every step of the path once, with its own box to tick."""

from __future__ import annotations

import io
from functools import cache

import pikepdf
import pytest

from compiler.layout.fonts import faces_for
from compiler.model.protocol import Observed, every_step
from compiler.products.observer import BREACH, CONFIRM, TickSheet
from compiler.products.pages import printed
from compiler.products.sheet import CAUTION
from compiler.products.steps_listing import ListedBeat, ListedFork, listed_stops, step_list
from compiler.products.theme import theme_named
from tests.printing.making import pdfium, plain, poppler
from tests.printing.posters import order

SHEETS = [("high-consequence", "en"), ("airborne-room", "ar"), ("rapid-entry", "hi")]
all_sheets = pytest.mark.parametrize(("name", "language"), SHEETS)


@cache
def sheet(name, language, **wishes):
    wanted = order(name, language, draft=True, reviewed=False, **wishes)
    listed = step_list(wanted)
    ticks = TickSheet(wanted, listed, theme_named("default"), faces_for(language))
    laid, pdf, findings = printed(ticks.document())
    assert findings == ()
    return wanted, listed, laid, pdf


def stops(listed):
    return [stop for part in listed.parts for stop in listed_stops(part.stretches)]


@all_sheets
def test_each_step_and_each_hand_hygiene_has_a_box(name, language):
    _, listed, laid, _ = sheet(name, language)
    boxes = [b for b in laid.blocks if b.element == "td" and "done" in b.classes]

    assert len(boxes) == len(stops(listed))
    for box in boxes:
        # a fingertip's width: common practice for forms filled in by hand, no source
        assert box.height >= 8
        assert box.width >= 8


@all_sheets
def test_each_answer_can_be_ticked(name, language):
    _, listed, laid, _ = sheet(name, language)
    answers = sum(len(stop.ways) for stop in stops(listed) if isinstance(stop, ListedFork))

    assert sum("answer" in b.classes for b in laid.blocks if b.element == "tr") == answers


def test_steps_stand_in_the_order_of_the_poster():
    _, listed, _, pdf = sheet("high-consequence", "en")
    for read in (pdfium, poppler):
        said, at = plain(read(pdf)), 0
        for stop in stops(listed):
            lead = stop.question.lead if isinstance(stop, ListedFork) else stop.lead
            found = said.find(plain(lead), at)
            assert found >= 0, f"{lead!r} is missing or out of order"
            at = found + 1


def test_what_the_observer_confirms_says_so():
    wanted, _, laid, _ = sheet("high-consequence", "en")
    confirmed = sum(
        isinstance(phrase, Observed)
        for part in wanted.protocol.parts
        for step in every_step(part.steps)
        for phrase in step.phrases
    )

    assert confirmed > 0
    assert sum(CONFIRM in text.text for text in laid.texts) == confirmed


def test_hand_hygiene_is_a_band():
    _, listed, laid, _ = sheet("high-consequence", "en")
    beats = sum(isinstance(stop, ListedBeat) for stop in stops(listed))

    assert sum("band" in block.classes for block in laid.blocks) == beats > 0


def test_every_page_says_whose_it_is():
    *_, pdf = sheet("high-consequence", "en")
    text = plain(pdfium(pdf))
    with pikepdf.open(io.BytesIO(pdf)) as document:
        pages = len(document.pages)
        assert str(document.Root.Lang) == "en"

    assert text.count(plain(CAUTION)) >= pages
    assert plain(BREACH.replace("{stop}", "“stop”")) in text
    assert text.count(plain("Tern Island Health Post")) >= pages


def test_taking_off_begins_a_page_of_its_own():
    """Paper from the clean side need not go where gloves come off."""
    _, listed, laid, _ = sheet("high-consequence", "en")
    doffing = next(part.title for part in listed.parts if part.activity == "doffing")
    heading = next(b for b in laid.blocks if b.element == "section" and "doffing" in b.classes)
    before = [b for b in laid.blocks if b.page == heading.page and b.element == "tr"]

    assert doffing
    assert all(row.top > heading.top for row in before)
