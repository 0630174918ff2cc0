"""The page as a list: in every language, with and without scripts, on paper, in other colours."""

import re

import pytest

from compiler.products.page import policy
from tests.products.step_lists import LANGUAGES, bare, draft, page_of, read_page

RTL = {"ar"}
every_language = pytest.mark.parametrize("language", LANGUAGES)


@every_language
def test_one_language_at_a_time_in_its_own_direction(visit, language):
    seen = visit(place=language)
    root = seen.page.locator("html")
    assert root.get_attribute("lang") == language
    assert root.get_attribute("dir") == ("rtl" if language in RTL else "ltr")
    assert seen.page.locator(".sheet:visible").count() == 1
    assert seen.shown("h1").inner_text() == draft("airborne-room", language).protocol.title
    assert seen.page.title() == draft("airborne-room", language).protocol.title
    number, lead = (seen.shown(f".list {part}").bounding_box() for part in (".number", ".lead"))
    assert (number["x"] > lead["x"]) == (language in RTL)
    assert seen.complaints() == []


def test_the_first_language_is_shown_and_any_other_is_one_tap_away(visit):
    seen = visit()
    assert seen.shown("h1").inner_text() == "Airborne isolation room"
    chosen = [seen.page.locator(".languages a").nth(i) for i in range(5)]
    assert [link.inner_text() for link in chosen] == [
        "English",
        "español",
        "العربية",
        "简体中文",
        "हिन्दी",
    ]
    assert [link.get_attribute("lang") for link in chosen] == list(LANGUAGES)
    chosen[2].click()
    seen.settle()
    assert seen.place == "ar"
    assert chosen[2].get_attribute("aria-current") == "true"
    seen.go_back()
    assert seen.shown("h1").inner_text() == "Airborne isolation room"


def test_without_scripts_it_is_a_list_in_all_languages(visit):
    seen = visit(java_script_enabled=False)
    articles = seen.page.locator("article:visible")
    assert articles.count() == 5
    for i, language in enumerate(LANGUAGES):
        article = articles.nth(i)
        assert article.get_attribute("lang") == language
        text = bare(article.inner_text())
        protocol = draft("airborne-room", language).protocol
        for part in protocol.parts:
            assert bare(part.title) in text
            assert all(bare(step.lead) in text for step in part.steps)
    assert seen.page.locator("button:visible").count() == 0
    assert seen.page.locator(".walk:visible").count() == 0
    assert seen.page.locator(".languages a").first.get_attribute("href") == "#en"


def test_nothing_is_fetched_and_nothing_may_be(visit):
    """Besides what every visit asserts: the policy of the page, and what the browser counted."""
    seen = visit()
    assert seen.page.evaluate("performance.getEntriesByType('resource').length") == 0
    refused = seen.page.evaluate(
        """async () => {
            try { await fetch('data:text/plain,x'); return false; } catch { return true; }
        }"""
    )
    assert refused
    assert "Content Security Policy" in " ".join(seen.logged)
    seen.logged.clear()


def test_the_policy_is_that_of_the_style_and_script_in_the_page():
    html = page_of("airborne-room")
    css = re.search(r"<style>(.*?)</style>", html, re.DOTALL)[1]
    script = re.search(r"<script>(.*?)</script>", html, re.DOTALL)[1]
    assert policy(css, script).replace("'", "&#39;") in html
    assert policy(css, script) != policy(css, script + " ")


@pytest.mark.parametrize("language", ["en", "ar"])
def test_what_can_be_pressed_is_large(visit, language):
    """48 CSS pixels in the list, twice what WCAG 2.2, 2.5.8, asks for; 64 step by step."""
    for place, least in ((language, 48), (f"{language}/2", 64), (f"{language}/8", 64)):
        seen = visit(place=place)
        pressed = seen.page.locator("button:visible, a:visible, summary:visible")
        boxes = [target.bounding_box() for target in pressed.all()]
        assert len(boxes) >= 4
        assert min(min(box["width"], box["height"]) for box in boxes) >= least


@pytest.mark.parametrize("place", ["en", "ar", "hi/8", "ar/2", "zh-Hans/end"])
def test_nothing_is_wider_than_the_screen(visit, place):
    """WCAG 2.2, 1.4.10: no scrolling in two directions down to 320 CSS pixels."""
    seen = visit(place=place)
    for width in (320, 390, 820, 1280):
        seen.page.set_viewport_size({"width": width, "height": 700})
        assert seen.page.evaluate("document.documentElement.scrollWidth") <= width


def test_numbers_keep_their_order_from_right_to_left(visit):
    """Chromium's own bidirectional text (ICU): where each digit of a date and a code is drawn."""
    seen = visit(place="ar")
    for text in ("2026-11-01", "K7QD-M2XN"):
        places = seen.page.evaluate(
            """text => {
                const walker = document.createTreeWalker(
                    document.querySelector('.here .foot'), NodeFilter.SHOW_TEXT);
                for (let node = walker.nextNode(); node; node = walker.nextNode()) {
                    const start = node.data.indexOf(text);
                    if (start < 0) continue;
                    return [...text].map((_, i) => {
                        const range = document.createRange();
                        range.setStart(node, start + i);
                        range.setEnd(node, start + i + 1);
                        return range.getBoundingClientRect().left;
                    });
                }
                return [];
            }""",
            text,
        )
        assert len(places) == len(text)
        assert places == sorted(places), text


def test_on_paper_it_is_the_list_of_the_language_shown(visit):
    seen = visit(place="ar/8")
    seen.page.emulate_media(media="print")
    assert seen.shown(".list").is_visible()
    assert seen.page.locator("button:visible, nav:visible, .walk:visible").count() == 0
    assert seen.page.locator(".sheet:visible").count() == 1
    pdf = seen.page.pdf(prefer_css_page_size=True)
    assert pdf.startswith(b"%PDF")


@pytest.mark.parametrize("place", ["en", "ar/2", "zh-Hans/8", "hi/end"])
def test_in_the_dark_text_still_stands_out(visit, place):
    """The checker computes contrast by WCAG 2.2, 1.4.3, from the colours on the screen."""
    assert visit(place=place, color_scheme="dark").complaints("color-contrast") == []


def test_in_colours_of_the_readers_own_nothing_is_lost(visit):
    """CSS Color Adjustment Module Level 1, forced colours: bands keep a frame, rails a shape."""
    seen = visit(place="en", forced_colors="active")
    band = seen.shown(".band")
    assert band.evaluate("n => getComputedStyle(n).borderTopStyle") == "solid"
    styles = [
        seen.shown(f".stretch.{zone}").evaluate(
            "n => getComputedStyle(n, '::before').borderTopStyle"
        )
        for zone in ("clean", "transition", "contaminated")
    ]
    assert len(set(styles)) == 3
    assert seen.complaints() == []


def test_the_page_is_small():
    """Of the largest example with five languages; common practice, no source."""
    assert len(page_of("airborne-room").encode()) < 600_000 * 5 / 13
    assert len(read_page(page_of("airborne-room"), "en")) > 3000
