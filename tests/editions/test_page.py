"""The page of an edition: well-formed, closed to the network, every code an anchor.

html.parser of Python reads it apart from the template. In a browser it is tried in
`tests/browser/test_editions.py`.
"""

from __future__ import annotations

from dataclasses import replace
from html.parser import HTMLParser
from urllib.parse import unquote

import pytest

from compiler.editions.pages import EditionPage, Past
from compiler.editions.record import Signer, Tongue, read_record
from tests.editions.shelves import record_of

ARABIC_FIRST = (Tongue("ar", "العربية", "rtl"), Tongue("en", "English", "ltr"))
VOID = {"meta", "link", "br"}


class Read(HTMLParser):
    """Elements with their attributes, and whether all were closed in order."""

    def __init__(self, html: str) -> None:
        super().__init__()
        self.elements: list[tuple[str, dict[str, str | None]]] = []
        self.open: list[str] = []
        self.text = ""
        self.feed(html)
        assert self.open == []

    def handle_starttag(self, tag, attrs):
        """Opens an element."""
        names = [name for name, _ in attrs]
        assert len(names) == len(set(names)), (tag, names)
        self.elements.append((tag, dict(attrs)))
        if tag not in VOID:
            self.open.append(tag)

    def handle_endtag(self, tag):
        """Closes the last one."""
        assert self.open.pop() == tag

    def handle_data(self, data):
        """Gathers what is read."""
        self.text += data

    def all(self, name: str) -> list[str]:
        """Every value of an attribute."""
        return [value for _, each in self.elements for n, value in each.items() if n == name]


def page(now, past=None):
    return Read(EditionPage(now, past, "default").html())


@pytest.fixture
def two():
    before, now = record_of(1, ["a", "b"]), record_of(2, ["a2", "b"])
    return before, now, Past(before, ((1, before.published),), (("34679ACD", 1),))


def test_every_sheet_of_the_edition_is_linked_and_every_code_is_an_anchor(two):
    before, now, past = two
    read = page(now, past)
    ids = read.all("id")

    assert len(ids) == len(set(ids))
    assert set(now.codes) <= set(ids)
    assert set(before.codes) <= set(ids)
    assert "34679ACD" in ids
    links = {unquote(link) for link in read.all("href")}
    for sheet in now.sheets:
        assert {f"edition-2/{file.name}" for file in sheet.files} <= links
        assert {shown.link for shown in sheet.shown} <= links
    assert {link.removeprefix("#") for link in links if link.startswith("#")} <= set(ids)
    assert {"edition-2/print-shop.zip", "edition-2/edition.json"} <= links
    assert "edition-1/index.html" in links


def test_the_qr_codes_of_a_real_edition_lead_to_their_own_lines(first):
    """A fragment leads to the element of that id (WHATWG HTML, 7.4.6.3), without a program."""
    folder = first / "published"
    record = read_record(folder / "edition-1" / "edition.json")
    ids = Read((folder / "index.html").read_text(encoding="utf-8")).all("id")

    assert record.codes
    for code, (_, shown) in record.codes.items():
        address, _, fragment = shown.link.partition("#")
        assert address == "https://tern-island.example/wall/"
        assert fragment == code
        assert ids.count(fragment) == 1


def test_what_must_come_off_the_walls_leads_to_the_new_sheet(two):
    before, now, past = two
    read = page(now, past)
    shown = read.text.split("Take off the walls")[-1]

    for code in before.codes:
        gone = code not in now.codes
        assert (f"{code[:4]} {code[4:]}" in shown) == gone, code
    assert shown.count("New sheet") == 4


def test_the_page_in_the_folder_of_an_edition_leads_to_the_current_one(two):
    _, now, _ = two
    read = page(now)
    links = read.all("href")

    assert "../index.html" in links
    assert "This edition is current." not in read.text
    assert not [value for value in read.all("name") if value == "wallward-edition"]
    assert all(not link.startswith("edition-") for link in links if link != "edition.json")


def test_it_has_no_program_and_loads_nothing(two):
    read = page(two[1], two[2])

    tags = {tag for tag, _ in read.elements}
    assert not tags & {"script", "img", "iframe", "object", "embed", "form", "base", "video"}
    assert [each["href"] for tag, each in read.elements if tag == "link"] == ["data:,"]
    policy = [value for value in read.all("content") if value and "default-src" in value]
    assert policy == ["default-src 'none'; style-src 'unsafe-inline'; img-src data:"]
    assert not [n for _, each in read.elements for n in each if n.startswith("on")]


def test_hostile_words_stay_words():
    """A title, a name, a remark or an address cannot become markup or a program."""
    evil = "</title><script>alert(1)</script>\"'><img src=x onerror=alert(1)>"
    now = record_of(1, ["a"], title=evil)
    shown = tuple(replace(s, link=f"javascript:{evil}") for s in now.sheets[0].shown)
    sheets = (
        replace(now.sheets[0], shown=shown, protocol=f"protocol-0{evil}"),
        *now.sheets[1:],
    )
    now = replace(
        now,
        clinic=evil,
        contact=evil,
        sheets=sheets,
        titles={f"protocol-0{evil}": evil, "protocol-0": evil},
        sign_offs=(Signer("2026-12-01", evil, evil, ("en",), "none", evil),),
    )

    read = page(now, Past())

    tags = {tag for tag, _ in read.elements}
    assert not tags & {"script", "img"}
    assert not [link for link in read.all("href") if link.startswith("javascript")]
    assert read.text.count("alert(1)") > 10


def test_a_clinic_whose_first_language_is_arabic_reads_from_the_right():
    now = record_of(1, ["a"], languages=ARABIC_FIRST)
    tag, attributes = page(now, Past()).elements[0]

    assert (tag, attributes) == ("html", {"lang": "ar", "dir": "rtl"})
