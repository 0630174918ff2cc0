"""The pages of editions in a browser: nothing logged, nothing fetched, all reached by keyboard.

axe-core (Deque Systems) checks them against WCAG 2.2, A and AA.
"""

from __future__ import annotations

from contextlib import contextmanager
from functools import partial
from http.server import SimpleHTTPRequestHandler, ThreadingHTTPServer
from shutil import copytree
from threading import Thread

import pypdfium2
import pytest
import zxingcpp

from compiler.editions.pages import EditionPage, Past
from tests.browser.conftest import PHONE
from tests.browser.visits import Visit
from tests.command.sheets import change
from tests.editions.making import published, signed
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


@pytest.mark.parametrize("scripts", [True, False], ids=["scripts", "none"])
def test_a_code_that_was_scanned_on_a_wall_opens_its_line_over_the_web(
    browser, first, tmp_path, scripts
):
    """The folder as `publish` wrote it, held by Python's own web server.

    What the QR code says is read off the sheet by ZXing; only the host is another one. After a
    second and a third edition the old sheet's code still opens a line: to come off the walls.
    """
    folder = copytree(first / "set", tmp_path / "set")
    into = copytree(first / "published", tmp_path / "published")
    sheet = into / "edition-1" / "sheets" / "rapid-entry-poster-en.pdf"
    with pypdfium2.PdfDocument(sheet) as pdf:
        link = zxingcpp.read_barcode(pdf[0].render(scale=2).to_pil()).text
    wanted = f"/#{link.partition('#')[2]}"
    with serving(into) as host, browser.new_context(java_script_enabled=scripts) as context:
        page = context.new_page()
        for edition, part in ((1, "main"), (2, ".down"), (3, ".down details")):
            if edition > 1:
                change(folder / "rapid-entry.md", "20 to 30", "20  to 30")
                signed(folder)
                assert published(folder, into, sheet).record.edition == edition
            page.goto("about:blank")
            page.goto(f"{host}{wanted}")
            line = page.locator(f"{part} :target")
            # details that hold it are opened by the browser, a moment after the page is there
            line.wait_for(state="visible")
            assert line.inner_text().replace(" ", "") == wanted.removeprefix("/#")


@contextmanager
def serving(folder):
    """A web server for the files of a folder; gives its address."""
    handler = partial(Quiet, directory=str(folder))
    with ThreadingHTTPServer(("127.0.0.1", 0), handler) as server:
        Thread(target=server.serve_forever, daemon=True).start()
        yield f"http://127.0.0.1:{server.server_port}"
        server.shutdown()


class Quiet(SimpleHTTPRequestHandler):
    """Says nothing, and lets nobody keep an old page.

    Here editions follow one another within a second, which is as exact as a file's date gets.
    """

    def end_headers(self):
        """Adds a header to those of every answer."""
        self.send_header("Cache-Control", "no-store")
        super().end_headers()

    def log_message(self, *_):
        """Nothing."""
