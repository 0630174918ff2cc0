"""The web page as a file: whole, small, safe to open; what a browser makes of it is elsewhere."""

import re
from html.parser import HTMLParser
from itertools import product

import pytest

from compiler.layout.contrast import LEAST_CONTRAST, contrast
from compiler.products.page import colours, page, policy
from compiler.products.theme import theme_named, theme_names
from tests.printing.posters import NAMES, small
from tests.products.step_lists import (
    HOSTILE,
    LANGUAGES,
    draft,
    out_of_order,
    page_of,
    read_page,
    sentences,
    written,
)

EMPTY = {
    "meta",
    "br",
    "path",
    "circle",
    "rect",
    "polygon",
    "line",
    "ellipse",
    "use",
    "polyline",
}


class _Elements(HTMLParser):
    """Every element with its attributes; and whether each that was opened is closed in turn."""

    def __init__(self, html):
        super().__init__(convert_charrefs=True)
        self.found, self.open = [], []
        self.feed(html)

    def handle_starttag(self, tag, attrs):
        self.found.append((tag, dict(attrs)))
        if tag not in EMPTY:
            self.open.append(tag)

    def handle_startendtag(self, tag, attrs):
        self.found.append((tag, dict(attrs)))

    def handle_endtag(self, tag):
        if tag not in EMPTY:
            assert self.open.pop() == tag


@pytest.mark.parametrize("name", NAMES)
def test_it_refers_to_nothing_outside_itself(name):
    """HTML Standard: the attributes by which a document fetches, links or runs something."""
    elements = _Elements(page_of(name))
    assert elements.open == []
    names = {value for _, attributes in elements.found for value in attributes.items()}
    for attribute, value in names:
        assert attribute not in {"src", "srcset", "action", "ping", "style"}, value
        assert not attribute.startswith("on")
        if attribute in {"href", "xlink:href"}:
            assert value.startswith("#")
    tags = [tag for tag, _ in elements.found]
    assert not {"link", "img", "iframe", "object", "embed", "base", "form"} & set(tags)
    assert tags.count("script") == tags.count("style") == 1
    ids = [a["id"] for _, a in elements.found if "id" in a]
    assert len(ids) == len(set(ids))


def test_each_pictogram_is_drawn_once_and_none_is_missing():
    elements = _Elements(page_of("airborne-room")).found
    drawn = [a["id"] for tag, a in elements if tag == "symbol"]
    used = {a["href"].removeprefix("#") for tag, a in elements if tag == "use"}
    assert sorted(drawn) == sorted(used)
    assert len(drawn) > 15


def test_words_of_markup_stay_words():
    order = small(HOSTILE)
    html = written(order)
    elements = _Elements(html)
    assert [tag for tag, _ in elements.found].count("script") == 1
    assert "alert" not in re.sub(r"&lt;script&gt;alert\(1\)&lt;/script&gt;", "", html)
    assert out_of_order(read_page(html, "en"), sentences(order.protocol)) == []


def test_the_policy_changes_with_what_it_allows():
    """Content Security Policy Level 3, 2.3.1: a hash source is the base64 of the digest.

    The digest of nothing at all by SHA-256 is from FIPS 180-4's example values.
    """
    assert "sha256-47DEQpj8HBSa+/TImW+5JCeuQeRkm5NMpJWZG3hSuFU=" in policy("", "x")
    assert policy("a", "b") != policy("a", "c")
    assert policy("a", "b").startswith("default-src 'none';")


def test_one_language_needs_no_switch_and_others_have_their_own_code():
    html = written(draft("rapid-entry", "en"))
    assert "<nav" not in html
    assert html.count("<article") == 1
    made = page(tuple(draft("rapid-entry", tag) for tag in LANGUAGES))
    assert list(made.files) == ["html"]
    assert made.told.startswith("en, es, ar, zh-Hans, hi; ")


def test_the_same_every_time():
    orders = tuple(draft("rapid-entry", tag) for tag in LANGUAGES)
    assert page(orders).files == page(orders).files


def test_parts_that_are_not_there_are_told():
    made = page(
        (small("# On `donning in change room`\n\n1. **A.** b `handrub`\n", parts="doffing"),)
    )
    assert made.files == {}
    assert [finding.rule.slug for finding in made.findings] == ["empty-part"]


TEXTS = [("ink", "paper"), ("ink", "shade"), ("quiet", "paper")]
TEXTS += [(zone, "paper") for zone in ("clean", "transition", "contaminated")]


@pytest.mark.parametrize(("theme", "night"), list(product(theme_names(), (0, 1))))
def test_colours_stand_out_by_day_and_by_night(theme, night):
    """WCAG 2.2, 1.4.3 for text, and so 1.4.11 for rails, from what the page itself says."""
    scheme = colours(theme_named(theme)).split("@media")[night]
    of = dict(re.findall(r"--([\w-]+): (#[0-9a-f]{6})", scheme))
    for one, other in TEXTS:
        assert contrast(of[one], of[other]) >= LEAST_CONTRAST, (one, other)
