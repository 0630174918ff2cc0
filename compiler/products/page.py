"""One web page of a protocol with all its languages: one file that needs no network.

It reads as a list without scripts; with them it also walks through the steps. Its own policy
(Content Security Policy Level 3) lets it load nothing, and run only what it was made with.
"""

from __future__ import annotations

import base64
import hashlib
import re
from collections.abc import Iterator
from dataclasses import dataclass

from markupsafe import Markup

from compiler.products.html import fill, isolated, unbroken
from compiler.products.outcome import Outcome
from compiler.products.pictograms import PICTOGRAMS, mirrored
from compiler.products.sheet import Imprint, Order
from compiler.products.steps_listing import (
    ListedFork,
    ListedPart,
    ListedStep,
    StepList,
    listed_stops,
    nothing_listed,
    step_list,
)
from compiler.products.theme import Theme, theme_named
from compiler.wording.words import Words

SPOKEN = (
    "Step by step",
    "Whole list",
    "Next",
    "Back",
    "Next: {text}",
    "{number} of {count}",
    "Start the timer",
    "Keep going",
    "Least time reached",
    "Full time reached",
    "All steps done",
    "Start again",
    "Chosen before",
    "Language",
)
"""Fixed words that this file and its template ask the catalogue for."""
DRAWING = re.compile(r'<svg[^>]*viewBox="([^"]*)"[^>]*>(.*)</svg>', re.DOTALL)


@dataclass(frozen=True, slots=True)
class View:
    """One language of the page, as its template reads it."""

    steps: StepList
    words: Words

    @property
    def sheet(self) -> Imprint:
        """Heading and footer."""
        return self.steps.sheet

    @property
    def parts(self) -> tuple[ListedPart, ...]:
        """Putting on, work, taking off."""
        return self.steps.parts

    @property
    def facts(self) -> tuple[str, ...]:
        """Edition, dates, check code."""
        return self.steps.facts

    @property
    def turned(self) -> set[str]:
        """The pictograms that are turned over in this direction of reading."""
        rtl = self.words.direction == "rtl"
        return {name for name in PICTOGRAMS if rtl and mirrored(name)}

    @property
    def digits(self) -> str:
        """The ten digits, for numbers that the page counts itself."""
        return "".join(map(self.words.number, range(10)))

    @property
    def caution_word(self) -> str:
        """What comes before a caution for those who do not see its sign."""
        return self.say("Caution: {text}").replace("{text}", "").strip()

    def say(self, english: str) -> str:
        """Fixed words; slots stay open for the page to fill."""
        return self.words.say(english)

    def mark(self, text: str) -> Markup:
        """Text in which numbers, codes and addresses keep their order and stay together."""
        return isolated(text) if self.words.direction == "rtl" else unbroken(text)

    def count(self, part: ListedPart) -> int:
        """The last number of a part."""
        return max((step.value for step in _numbered(part)), default=0)

    def place(self, step: ListedStep, count: int) -> str:
        """How far along a step is: "7 of 12"."""
        return self.words.say("{number} of {count}", number=step.value, count=count)


def page(orders: tuple[Order, ...]) -> Outcome:
    """The page of one protocol; `orders` are its languages, the first one first."""
    views = tuple(View(step_list(order), order.words) for order in orders)
    if not views[0].parts:
        return Outcome(findings=(nothing_listed(orders[0], "page"),))
    html = page_html(views, theme_named(orders[0].theme))
    data = html.encode()
    names = ", ".join(order.words.tag for order in orders)
    return Outcome({"html": data}, f"{names}; {len(data) / 1000:.0f} kB, needs no network")


def page_html(views: tuple[View, ...], theme: Theme) -> str:
    """The whole document."""
    css = colours(theme) + theme.css("page.css")
    script = theme.read("page.js")
    values = {
        "views": views,
        "css": Markup(css),
        "script": Markup(script),
        "policy": policy(css, script),
        "drawings": Markup("".join(_symbols(views, theme))),
    }
    return fill(theme, "page.html", views[0].words.direction, values)


def policy(css: str, script: str) -> str:
    """The page's Content-Security-Policy: its own style and script by hash, no more."""
    allowed = f"style-src '{_digest(css)}'; script-src '{_digest(script)}'"
    return f"default-src 'none'; {allowed}; base-uri 'none'; form-action 'none'"


def _digest(text: str) -> str:
    hashed = hashlib.sha256(text.encode()).digest()
    return f"sha256-{base64.b64encode(hashed).decode()}"


def colours(theme: Theme) -> str:
    """The theme's colours as custom properties, for light and for dark surroundings."""
    light, dark = theme.colours, {**theme.colours, **theme.group("dark")}
    night = f"@media screen and (prefers-color-scheme: dark) {{ :root {{ {_named(dark)} }} }}"
    return f":root {{ {_named(light)} }}\n{night}\n"


def _named(values: dict[str, str] | dict[str, str | float]) -> str:
    return " ".join(f"--{name.replace(' ', '-')}: {value};" for name, value in values.items())


def _symbols(views: tuple[View, ...], theme: Theme) -> Iterator[str]:
    """Each pictogram that is used, once."""
    steps = (step for view in views for part in view.parts for step in _stops(part))
    for name in sorted({"caution", *steps}):
        drawing = DRAWING.search(theme.pictogram(name))
        if drawing:
            inside = " ".join(drawing[2].split())
            yield f'<symbol id="p-{name}" viewBox="{drawing[1]}">{inside}</symbol>'


def _stops(part: ListedPart) -> Iterator[str]:
    """The names of the pictograms of a part."""
    for stop in listed_stops(part.stretches):
        yield stop.question.sign if isinstance(stop, ListedFork) else stop.sign


def _numbered(part: ListedPart) -> Iterator[ListedStep]:
    for stop in listed_stops(part.stretches):
        if isinstance(stop, ListedFork):
            yield stop.question
        elif isinstance(stop, ListedStep):
            yield stop
