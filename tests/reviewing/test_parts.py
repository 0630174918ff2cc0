"""Each part of the report is there and tells what another command tells: held against them.

`validate --form json`, `compare --form json`, `translate` and `sign` are run as a person would.
"""

from __future__ import annotations

import datetime
import io
import json
import os
import re
import subprocess
from collections.abc import Callable
from html.parser import HTMLParser
from pathlib import Path
from shutil import copytree

import pypdfium2
import pytest

from compiler.cli import report as its_command
from compiler.pipeline import open_set
from compiler.products.sheet import CAUTION as FOLLOW_POLICY
from compiler.report.text import CAUTION
from compiler.reviewing.page import gathered, report_html
from compiler.reviewing.paper import report_pdf
from compiler.reviewing.report import report_of
from tests.command.running import run_inside
from tests.command.sheets import change, example_set
from tests.editions.making import DAY, LATER, signed
from tests.reviewing.busy import HOSTILE, NAME, before_and_after


class Parts(HTMLParser):
    """The words of each section, by the id of its heading; and the cells of its tables."""

    def __init__(self, html: str) -> None:
        super().__init__()
        self.now, self.words = "", {"": ""}
        self.rows: dict[str, list[list[str]]] = {}
        self.tags: set[str] = set()
        self.quiet = False
        self.feed(html)

    def handle_starttag(self, tag, attrs):
        """A section begins at its heading."""
        self.tags.add(tag)
        self.quiet = tag in ("style", "script")
        if tag == "h2":
            self.now = dict(attrs)["id"] or ""
            self.words[self.now], self.rows[self.now] = "", []
        if tag == "tr" and self.now:
            self.rows[self.now].append([])
        if tag in ("td", "th") and self.now:
            self.rows[self.now][-1].append("")

    def handle_data(self, data):
        """Words, without those of style and script."""
        if not self.quiet:
            self.words[self.now] += data
            if self.rows.get(self.now) and self.rows[self.now][-1]:
                self.rows[self.now][-1][-1] += data

    def said(self, part: str) -> str:
        """The words of a part, spaces as one."""
        return " ".join(self.words[part].split())


@pytest.fixture(scope="module")
def work(tmp_path_factory) -> Path:
    return before_and_after(tmp_path_factory.mktemp("report"))


@pytest.fixture(scope="module")
def read(work) -> Callable[..., Parts]:
    """The report, made by the command."""

    def report(folder: str = "new", *words: object) -> Parts:
        into = work / "made"
        told = (work / folder / f"{NAME}.md", "--into", into, "--form", "html", *words)
        its_command.command.main([*map(str, told)], standalone_mode=False)
        return Parts((into / f"{NAME}-report.html").read_text(encoding="utf-8"))

    return report


@pytest.fixture(scope="module")
def whole(read, work) -> Parts:
    return read("new", "--since", work / "old" / f"{NAME}.md", "--on", "2027-06-01")


def test_all_parts_are_there_with_the_cautions(whole):
    assert list(whole.words)[1:] == [
        *("changes", "findings", "picture", "languages", "legibility", "waivers", "signed"),
        "sources",
    ]
    assert all(whole.said(part) for part in whole.words)
    for caution in (CAUTION, FOLLOW_POLICY):
        assert caution in whole.said("")
        assert caution in whole.said("sources")  # the foot


def test_what_changed_is_what_compare_tells(whole, work, capsys):
    words = (work / "old" / f"{NAME}.md", work / "new" / f"{NAME}.md", "--form", "json")
    ended = run_inside(capsys, "compare", *words)
    changes = json.loads(ended.out)["changes"]
    said = whole.said("changes")

    assert len(changes) > 4
    for each in changes:
        assert " ".join(each["message"].split()) in said
        assert each["kind"] in said
        for text in (each["was"], each["now"]):
            assert " ".join(text.split()) in said
    assert said.count("look first") == len(
        {(c["kind"], c["message"]) for c in changes if c["look first"]}
    )
    assert said.index("caution dropped") < said.index("step reworded")


def test_findings_are_those_of_validate_with_the_shortest_way(whole, work, capsys):
    words = (work / "new" / f"{NAME}.md", "--form", "json", "--on", "2027-06-01")
    findings = json.loads(run_inside(capsys, "validate", *words).out)["findings"]
    said = whole.said("findings")

    assert {f["level"] for f in findings} >= {"must fix", "should fix"}
    for each in findings:
        assert " ".join(each["message"].split()) in said
        assert f"{each['file']}, line {each['line']}" in said
        assert " ".join(each["remedy"].split()) in said
        for question, answer in each["answers"].items():
            assert f"{question}: {answer}" in said
        for step in each["steps"]:
            assert f"line {step['line']}" in said
    with_a_way = [f for f in findings if len(f["steps"]) > 1 or f["answers"]]
    assert said.count("The shortest way to it") >= len(with_a_way) > 0


def test_what_must_be_fixed_comes_first_and_many_of_one_kind_are_told_together(work):
    folder = work / "new"
    report = report_of(open_set(folder, [folder / f"{NAME}.md"]), LATER)
    groups = gathered(report.findings)

    assert sorted(map(id, report.findings)) == sorted(id(f) for g in groups for f in g)
    levels = [group[0].rule.level.name for group in groups]
    assert levels == sorted(levels, key=["MUST", "SHOULD", "MAY"].index)
    assert all(len({f.rule for f in group}) == 1 for group in groups)
    must = [g for g in groups if g[0].rule.level.name == "MUST"]
    # what was proved of the steps stands before the texts that are not translated
    slugs = [g[0].rule.slug for g in must]
    assert slugs.index("hand-hygiene-skipped") < slugs.index("translation-missing")
    assert len(must[-1]) >= 3
    assert not any(f.path or f.answers for g in groups if len(g) > 1 for f in g)


def test_coverage_is_what_gettext_counts(whole, work, tmp_path, capsys):
    """By `msgfmt --statistics` of GNU gettext, once the files were brought up to date."""
    folder = copytree(work / "new", tmp_path / "set")
    run_inside(capsys, "translate", folder, day="")
    rows = {row[0].split()[0]: row for row in whole.rows["languages"][1:]}

    assert list(rows) == ["en", "es", "ar"]
    assert rows["en"][1] == "written in it"
    for tag in ("es", "ar"):
        counts = [counted(folder / "translations" / tag / f"{n}.po") for n in ("clinic", NAME)]
        translated, marked, empty = map(sum, zip(*counts, strict=True))
        assert marked > 0
        assert rows[tag][1:4] == [
            f"{translated} of {translated + marked + empty}",
            *(str(marked), str(empty)),
        ]
        assert f"{NAME}.po: not reviewed" in rows[tag][4]
    assert "Flesch-Kincaid" in rows["en"][2]
    assert "Szigriszt-Pazos" in rows["es"][5]


def counted(path: Path) -> tuple[int, int, int]:
    """Texts translated, marked and empty."""
    words = ["msgfmt", "--statistics", "--output-file", "/dev/null", path]
    environment = {**os.environ, "LC_ALL": "C"}
    done = subprocess.run(words, check=True, capture_output=True, text=True, env=environment)
    found = dict.fromkeys(("translated", "fuzzy", "untranslated"), 0)
    found |= {kind: int(n) for n, kind in re.findall(r"(\d+) (\w+)", done.stderr)}
    return found["translated"], found["fuzzy"], found["untranslated"]


def test_waivers_and_sources_are_named(whole):
    assert "first-hand-hygiene-missing: Read aloud by the observer" in whole.said("waivers")
    assert "hand-hygiene-skipped" in whole.said("sources")
    assert "Winnipeg" in whole.said("sources")


def test_sign_offs_say_who_and_what_they_still_cover(whole, read):
    """The same set before and after the edits, and on days before and after a sign-off."""
    header, first, second = whole.rows["signed"]
    assert header[:6] == ["Reviewer", "Role", "Date", "Verdict", "Languages", "Does it count?"]
    assert first[:5] == [
        "reviewer A",
        "Infection prevention lead",
        "2026-12-01",
        "approved",
        "en, es",
    ]
    assert first[5] == f"no: void: {NAME}.md was changed, kit.yaml was changed"
    assert first[6] == "Seen at night"
    assert second[:5] == [HOSTILE, "Ward nurse", "2027-01-15", "refused", "en"]
    assert second[5] == "yes: covers just this text"
    assert "img" not in whole.tags
    assert "Approved as it is now: in no language. Not approved: en, es, ar." in whole.said(
        "signed"
    )

    before = read("new", "--on", "2027-01-14")
    assert (
        before.rows["signed"][2][5]
        == "no: covers this text, and does not count before 2027-01-15"
    )
    old = read("old", "--on", "2026-12-02")
    assert old.rows["signed"][1][5] == "yes: covers just this text"
    assert "Approved as it is now: en, es. Not approved: ar." in old.said("signed")


def test_two_people_and_the_newest_word_and_what_is_not_kept(work, tmp_path, capsys):
    folder = copytree(work / "old", tmp_path / "set")
    change(folder / "clinic.yaml", "paper:", "sign-offs: {reviewers: 2}\npaper:")
    signed(folder)
    signed(folder, "Reviewer  a", "refused", day=DAY + datetime.timedelta(1))
    signed(folder, "reviewer A", day=DAY + datetime.timedelta(2))
    signed(folder, "reviewer B", day=DAY)
    for path in (folder / "sign-offs").glob("*.sha256"):
        path.unlink()
    text = (folder / "sign-offs.txt").read_text("utf-8")
    (folder / "sign-offs.txt").write_text(f"{text}not a line\n", "utf-8")

    run_inside(
        *(capsys, "report", folder / f"{NAME}.md", "--into", tmp_path, "--form", "html"),
        *("--on", "2027-01-01"),
        day="",
    )

    found = Parts((tmp_path / f"{NAME}-report.html").read_text("utf-8"))
    assert [row[5].partition(":")[0] for row in found.rows["signed"][1:]] == [
        *("no", "no", "no", "yes", "yes"),
    ]
    gone, *_ = found.rows["signed"][1:]
    assert gone[5].endswith("what was signed is no longer kept")
    assert "2 different people must approve each language" in found.said("signed")
    assert "Approved as it is now: en, es, ar." in found.said("signed")
    assert "1 line of sign-offs.txt cannot be read and does not count" in found.said("signed")


def test_another_protocol_that_cannot_be_read_does_not_stop_the_report(work, tmp_path, capsys):
    folder = copytree(work / "old", tmp_path / "set")
    (folder / "rapid-entry.md").write_bytes(b"\xff\xfe")

    ended = run_inside(
        *(capsys, "report", folder / f"{NAME}.md", "--into", tmp_path, "--form", "html"),
        *("--on", "2026-12-02"),
        day="",
    )

    assert "rapid-entry.md" not in ended.err
    found = Parts((tmp_path / f"{NAME}-report.html").read_text("utf-8"))
    assert "They cannot be told: " in found.said("signed")
    assert "rapid-entry.md" in found.said("signed")


def test_nobody_has_signed(tmp_path, capsys):
    folder = example_set(tmp_path / "set", ("rapid-entry",), ("en",))
    run_inside(
        *(capsys, "report", folder / "rapid-entry.md", "--into", tmp_path, "--form", "html"),
        *("--on", "2026-12-02"),
        day="",
    )
    found = Parts((tmp_path / "rapid-entry-report.html").read_text("utf-8"))
    assert "Nobody has signed the set off" in found.said("signed")
    assert "No older version was named." in found.said("changes")
    assert "Nothing is waived." in found.said("waivers")


def test_the_pdf_says_what_the_page_says(work):
    """Read back by pdfium: each part, every finding, who signed; no buttons, no script."""
    folder = work / "new"
    report = report_of(open_set(folder, [folder / f"{NAME}.md"]), LATER)
    pdf, blocked = report_pdf(report)
    assert blocked == ()
    with pypdfium2.PdfDocument(io.BytesIO(pdf)) as read:
        pages = [page.get_textpage().get_text_range() for page in read]
    text = "".join(" ".join(pages).split())
    for heading in re.findall(r'<h2 id="[a-z]+">([^<]+)<', report_html(report)):
        assert "".join(heading.split()) in text
    for found in report.findings:
        if found.message.isascii():
            assert "".join(found.message.split()) in text.replace("\u2019", "'")
    assert "reviewerA" in text
    assert "".join(HOSTILE.split()) in text
    for page in pages:
        assert "".join(FOLLOW_POLICY.split()) in "".join(page.split())
