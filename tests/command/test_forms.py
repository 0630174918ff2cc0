"""The four forms of the report, as whole texts, and SARIF against its standard."""

from __future__ import annotations

import json
import re

import pytest

from compiler import __version__
from compiler.catalogue import rules
from compiler.findings import Finding, Level
from compiler.pipeline import check_texts, read_texts, validated
from compiler.report.data import json_report
from compiler.report.line import line_report
from compiler.report.sarif import sarif_report
from compiler.report.style import Style, style_for
from compiler.report.text import WIDTH, text_report
from compiler.wording.cells import cells
from tests.command.running import TOP, run_apart, run_inside, write_set

STARTER = TOP / "compiler" / "starter"


@pytest.fixture(scope="module")
def findings() -> list[Finding]:
    """The starter set with three faults: a hygiene gone, a mask moved up, a word misspelt."""
    texts = {f.name: f.read_text(encoding="utf-8") for f in STARTER.iterdir() if f.is_file()}
    text = texts["contact-droplet.md"]
    lines = text.splitlines()
    doffing = next(i for i, line in enumerate(lines) if line.startswith("# Taking off"))
    mask = next(i for i, x in enumerate(lines) if i > doffing and "remove mask" in x)
    gown = next(i for i, x in enumerate(lines) if i > doffing and "remove gown" in x)
    first, *_, last = (i for i, x in enumerate(lines) if i > doffing and "`handrub`" in x)
    lines[mask], lines[gown] = lines[gown], lines[mask]
    lines[first] = lines[first].replace("`handrub`", "`handrubb`")
    lines[last] = lines[last].replace("`handrub`", "")
    texts["contact-droplet.md"] = "\n".join(lines)
    return check_texts(texts)


@pytest.mark.parametrize("encoding", ["utf-8", "ascii"])
def test_text_for_people(findings, golden, encoding):
    style = style_for(encoding, colour=False)

    report = text_report(findings, 1, style)

    report.encode(encoding)
    golden(f"report/text-{encoding}.txt", report)


def test_no_line_is_wider_than_the_screen(findings):
    for line in text_report(findings, 1, Style()).splitlines():
        assert cells(line) <= WIDTH


def test_lines_for_editors(findings, golden):
    golden("report/line.txt", line_report(findings))


def test_data_for_programs(findings, golden):
    golden("report/data.json", json_report(findings, 1))


def test_colour_is_added_to_the_plain_text_and_changes_nothing_else(findings):
    coloured = text_report(findings, 1, style_for("utf-8", colour=True))

    assert "\x1b[" in coloured
    assert re.sub(r"\x1b\[[\d;]*m", "", coloured) == text_report(findings, 1, Style())


def test_underlines_stand_below_their_words_in_wide_scripts():
    """Cells by Unicode Standard Annex 11: East Asian Wide signs take two."""
    assert cells("洗手") == 4
    assert cells("gown") == 4
    assert cells("हाथ") == 3  # three letters of one cell; the vowel sign has its own
    assert cells("a\u0301") == 1


def test_sarif_as_the_standard_asks(findings):
    """SARIF 2.1.0, OASIS 2020: the sections are named beside the checks."""
    log = json.loads(sarif_report(findings, rules(), __version__))

    assert log["version"] == "2.1.0"  # 3.13.2
    (run,) = log["runs"]  # 3.13.4
    driver = run["tool"]["driver"]  # 3.14.6, 3.18.2
    assert driver["name"]  # 3.19.8
    identifiers = [rule["id"] for rule in driver["rules"]]  # 3.19.23, 3.49.3
    assert len(identifiers) == len(set(identifiers))
    assert run["columnKind"] == "unicodeCodePoints"  # 3.14.27
    assert len(run["results"]) == len(findings)
    for result in run["results"]:
        assert identifiers[result["ruleIndex"]] == result["ruleId"]  # 3.27.5, 3.27.6
        assert result["level"] in {"none", "note", "warning", "error"}  # 3.27.10
        assert result["message"]["text"]  # 3.27.11
        for place in [*result["locations"], *result.get("relatedLocations", [])]:
            region = place["physicalLocation"]["region"]  # 3.29.4
            start = region["startLine"], region["startColumn"]  # 3.30.5, 3.30.6
            end = region["endLine"], region["endColumn"]  # 3.30.7, 3.30.8
            assert (1, 1) <= start <= end
            assert " " not in place["physicalLocation"]["artifactLocation"]["uri"]  # 3.4.3


def test_the_data_form_is_the_contract(findings):
    data = json.loads(json_report(findings, 1))

    assert set(data) == {"findings", "protocols"}
    wanted = {"rule", "level", "message", "file", "line", "column", "answers", "steps"}
    for row in data["findings"]:
        assert wanted | {"remedy", "sources"} <= set(row)
        assert row["level"] in {level.value for level in Level}


def test_messages_state_and_only_the_remedy_advises(findings):
    for finding in findings:
        assert finding.message.endswith((".", "?"))
        assert not re.search(r"\b(should|please|try)\b", finding.message)


def test_findings_come_in_reading_order_and_none_twice(findings):
    places = [f.at.span.order for f in findings]
    said = [(f.rule.slug, f.at.span.order, f.message) for f in findings]

    assert places == sorted(places)
    assert len(said) == len(set(said))


def test_every_place_lies_in_its_source(findings):
    for finding in findings:
        for mark in (finding.at, *finding.path):
            assert 0 <= mark.span.start <= mark.span.end <= len(mark.span.source.text)


def test_the_command_prints_each_form(tmp_path, capsys):
    folder = write_set(tmp_path / "set")

    assert json.loads(run_inside(capsys, "validate", folder, "--form", "json").out)
    assert json.loads(run_inside(capsys, "validate", folder, "--form", "sarif").out)
    assert run_inside(capsys, "validate", folder, "--form", "line").out == ""
    assert run_inside(capsys, "validate", folder).out


def test_the_example_set_is_sound_in_every_language():
    """Every protocol that the project shows validates clean, translations included."""
    from compiler.pipeline import open_set
    from compiler.storage import find_sets

    for folder, files in find_sets([TOP / "protocols"]):
        assert len(files) == 4
        found = validated(open_set(folder, files))
        assert [f"{f.at.span.source.path}:{f.at.span.line} {f.message}" for f in found] == []


def test_a_set_of_texts_and_a_set_of_files_are_read_alike(tmp_path):
    folder = write_set(tmp_path / "set")
    texts = {f.name: f.read_text(encoding="utf-8") for f in folder.iterdir()}

    assert check_texts(texts) == []
    assert read_texts({}).protocols == ()


def test_the_readme_shows_what_the_checker_says(tmp_path, monkeypatch):
    """The block of findings in README.md is the real output for what the text above it does."""
    folder = write_set(tmp_path / "our-clinic")
    lines = (folder / "contact-droplet.md").read_text(encoding="utf-8").splitlines()
    start = next(i for i, line in enumerate(lines) if line.startswith("# Taking off"))
    del lines[next(i for i, line in enumerate(lines) if i > start and "`handrub`" in line)]
    (folder / "contact-droplet.md").write_text("\n".join(lines) + "\n", encoding="utf-8")

    shown = (TOP / "README.md").read_text(encoding="utf-8").partition("<!-- findings -->\n")[2]

    said = run_apart("validate", "our-clinic", cwd=tmp_path, PYTHONIOENCODING="utf-8").out
    assert shown.removeprefix("```text\n").partition("\n```\n")[0] + "\n" == said
