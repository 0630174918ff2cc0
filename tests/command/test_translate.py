"""`wallward translate`: files for PO editors, how far they are, and who has reviewed them."""

from __future__ import annotations

import re
import subprocess

import pytest

from compiler.source import Source
from compiler.wording.catalogue import read_catalogue
from tests.command.running import run_inside, write_set
from tests.command.sheets import change, example_set
from tests.wording.samples import filled

WHO = "A. Name, interpreter"


@pytest.fixture
def spanish(tmp_path):
    """Two protocols of the example with their Spanish translations."""
    return example_set(tmp_path / "post")


def rows(out: str) -> dict[str, list[str]]:
    """The coverage table by language."""
    table = out[out.index("\nlanguage") + 1 :].splitlines()
    return {line.split()[0]: line.split()[1:] for line in table if line.strip()}


def po(folder, name="rapid-entry", tag="es"):
    return folder / "translations" / tag / f"{name}.po"


def test_a_new_language_starts_empty_and_the_table_says_so(tmp_path, capsys):
    folder = write_set(tmp_path / "post")
    change(folder / "clinic.yaml", "languages: [en]", "languages: [en, vi]")

    first = run_inside(capsys, "translate", folder)
    again = run_inside(capsys, "translate", folder)

    (texts, translated, marked, empty, *done) = rows(first.out)["vi"]
    assert (first.status, first.err) == (0, "")
    assert (translated, marked, empty, done) == ("0", "0", texts, ["0", "of", "2", "files"])
    assert int(texts) > 30
    assert rows(again.out) == rows(first.out)
    # GNU gettext's own check
    for file in (folder / "translations" / "vi").glob("*.po"):
        assert subprocess.run(["msgfmt", "--check", "-o", "/dev/null", file]).returncode == 0


def test_translators_see_the_picture_and_the_names(spanish, capsys):
    run_inside(capsys, "translate", spanish)
    text = po(spanish).read_text(encoding="utf-8")

    assert "#. - picture: Hands being rubbed together with handrub\n" in text
    assert "#. - glossary: gown = bata\n" in text


def test_an_edited_text_is_marked_and_not_counted(spanish, capsys):
    before = rows(run_inside(capsys, "translate", spanish).out)["es"]
    change(spanish / "rapid-entry.md", "Shout for help.", "Shout loudly for help.")

    ended = run_inside(capsys, "translate", spanish)

    after = rows(ended.out)["es"]
    assert "rapid-entry.po: 0 new, 1 changed, 0 out of use" in ended.out
    assert after[:4] == [before[0], str(int(before[1]) - 1), "1", "0"]


def test_only_the_language_asked_for(spanish, capsys):
    change(spanish / "clinic.yaml", "languages: [en, es]", "languages: [en, es, vi]")

    ended = run_inside(capsys, "translate", spanish, "--language", "vi")

    assert list(rows(ended.out)) == ["language", "vi"] or list(rows(ended.out)) == ["vi"]
    assert "/es/" not in ended.out


def test_a_review_is_recorded_and_the_next_edit_voids_it(spanish, capsys):
    ended = run_inside(
        capsys,
        "translate",
        spanish,
        "--language",
        "es",
        "--reviewed-by",
        WHO,
        "--on",
        "2026-11-01",
    )
    assert (ended.status, ended.err) == (0, "")
    assert f"rapid-entry.po: reviewed by {WHO} on 2026-11-01" in ended.out
    assert rows(ended.out)["es"][4:] == ["3", "of", "3", "files"]
    recorded = po(spanish).read_text(encoding="utf-8")
    assert re.search(r'"X-Review-Of: sha256 [0-9a-f]{16}\\n"', recorded)
    assert rows(run_inside(capsys, "translate", spanish).out)["es"][4] == "3"
    assert "review-void" not in run_inside(capsys, "validate", spanish).out

    change(po(spanish), "Pida ayuda a gritos.", "Pida ayuda.")

    told = run_inside(capsys, "validate", spanish)
    assert rows(run_inside(capsys, "translate", spanish).out)["es"][4] == "2"
    assert "review-void · worth a look" in told.out
    assert "rapid-entry.po, line 12" in told.out


def test_what_is_not_finished_cannot_be_reviewed(spanish, capsys):
    change(po(spanish), 'msgstr "Pida ayuda a gritos."', 'msgstr ""')
    before = po(spanish, "clinic").read_text(encoding="utf-8")

    ended = run_inside(
        capsys,
        "translate",
        spanish / "rapid-entry.md",
        "--language",
        "es",
        "--reviewed-by",
        WHO,
    )

    assert ended.status == 1
    assert "rapid-entry.po: no review recorded; texts that are empty or marked: 1" in ended.out
    assert WHO not in po(spanish).read_text(encoding="utf-8")
    assert WHO not in before


@pytest.mark.parametrize(
    "words",
    [
        ("--reviewed-by", WHO),
        ("--language", "es", "--reviewed-by", "somebody"),
        ("--language", "es", "--reviewed-by", "A,\nX-Generator: x"),
        ("--language", "en", "--reviewed-by", WHO),
        ("--language", "qq"),
    ],
)
def test_wrong_use(spanish, capsys, words):
    files = {p: p.read_bytes() for p in spanish.rglob("*.po")}
    ended = run_inside(capsys, "translate", spanish, *words)

    assert ended.status == 2
    assert "Traceback" not in ended.err
    assert ended.err.count("\n") <= 2
    assert {p: p.read_bytes() for p in spanish.rglob("*.po")} == files


def test_a_damaged_file_is_told_by_line_and_left_alone(spanish, capsys):
    change(po(spanish), 'msgstr "Pida ayuda a gritos."', 'msgstr "Pida ayuda a gritos.')
    text = po(spanish).read_text(encoding="utf-8")
    line = text[: text.index('msgstr "Pida ayuda a gritos.')].count("\n") + 1

    ended = run_inside(capsys, "translate", spanish)

    assert ended.status == 1
    assert "catalogue-damaged · must fix" in ended.out
    assert f"rapid-entry.po, line {line}" in ended.out
    assert po(spanish).read_text(encoding="utf-8") == text


def test_an_editors_round_trip_loses_nothing(spanish, capsys):
    """GNU gettext: msgmerge against a template, msgcat wrapping, msgattrib; then ours again."""
    run_inside(capsys, "translate", spanish)
    file = po(spanish)
    mine = file.read_text(encoding="utf-8")
    template = spanish / "new.pot"
    template.write_text(re.sub(r'(?m)^msgstr "[^"\n]+"$', 'msgstr ""', mine), encoding="utf-8")

    for words in (
        ["msgmerge", "-q", "--previous", file, template],
        ["msgcat", "--width=40", file],
        ["msgattrib", "--no-obsolete", file],
    ):
        done = subprocess.run(words, capture_output=True, check=True, encoding="utf-8")
        file.write_text(done.stdout, encoding="utf-8")
    theirs = file.read_text(encoding="utf-8")
    ended = run_inside(capsys, "translate", spanish)

    def read(text):
        entries = read_catalogue(Source("x.po", text))[0].entries.values()
        return [(e.key, e.text, e.hints, e.flags, e.notes) for e in entries]

    assert theirs != mine
    assert read(theirs) == read(mine)
    assert file.read_text(encoding="utf-8") == mine
    assert ended.status == 0


def test_filling_in_every_text_makes_a_language_complete(tmp_path, capsys):
    folder = write_set(tmp_path / "post")
    change(folder / "clinic.yaml", "languages: [en]", "languages: [en, es]")
    run_inside(capsys, "translate", folder)
    for file in (folder / "translations" / "es").glob("*.po"):
        file.write_text(filled(file.read_text(encoding="utf-8")), encoding="utf-8")

    texts, translated, *_ = rows(run_inside(capsys, "translate", folder).out)["es"]

    assert texts == translated
