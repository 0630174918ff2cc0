"""Quotation marks as a browser sets them: Chromium has a table of its own, made from CLDR."""

from __future__ import annotations

import pypdfium2

from compiler.model.languages import SUPPORTED
from compiler.wording.languages import language

NEWER = {"es": "«x»"}
"""Where CLDR has changed since Chromium took its table: there the browser has “x”."""


def test_quotation_marks_are_those_that_a_browser_sets(browser):
    """HTML, `q`: the browser makes the marks by the language; its print shows which."""
    quotes = "".join(f'<p lang="{tag}"><q>x</q></p>' for tag in SUPPORTED)
    page = browser.new_page()
    page.set_content(quotes)
    document = pypdfium2.PdfDocument(page.pdf())
    set_there = document[0].get_textpage().get_text_range().split()
    page.close()

    ours = {tag: "".join(language(tag).quoted("x").split()) for tag in SUPPORTED}
    theirs = dict(zip(SUPPORTED, set_there, strict=True))
    differ = {tag: ours[tag] for tag in SUPPORTED if ours[tag] != theirs[tag]}
    assert differ == NEWER
