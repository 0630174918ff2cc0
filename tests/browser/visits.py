"""One look at a page: what is shown, what was logged, what was fetched, what a checker says."""

from __future__ import annotations

from importlib.resources import files

from playwright.sync_api import Page

AXE = files("axe_playwright_python") / "axe.min.js"
"""The accessibility checker axe-core (Deque Systems), as a script; its Python wrapper brings it."""
GRAVE = {"serious", "critical"}


class Visit:
    """A page that is open."""

    def __init__(self, page: Page, address: str) -> None:
        self.page, self.address = page, address
        self.logged: list[str] = []
        self.fetched: list[str] = []
        page.on("console", lambda message: self.logged.append(message.text))
        page.on("pageerror", lambda error: self.logged.append(str(error)))
        page.on("request", lambda request: self.fetched.append(request.url))

    def open(self, place: str = "") -> None:
        """Goes to the page, or to a place in it."""
        self.page.goto(f"{self.address}#{place}" if place else self.address)

    def stored(self) -> list[str]:
        """What the page has left in the browser, where it would be found by the next test."""
        kept = "[...Object.keys(localStorage), ...Object.keys(sessionStorage), document.cookie]"
        return [name for name in self.page.evaluate(kept) if name]

    @property
    def place(self) -> str:
        """What stands after # in the address."""
        return self.page.url.partition("#")[2]

    @property
    def lead(self) -> str:
        """The large words of the step that is shown."""
        return self.shown(".card .lead").inner_text()

    def shown(self, selector: str):
        """The element of the language that is shown."""
        return self.page.locator(f".here {selector}").first

    def press(self, *keys: str) -> None:
        """Real keys, as the browser gets them from a keyboard."""
        for key in keys:
            self.page.keyboard.press(key)

    def go_back(self) -> None:
        """By the browser's own button, until the page has heard of it."""
        self.page.go_back()
        self.settle()

    def settle(self) -> None:
        """Until the events that are waiting have been heard."""
        self.page.evaluate("new Promise(done => setTimeout(done, 30))")

    def complaints(self, *rules: str) -> list[str]:
        """What axe-core finds serious or critical, by rule and place: all its rules, or some."""
        if self.page.evaluate("typeof window.axe") == "undefined":
            # by the debugger, which the page's own policy does not bind
            self.page.evaluate(AXE.read_text(encoding="utf-8") + "\n;undefined")
        wanted = {"resultTypes": ["violations"], **({"runOnly": list(rules)} if rules else {})}
        found = self.page.evaluate("wanted => axe.run(wanted)", wanted)
        return [
            f"{each['id']}: {node['target']}"
            for each in found["violations"]
            if each["impact"] in GRAVE
            for node in each["nodes"]
        ]
