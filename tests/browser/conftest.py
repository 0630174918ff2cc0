"""A headless Chromium (Debian's) and the web pages of the example, opened from files."""

from __future__ import annotations

import os
import shutil
from collections.abc import Callable, Iterator
from pathlib import Path

import pytest
from playwright.sync_api import Browser, BrowserContext, Page, sync_playwright

from tests.browser.visits import Visit
from tests.printing.posters import NAMES
from tests.products.step_lists import nested, page_of, written

FLAGS = (
    "--no-sandbox",  # tests run as root in containers
    "--disable-gpu",
    "--disable-quic",
    "--no-first-run",
    "--disable-background-networking",
    "--disable-component-update",
    "--disable-sync",
)
PHONE = {"width": 390, "height": 844}


@pytest.fixture(scope="session")
def browser() -> Iterator[Browser]:
    program = shutil.which("chromium")
    assert program, "chromium is missing: sh tests/machine.sh --tests installs it"
    # the PDF engine, once imported, has hidden the machine's fonts from this process
    fonts = {name: value for name, value in os.environ.items() if "FONTCONFIG" not in name}
    with sync_playwright() as playwright:
        started = playwright.chromium.launch(
            executable_path=program, args=list(FLAGS), env=fonts
        )
        yield started
        started.close()


@pytest.fixture(scope="session")
def new_page(browser: Browser) -> Iterator[Callable[..., Page]]:
    """A page of its own, in the one window that there is for each set of wishes.

    A window costs the browser more than all that a test does in it. The first page of a window
    stays empty and keeps it open. A test that changes a window's clock is `alone`.
    """
    windows: dict[str, BrowserContext] = {}

    def opened(alone: bool = False, **wishes: object) -> Page:
        wishes = {"viewport": PHONE, **wishes}
        known = repr((len(windows) if alone else "shared", sorted(wishes.items())))
        if known not in windows:
            windows[known] = browser.new_context(**wishes)
            windows[known].new_page()
        return windows[known].new_page()

    yield opened
    for window in windows.values():
        window.close()


@pytest.fixture(scope="session")
def pages(tmp_path_factory: pytest.TempPathFactory) -> Callable[[str], Path]:
    """The file of a page by its protocol's name, written when first asked for."""
    folder = tmp_path_factory.mktemp("pages")

    def page(name: str) -> Path:
        file = folder / f"{name}.html"
        if not file.exists():
            html = page_of(name) if name in NAMES else written(nested())
            file.write_text(html, encoding="utf-8")
        return file

    return page


@pytest.fixture
def visit(
    new_page: Callable[..., Page], pages: Callable[[str], Path]
) -> Iterator[Callable[..., Visit]]:
    """Opens a page; at the end nothing may have been logged or fetched."""
    visits: list[Visit] = []

    def opened(name: str = "airborne-room", place: str = "", **wishes: object) -> Visit:
        found = Visit(new_page(**wishes), pages(name).as_uri())
        found.page.set_default_timeout(6_000)
        visits.append(found)
        found.open(place)
        return found

    yield opened
    for each in visits:
        assert each.stored() == []
        each.page.close()
        assert each.logged == []
        assert {address.partition("#")[0] for address in each.fetched} == {each.address}
