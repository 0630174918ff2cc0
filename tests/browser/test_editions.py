"""The pages of editions in a browser: nothing logged, nothing fetched, all reached by keyboard.

axe-core (Deque Systems) checks them against WCAG 2.2, A and AA.
"""

from __future__ import annotations

import pytest

from compiler.editions.pages import EditionPage, Past
from tests.browser.conftest import PHONE
from tests.browser.visits import Visit
from tests.editions.shelves import LANGUAGES, record_of

DESK = {"width": 1280, "height": 900}
DIRECTIONS = {"ltr": LANGUAGES, "rtl": LANGUAGES[::-1]}


@pytest.fixture
def look(new_page, tmp_path):
    """Opens the first page of a second edition, or that edition's own."""
    visits = []

    def opened(name="index", size=DESK, direction="ltr", place=""):
        tongues = DIRECTIONS[direction]
        before = record_of(1, ["a", "b"], languages=tongues)
        now = record_of(2, ["a2", "b"], languages=tongues)
        past = Past(before, ((1, before.published),), (("34679ACD", 1),))
        html = EditionPage(now, past if name == "index" else None, "default").html()
        path = tmp_path / f"{name}.html"
        path.write_text(html, encoding="utf-8")
        visit = Visit(new_page(viewport=size), path.as_uri())
        visits.append(visit)
        visit.open(place)
        return visit, now

    yield opened
    for visit in visits:
        assert visit.stored() == []
        visit.page.close()


@pytest.mark.parametrize("direction", DIRECTIONS)
@pytest.mark.parametrize("size", [DESK, PHONE], ids=["desk", "phone"])
@pytest.mark.parametrize("name", ["index", "own"])
def test_nothing_is_wrong_with_it(look, name, size, direction):
    visit, _ = look(name, size, direction)

    assert visit.complaints() == []
    assert visit.logged == []
    assert visit.fetched == [visit.address]
    wide = visit.page.evaluate("document.documentElement.scrollWidth - window.innerWidth")
    assert wide <= 0, "it scrolls sideways"


def test_the_keyboard_reaches_everything_in_the_order_of_reading(look):
    visit, _ = look()
    wanted = visit.page.locator("a, summary").count()
    reached = []
    for _ in range(wanted):
        visit.press("Tab")
        box = visit.page.evaluate(
            "(() => { const e = document.activeElement, r = e.getBoundingClientRect();"
            " return [e.tagName, e.textContent, r.width > 0 && r.top >= 0 && r.left >= 0,"
            " getComputedStyle(e).outlineStyle]; })()"
        )
        reached.append(box)

    assert len({(tag, text, n) for n, (tag, text, _, _) in enumerate(reached)}) == wanted
    assert all(seen for _, _, seen, _ in reached)
    assert {outline for _, _, _, outline in reached} == {"solid"}
    assert reached[0][1] == "Go to the sheets"


def test_the_address_of_a_qr_code_leads_to_its_row(look):
    """The clinic's link ends in `#`, so that the page itself is what the code leads to."""
    _, now = look()
    code = list(now.codes)[-1]

    visit, _ = look(size=PHONE, place=code)

    row = visit.page.locator(f"#{code}")
    assert row.bounding_box()["y"] < PHONE["height"]
    assert row.evaluate("e => e.matches(':target')")
    # it is marked for the eye, not only scrolled to
    other = visit.page.locator(".code:not(:target)").first
    colour = "e => getComputedStyle(e).backgroundColor"
    assert row.evaluate(colour) != other.evaluate(colour)
