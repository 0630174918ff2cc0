"""`compare` for people, as data and as a page: golden files, widths, escaping, accessibility.

There is no outside source for the wording. The page is held against what the HTML standard
(WHATWG, sections 4.2.5.3, 4.3.11 and 13.1) and WCAG 2.2 (1.3.1, 1.4.1, 3.1.1, 3.1.2) ask.
"""

from __future__ import annotations

import itertools
import json
import re
from html.parser import HTMLParser

import pytest

from compiler.changes.change import GROUPS, Group
from compiler.changes.sides import Comparison
from compiler.report.changes_data import changes_data
from compiler.report.changes_html import changes_html
from compiler.report.changes_text import CAUTION, changes_text
from compiler.report.style import style_for
from compiler.report.text import WIDTH
from compiler.wording.cells import cells
from tests.changes.changing import compared
from tests.changes.rooms import FILES, ROOM, edited
from tests.command.running import EXAMPLE, run_inside

PLAIN = style_for("utf-8", colour=False)
VOID = {"meta", "br", "link", "hr", "img", "input"}


def realistic() -> Comparison:
    """The airborne-room protocol of the example as somebody may revise it."""
    before = {p.name: p.read_text(encoding="utf-8") for p in EXAMPLE.iterdir() if p.suffix in {".md", ".yaml"} and p.name != "README.md"}  # fmt: skip
    before["clinic.yaml"] = before["clinic.yaml"].replace("[en, es, ar, zh-Hans, hi]", "[en]")
    after = dict(before)
    for name, old, new in REVISED:
        assert after[name].count(old) >= 1, old
        after[name] = after[name].replace(old, new, 1)
    return compared(before, after)


APRON = "5. **Put on the apron.** Tie it at the neck, then behind your waist. `wear apron from apron hook`\n"
REVISED = [
    ("airborne-room.md", "edition: 1", "edition: 2"),
    ("airborne-room.md", "   > Do not wear one that already has five dates.\n", ""),
    ("airborne-room.md", APRON, ""),
    ("airborne-room.md", "4. **Put on the coverall.**", f"{APRON}4. **Put on the coverall.**"),
    ("airborne-room.md", "     3. **Clean your hands.** Rub until dry, 20 to 30 seconds. `handrub`\n", ""),
    ("airborne-room.md", "Wipe the inside, then the outside. Hang them up wet.", "Wipe them all over and hang them up wet."),
    ("airborne-room.md", "Rub until dry, 20 to 30 seconds. `handrub on gloves`", "Rub until dry, 10 to 15 seconds. `handrub on gloves`"),
    ("airborne-room.md", "Use the waste bin. `remove respirator by straps` `discard respirator in waste bin`", "Use the paper bag. `remove respirator by straps` `keep respirator in paper bag`"),
    ("kit.yaml", "rest: 5 days, at most: 5 wearings", "rest: 3 days, at most: 8 wearings"),
]  # fmt: skip


def test_a_realistic_revision_as_text(golden):
    golden("changes/airborne-room.txt", changes_text(realistic(), PLAIN))


def test_a_realistic_revision_as_data(golden):
    """A contract for other programs."""
    golden("changes/airborne-room.json", changes_data(realistic()))


def test_a_realistic_revision_as_a_page(golden):
    golden("changes/airborne-room.html", changes_html(realistic()))


def test_the_data_has_the_keys_that_are_promised():
    whole = json.loads(changes_data(realistic()))

    assert list(whole) == ["old", "new", "changes", "not compared", "protocols"]
    for change in whole["changes"]:
        assert list(change) == [
            *("group", "kind", "message", "subject", "place", "look first", "old", "new"),
            *("was", "now", "language", "details"),
        ]
        assert change["group"] == GROUPS[change["kind"]].value
        assert change["message"].endswith(".")
        for place in filter(None, (change["old"], change["new"])):
            assert list(place) == ["file", "line", "column"]
            assert place["line"] > 0
        assert change["old"] or change["new"]
    groups = [change["group"] for change in whole["changes"]]
    assert groups == sorted(groups, key=[group.value for group in Group].index)


@pytest.mark.parametrize("encoding", ["utf-8", "ascii"])
def test_no_line_of_text_is_wider_than_the_screen(encoding):
    wide = edited("room.md", ("Tie back your hair.", f"脱下手套{'后' * 90} {'w' * 200} cap."))
    for told in (realistic(), compared(FILES, wide)):
        said = changes_text(told, style_for(encoding, colour=False))

        assert [x for x in said.splitlines() if cells(x) > WIDTH] == []
        assert " ".join(CAUTION.split()) in " ".join(said.split())
        assert said.endswith("\n")
        assert not said.endswith("\n\n")


def test_colour_only_adds_to_what_is_said():
    told = realistic()
    coloured = changes_text(told, style_for("utf-8", colour=True))

    assert "\x1b[" in coloured
    assert re.sub(r"\x1b\[[0-9;]*m", "", coloured) == changes_text(told, PLAIN)


def test_nothing_changed_is_said_in_every_form(capsys):
    text = run_inside(capsys, "compare", EXAMPLE, EXAMPLE)
    data = run_inside(capsys, "compare", EXAMPLE, EXAMPLE, "--form", "json")
    page = run_inside(capsys, "compare", EXAMPLE, EXAMPLE, "--form", "html")

    assert [ended.status for ended in (text, data, page)] == [0, 0, 0]
    assert text.out.startswith("Nothing changed in 4 protocols between ")
    assert json.loads(data.out)["changes"] == []
    assert "Nothing changed in 4 protocols" in page.out


# ---- the page


class Page(HTMLParser):
    """Collects what a page is made of, and refuses tags that do not close."""

    def __init__(self, text: str) -> None:
        super().__init__()
        self.open: list[str] = []
        self.tags: list[tuple[str, dict[str, str | None]]] = []
        self.words: list[str] = []
        self.feed(text)
        self.close()
        assert self.open == []

    def handle_starttag(self, tag, attrs):  # noqa: D102 -- named by its parent
        self.tags.append((tag, dict(attrs)))
        if tag not in VOID:
            self.open.append(tag)

    def handle_endtag(self, tag):  # noqa: D102 -- named by its parent
        assert self.open.pop() == tag

    def handle_data(self, data):  # noqa: D102 -- named by its parent
        if "style" not in self.open:
            self.words.append(data)

    @property
    def said(self) -> str:
        """All words of the page."""
        return " ".join(" ".join(self.words).split())


def test_the_page_stands_alone_and_can_be_read_by_anybody():
    text = changes_html(realistic())
    page = Page(text)

    names = [tag for tag, _ in page.tags]
    assert text.startswith('<!DOCTYPE html>\n<html lang="en">')
    assert not {"script", "link", "img", "iframe", "object", "form"} & set(names)
    assert not re.search(r"url\(|@import|https?:|javascript:| on\w+=", text)
    assert names.count("h1") == names.count("main") == names.count("title") == 1
    headings = [int(name[1]) for name in names if re.fullmatch("h[1-6]", name)]
    assert all(later - first <= 1 for first, later in itertools.pairwise(headings))
    identities = [a["id"] for _, a in page.tags if "id" in a]
    assert len(identities) == len(set(identities))
    labels = {a["aria-labelledby"] for _, a in page.tags if "aria-labelledby" in a}
    assert labels == set(identities)
    assert all(a.get("lang") for tag, a in page.tags if tag == "dd")
    assert CAUTION in page.said


def test_what_is_told_is_the_same_in_all_forms():
    told = realistic()
    page = Page(changes_html(told)).said
    text = " ".join(changes_text(told, PLAIN).split())

    for change in told.changes:
        sentence = " ".join(change.sentence.split())
        assert sentence in page
        assert sentence in text
    assert page.count("look first") == sum(c.look_first for c in told.changes)


HOSTILE = "<script>alert(1)</script> & \"quoted\" 'so' </style><b>"


def test_hostile_words_stay_words():
    """Markup in a protocol is refused by its reader; in names and values it is only text."""
    text = ROOM.replace(
        "owner: Infection prevention lead", f"owner: '{HOSTILE.replace(chr(39), chr(39) * 2)}'"
    )
    clinic = FILES["clinic.yaml"].replace("extension 214", HOSTILE.replace(": ", " "))
    told = compared(FILES, {**FILES, "room.md": text, "clinic.yaml": clinic})
    named = Comparison(
        HOSTILE, "\x1b[31m\u202enew", told.changes, told.not_built, 1, '"><script>'
    )

    page = Page(changes_html(named))

    assert "script" not in [tag for tag, _ in page.tags]
    assert page.said.count(HOSTILE) >= 2
    assert "\x1b" not in changes_html(named)
    assert "\u202e" not in changes_html(named)


def test_a_translation_is_marked_with_its_language():
    po = 'msgid ""\nmsgstr "Language: ar\\n"\n\nmsgctxt "lead"\nmsgid "Go in."\nmsgstr "{}"\n'
    before, after = (
        {**FILES, "ar/room.po": po.format(word)} for word in ("ادخل.", "ادخل الآن.")
    )

    page = Page(changes_html(compared(before, after)))

    assert {"lang": "ar", "dir": "auto"} in [attributes for _, attributes in page.tags]
