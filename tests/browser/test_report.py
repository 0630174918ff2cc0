"""The reviewer's report in a browser: nothing logged, nothing fetched, all told by keyboard.

axe-core (Deque Systems) checks it against WCAG 2.2, A and AA. Two reports: that of the largest
example, and one with everything in it that a report can tell, hostile words too.
"""

from __future__ import annotations

import datetime
import io

import numpy
import pypdfium2
import pytest
from PIL import Image

from compiler.pipeline import open_set
from compiler.report.changes_html import changes_html
from compiler.reviewing.page import report_html
from compiler.reviewing.report import report_of
from compiler.versions.comparison import comparison
from compiler.versions.given import both_given
from tests.browser.conftest import PHONE
from tests.browser.visits import Visit
from tests.printing.posters import NAMES, PROTOCOLS
from tests.reviewing.busy import NAME, before_and_after
from tests.reviewing.test_report import made

DESK = {"width": 1280, "height": 900}
PAPER = {"width": 1040, "height": 700}
"""A4 on its side without margins, in pixels of CSS."""


@pytest.fixture(scope="module")
def pages(tmp_path_factory):
    """The files of both reports, and of the changes between the two sets."""
    base = before_and_after(tmp_path_factory.mktemp("busy"))
    old, new = base / "old" / f"{NAME}.md", base / "new" / f"{NAME}.md"
    changes = comparison(*both_given(str(old), str(new)))
    on = datetime.date(2027, 6, 1)
    busy = report_of(open_set(new.parent, [new]), on, (), changes)
    whole = comparison(*both_given(str(base / "old"), str(base / "new")))
    texts = {
        "example": report_html(made()),
        "busy": report_html(busy),
        "changes": changes_html(whole),
    }
    for name, html in texts.items():
        (base / f"{name}.html").write_text(html, encoding="utf-8")
    return base


@pytest.fixture
def look(new_page, pages):
    """Opens a page that is fresh."""
    visits = []

    def opened(name="example", size=DESK, **wishes):
        visit = Visit(new_page(viewport=size, **wishes), (pages / f"{name}.html").as_uri())
        visits.append(visit)
        visit.open()
        return visit

    yield opened
    for visit in visits:
        assert visit.stored() == []
        visit.page.close()


@pytest.mark.parametrize("size", [DESK, PHONE], ids=["desk", "phone"])
@pytest.mark.parametrize("name", ["example", "busy", "changes"])
def test_nothing_is_wrong_with_it(look, name, size):
    visit = look(name, size)
    folds = visit.page.locator("details")
    folds.evaluate_all("all => all.forEach(each => each.open = true)")

    assert visit.complaints() == []
    assert visit.logged == []
    assert visit.fetched == [visit.address]
    wide = visit.page.evaluate("document.documentElement.scrollWidth - window.innerWidth")
    assert wide <= 0, "it scrolls sideways"


def test_the_keyboard_reaches_everything_in_the_order_of_reading(look):
    """WCAG 2.2, 2.1.1, 2.4.3 and 2.4.7: links, folds, what scrolls and every stretch."""
    visit = look("busy")
    wanted = visit.page.locator("a, summary, .run, [tabindex='0']").count()
    assert wanted > 100
    seen = []
    for _ in range(wanted):
        visit.press("Tab")
        seen.append(
            visit.page.evaluate(
                "(() => { const e = document.activeElement, r = e.getBoundingClientRect();"
                " const all = [...document.querySelectorAll('*')];"
                " return [all.indexOf(e), r.width > 0 && r.bottom > 0 && r.top < innerHeight,"
                " getComputedStyle(e).outlineStyle]; })()"
            )
        )
    places = [place for place, _, _ in seen]
    assert places == sorted(set(places))
    assert all(there for _, there, _ in seen)
    assert {outline for _, _, outline in seen} == {"solid"}


NOTE = """() => {
  const shown = [...document.querySelectorAll(".why")].filter(
    (e) => getComputedStyle(e).display !== "none");
  return shown.map((e) => {
    const r = e.getBoundingClientRect();
    return [e.textContent, r.left >= 0 && r.right <= document.documentElement.clientWidth];
  });
}"""


@pytest.mark.parametrize("scripts", [True, False], ids=["scripts", "none"])
def test_pointing_at_a_stretch_tells_why(look, scripts):
    visit = look(java_script_enabled=scripts)
    cells = visit.page.locator(".strip").nth(2).locator("td:has(.run)")
    for at in range(0, cells.count(), 3):
        cells.nth(at).hover()
        [(told, inside)] = visit.page.evaluate(NOTE)
        assert told == cells.nth(at).locator(".why").text_content()
        assert inside or not scripts
    visit.page.locator("h1").hover()
    assert visit.page.evaluate(NOTE) == []


def test_tapping_a_stretch_on_a_telephone_tells_why_inside_the_screen(look):
    visit = look("busy", PHONE, has_touch=True, is_mobile=True)
    runs = visit.page.locator(".strip").nth(2).locator(".run")
    for at in range(0, runs.count(), 4):
        runs.nth(at).tap()
        [(told, inside)] = visit.page.evaluate(NOTE)
        assert told == runs.nth(at).locator("xpath=following-sibling::*").text_content()
        assert inside
        # it may lie over the next row: a tap puts it away
        visit.page.locator(".why:visible").tap()
        assert visit.page.evaluate(NOTE) == []


def test_levels_are_told_apart_in_grey_and_by_letter(look):
    """WCAG 2.2, 1.4.1: neither the colour nor the shade alone says which level it is.

    Touched and contaminated are hatched, clean is plain; in grey their means differ by a step
    that any printer holds.
    """
    visit = look()
    shades, letters = [], []
    for level in ("l0", "l1", "l2"):
        cell = visit.page.locator(f".key .{level}")
        picture = Image.open(io.BytesIO(cell.screenshot())).convert("L")
        edge = numpy.asarray(picture)[3:-3, 3:10]  # beside the letter
        shades.append((edge.mean(), edge.std()))
        letters.append(cell.inner_text().strip())
    assert len(set(letters)) == 3
    (clean, plain), (touched, open_hatch), (dirty, dense) = shades
    assert clean > touched + 15 > dirty + 60
    assert plain < 1 < min(open_hatch, dense)


@pytest.mark.parametrize("name", NAMES)
def test_printed_from_the_browser_all_is_there(look, pages, name):
    """Folds open, nothing cut off at the side, letters kept; Chromium prints, pdfium reads."""
    report = report_of(
        open_set(PROTOCOLS, [PROTOCOLS / f"{name}.md"]), datetime.date(2027, 6, 1), ("en",)
    )
    (pages / "printed.html").write_text(report_html(report), encoding="utf-8")
    visit = look("printed", PAPER)
    visit.page.emulate_media(media="print")
    wide = visit.page.locator("table, article, p").evaluate_all(
        "all => all.filter(e => e.getBoundingClientRect().right > innerWidth + 1)"
        ".map(e => [e.className, e.getBoundingClientRect().right])"
    )
    assert wide == []
    visit.page.emulate_media(media=None)
    with pypdfium2.PdfDocument(
        visit.page.pdf(prefer_css_page_size=True, print_background=False)
    ) as pdf:
        assert pdf[0].get_width() > pdf[0].get_height()
        text = " ".join("".join(p.get_textpage().get_text_range() for p in pdf).split())
        picture = pdf[1].render(scale=0.5).to_pil().convert("L")
    assert "Go to the findings" not in text
    for finding in report.findings:
        assert finding.message.replace(" ", "") in text.replace(" ", "")
    changed = {c.changed for way in report.pictures for s in way.strips for c in s.columns}
    assert all(each.replace(" ", "") in text.replace(" ", "") for each in changed)
    assert numpy.asarray(picture).min() < 120


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
