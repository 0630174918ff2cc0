"""The report says what validate and follow say, escapes what is hostile, and stays small."""

from __future__ import annotations

import datetime
import io
from html.parser import HTMLParser
from itertools import pairwise

import pikepdf
import pytest

from compiler.analysis.world import World
from compiler.cli import report as its_command
from compiler.findings import Finding
from compiler.following.steps import named_steps
from compiler.following.table import pictures
from compiler.pipeline import open_set, validated
from compiler.report.text import CAUTION
from compiler.reviewing.branches import branches
from compiler.reviewing.page import report_html
from compiler.reviewing.paper import report_pdf
from compiler.reviewing.report import Report, report_of
from compiler.reviewing.strips import drawn
from tests.printing.posters import PROTOCOLS

ON = datetime.date(2027, 6, 1)
"""Past the review date of the example, so that there is a finding."""
LARGEST = "airborne-room"


class Page(HTMLParser):
    """Elements of a page with their attributes, and its text."""

    def __init__(self, html: str) -> None:
        super().__init__()
        self.tags: list[tuple[str, dict[str, str | None]]] = []
        self.text = ""
        self.feed(html)

    def handle_starttag(self, tag, attrs):  # noqa: D102 -- of HTMLParser
        self.tags.append((tag, dict(attrs)))

    def handle_data(self, data):  # noqa: D102 -- of HTMLParser
        self.text += data


def made(folder=PROTOCOLS, on=ON) -> Report:
    return report_of(open_set(folder, [folder / f"{LARGEST}.md"]), on, ("en",))


@pytest.fixture(scope="module")
def report() -> Report:
    return made()


@pytest.fixture
def hostile(tmp_path):
    """The example with markup in its title, and without its first hand hygiene."""
    for file in PROTOCOLS.glob("*.*"):
        (tmp_path / file.name).write_bytes(file.read_bytes())
    protocol = tmp_path / f"{LARGEST}.md"
    text = protocol.read_text(encoding="utf-8")
    text = text.replace("title: Airborne isolation room", 'title: "A <script>x()</script> & b"')
    text = text.replace(
        "Clean your hands.** Rub until dry, 20 to 30 seconds. `handrub`", "Wait.**", 1
    )
    protocol.write_text(text, encoding="utf-8")
    return tmp_path


def key(finding: Finding):
    return finding.rule.slug, finding.at.span.order, finding.message


def test_findings_are_those_of_validate(report, hostile):
    for its in (report, made(hostile)):
        again = validated(its.protocol_set, on=ON)
        assert [key(f) for f in its.findings] == [key(f) for f in again] != []
        shown = Page(report_html(its)).text
        assert all(finding.message in shown for finding in its.findings)


def test_pictures_are_what_follow_tells():
    """Two ways to the same: columns and rows are turned, levels and places are not."""
    protocol_set = open_set(PROTOCOLS, [PROTOCOLS / f"{LARGEST}.md"])
    [protocol] = protocol_set.protocols
    steps = named_steps(protocol, protocol_set.clinic)
    ways, more = branches(World(protocol, protocol_set.clinic, protocol_set.kit), steps)
    assert len(ways) > 2
    assert more == 0
    around = {"": "  ", "kept": "()", "in the hand": "[]"}
    for way in ways:
        mine = drawn(way, steps)
        for strip, picture in zip(mine.strips, pictures(way.walk, steps), strict=True):
            rows = {row.name: row.signs() for row in strip.rows}
            for at, name in enumerate(picture.columns):
                told = [line.signs[at] for line in picture.lines]
                assert [(s.level, s.around) if s else (-1, "  ") for s in told] == [
                    (level, around[where]) for level, where in rows[name]
                ], (way.title, name)


def test_every_answer_has_a_picture(report):
    answers = report.protocol_set.answers
    given = {pair for picture in report.pictures for pair in picture.answers}
    assert given == {(question, a) for question, its in answers.items() for a in its}


def test_every_stretch_tells_why(report):
    for picture in report.pictures:
        for strip in picture.strips:
            for row in strip.rows:
                assert sum(run.steps for run in row.runs) == len(strip.columns)
                assert all(run.why for run in row.runs if run.level >= 0)
                for run, then in pairwise(row.runs):
                    assert (run.level, run.where) != (then.level, then.where)


def test_hostile_words_stay_words(hostile):
    page = Page(report_html(made(hostile)))
    assert "A <script>x()</script> & b" in page.text
    assert [tag for tag, _ in page.tags].count("script") == 1


def test_it_reads_without_scripts_and_without_network(report):
    html = report_html(report)
    page = Page(html)
    outside = ("src", "href", "action", "srcset")
    assert all(
        (its.get(name) or "#").startswith("#") for _, its in page.tags for name in outside
    )
    assert not any(
        name.startswith("on") or name == "style" for _, its in page.tags for name in its
    )
    assert all(run.why in page.text for run in report.pictures[0].strips[0].rows[5].runs)
    assert CAUTION in page.text
    # the promise is of the largest example
    assert len(html.encode()) <= 600_000


def test_the_pdf_has_tags_a_title_and_a_language(report):
    pdf, findings = report_pdf(report)
    assert findings == ()
    with pikepdf.open(io.BytesIO(pdf)) as read:
        root = read.Root
        assert bool(root.MarkInfo.Marked)
        assert str(root.Lang) == "en"
        assert str(read.docinfo.Title) == "Review report: Airborne isolation room"
        assert root.ViewerPreferences.DisplayDocTitle


def test_the_command_writes_and_tells(tmp_path, capsys):
    words = [str(PROTOCOLS / f"{LARGEST}.md"), "--into", str(tmp_path), "--form", "html"]
    words += ["--on", "2026-11-25", "--language", "en", "--since", str(PROTOCOLS)]
    status = its_command.command.main(words, standalone_mode=False)
    assert status == 0
    [file] = tmp_path.iterdir()
    assert file.name == f"{LARGEST}-report.html"
    assert file.as_posix() in capsys.readouterr().out
