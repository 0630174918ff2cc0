"""Any protocol gives one whole poster or a finding: properties over random protocols and papers."""

import pytest
from hypothesis import given, settings

from compiler.products import poster as product
from compiler.products.poster import poster
from compiler.products.poster_page import PosterPage
from tests import strategies
from tests.printing.placed import faults
from tests.printing.posters import order
from tests.printing.random_posters import random_order


@settings(max_examples=15)
@given(strategies.poster_numbers())
def test_one_whole_page_or_a_finding(number):
    """No page too many, nothing outside, on top, across or unsaid; see `placed.py`.

    `python -m tests.posters 500` tries as many others as you like.
    """
    wanted = random_order(number)
    assert faults(wanted, poster(wanted)) == []


BROKEN = {
    "outside": ".foot { margin-inline-start: -9mm }",
    "on_top": ".text p + p { margin-top: -1.5rem }",
    "out_of_cell": ".lead, p { white-space: nowrap }",
    "across": ".band { width: 103% }",
    "unsaid": ".caution { display: none }",
}


@pytest.mark.parametrize("check", BROKEN)
def test_a_broken_style_sheet_is_seen(check, monkeypatch):
    """Each of those properties can fail."""
    css = PosterPage.css
    monkeypatch.setattr(PosterPage, "css", lambda page, plan: (*css(page, plan), BROKEN[check]))
    wanted = order("high-consequence")
    assert any(fault.startswith(f"{check}: ") for fault in faults(wanted, poster(wanted)))


@pytest.mark.parametrize(
    ("check", "style"),
    [("foot_below", ".step { line-height: 1.5 }"), ("on_one_page", "h2 { margin-top: 50rem }")],
)
def test_a_poster_that_is_not_verified_is_seen(check, style, monkeypatch):
    css = PosterPage.css
    monkeypatch.setattr(PosterPage, "css", lambda page, plan: (*css(page, plan), style))
    monkeypatch.setattr(product, "fits", lambda laid: True)
    wanted = order("high-consequence")
    assert any(fault.startswith(f"{check}: ") for fault in faults(wanted, poster(wanted)))
