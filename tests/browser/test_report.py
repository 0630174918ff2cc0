"""The reviewer's report in a browser: nothing logged, nothing fetched, all told by keyboard.

axe-core (Deque Systems) checks it against WCAG 2.2, A and AA.
"""

from __future__ import annotations

import pytest

from compiler.reviewing.page import report_html
from tests.browser.conftest import PHONE
from tests.browser.visits import Visit
from tests.reviewing.test_report import made

DESK = {"width": 1280, "height": 900}


@pytest.fixture
def look(new_page, tmp_path):
    """Opens the report of the largest example."""
    visits = []

    def opened(size=DESK, **wishes):
        path = tmp_path / "report.html"
        path.write_text(report_html(made()), encoding="utf-8")
        visit = Visit(new_page(viewport=size, **wishes), path.as_uri())
        visits.append(visit)
        visit.open()
        return visit

    yield opened
    for visit in visits:
        assert visit.stored() == []
        visit.page.close()


@pytest.mark.parametrize("size", [DESK, PHONE], ids=["desk", "phone"])
def test_nothing_is_wrong_with_it(look, size):
    visit = look(size)

    assert visit.complaints() == []
    assert visit.logged == []
    assert visit.fetched == [visit.address]
    wide = visit.page.evaluate("document.documentElement.scrollWidth - window.innerWidth")
    assert wide <= 0, "it scrolls sideways"


@pytest.mark.parametrize("scripts", [True, False], ids=["scripts", "none"])
def test_the_keyboard_reaches_every_stretch_and_it_tells_why(look, scripts):
    visit = look(java_script_enabled=scripts)
    runs = visit.page.locator(".strip").first.locator(".run")
    runs.first.focus()
    for at in range(runs.count()):
        assert runs.nth(at).evaluate("e => e === document.activeElement")
        assert visit.page.locator(".why:visible").count() == 1
        assert visit.page.locator(".why:visible").inner_text()
        visit.press("Tab")


def test_arrows_go_along_and_escape_puts_the_note_away(look):
    visit = look()
    visit.page.locator(".strip").first.locator(".run").first.focus()
    visit.press("ArrowDown")
    row = visit.page.evaluate("document.activeElement.closest('tr').rowIndex")
    assert row == 2
    visit.press("Escape")
    assert visit.page.locator(".why:visible").count() == 0
