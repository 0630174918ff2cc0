"""`compare` tells whose word came, went or no longer holds; and it reads real editions.

The lines are written by `wallward sign` itself, the editions by `wallward publish`, the revisions
by git.
"""

from __future__ import annotations

import datetime
import json
from pathlib import Path
from shutil import copytree

import pytest

from compiler.changes.change import REVERSED
from compiler.report.changes_html import changes_html
from compiler.report.changes_text import changes_text
from compiler.report.style import style_for
from compiler.versions.comparison import comparison
from compiler.versions.given import both_given
from tests.changes.test_inputs import git
from tests.command.running import Ended, run_inside
from tests.command.sheets import change
from tests.editions.making import LATER, PROTOCOL, published, signed, small_set

NAME = f"{PROTOCOL}.md"


@pytest.fixture
def two(tmp_path: Path) -> tuple[Path, Path]:
    """A set that reviewer A approved, and a copy of it."""
    old = small_set(tmp_path / "old")
    signed(old)
    return old, copytree(old, tmp_path / "new")


def compare(capsys, *words: object) -> Ended:
    return run_inside(capsys, "compare", *words, "--form", "json")


def told(old: Path, new: Path) -> list[tuple[str, str]]:
    found = comparison(*both_given(str(old), str(new))).changes
    back = comparison(*both_given(str(new), str(old))).changes
    kinds = sorted((c.kind, c.subject) for c in found)
    assert sorted((REVERSED[c.kind], c.subject) for c in back) == kinds
    return kinds


def test_a_sign_off_more_is_told_and_a_refusal_comes_first(two):
    old, new = two
    signed(new, "reviewer B", "refused", day=LATER, role="Ward nurse", remark="No bin")

    assert told(old, new) == [("sign-off added", "reviewer B")]
    [only] = comparison(*both_given(str(old), str(new))).changes
    assert only.sentence == (
        "reviewer B (Ward nurse, 2027-01-15) refused the text in en, with the remark “No bin”."
    )
    assert only.look_first
    assert (only.new.source.path, only.new.line) == (f"{new.as_posix()}/sign-offs.txt", 4)
    [back] = comparison(*both_given(str(new), str(old))).changes
    assert (back.kind, back.look_first) == ("sign-off dropped", False)


def test_an_approval_that_is_gone_is_looked_at_first(two):
    old, new = two
    (new / "sign-offs.txt").unlink()

    [only] = comparison(*both_given(str(old), str(new))).changes

    assert (only.kind, only.look_first) == ("sign-off dropped", True)
    assert only.sentence.startswith("No longer there: reviewer A (Infection prevention lead, ")


@pytest.mark.parametrize("kept", [True, False], ids=["kept", "not kept"])
def test_an_edit_makes_the_approval_void_and_undoing_it_valid_again(two, kept):
    old, new = two
    if not kept:
        for path in [*old.rglob("*.sha256"), *new.rglob("*.sha256")]:
            path.unlink()
    change(new / NAME, "edition: ", "edition: 7")

    assert told(old, new) == [
        ("approval now void", "reviewer A"),
        ("edition changed", "edition"),
    ]
    change(new / NAME, "edition: 7", "edition: ")
    assert told(old, new) == []


def test_an_approval_of_the_new_text_is_new_and_that_of_the_old_one_is_void(two):
    old, new = two
    change(new / NAME, "edition: ", "edition: 7")
    signed(new, day=LATER)

    assert told(old, new) == [
        ("approval now void", "reviewer A"),
        ("edition changed", "edition"),
        ("sign-off added", "reviewer A"),
    ]


def test_part_of_a_set_has_no_sign_offs(two):
    old, new = two
    change(new / NAME, "edition: ", "edition: 7")

    assert told(old, new / NAME) == [("edition changed", "edition")]
    assert told(old / NAME, new / NAME) == [("edition changed", "edition")]


def test_every_form_tells_it(two):
    old, new = two
    signed(new, "reviewer <b>", day=LATER)
    found = comparison(*both_given(str(old), str(new)))

    text = " ".join(changes_text(found, style_for("utf-8", colour=False)).split())
    assert "sign-off added" in text
    assert (
        "reviewer <b> (Infection prevention lead, 2027-01-15) approved the text in en." in text
    )
    page = changes_html(found)
    assert "reviewer &lt;b&gt;" in page
    assert "reviewer <b>" not in page


# ---- editions as `publish` writes them


def test_a_real_edition_is_the_set_that_it_was_made_from(first, capsys):
    edition, folder = first / "published" / "edition-1", first / "set"

    for words in ((edition, folder), (folder, edition), (edition, edition)):
        ended = compare(capsys, *words)
        assert (ended.status, json.loads(ended.out)["changes"]) == (0, []), ended.err


def test_a_real_edition_and_the_set_as_it_was_edited_since(first, tmp_path):
    """As OLD and as NEW: a caution more, and the approval that the edition rests on is void."""
    edition = first / "published" / "edition-1"
    folder = copytree(first / "set", tmp_path / "set")
    change(folder / NAME, "edition: ", "edition: 7")

    assert told(edition, folder) == [
        ("approval now void", "reviewer A"),
        ("edition changed", "edition"),
    ]
    [only] = [
        c
        for c in comparison(*both_given(str(edition), str(folder))).changes
        if "void" in c.kind
    ]
    assert only.old.source.path.endswith("edition-1/source/sign-offs.txt")


def test_two_editions_of_one_shelf(tmp_path, pdf):
    folder, into = small_set(tmp_path / "set"), tmp_path / "published"
    signed(folder)
    published(folder, into, pdf)
    change(folder / NAME, "edition: ", "edition: 7")
    signed(folder, "reviewer B", day=LATER)
    published(folder, into, pdf, on=LATER)

    kinds = told(into / "edition-1", into / "edition-2")

    assert ("edition changed", "edition") in kinds
    assert ("sign-off added", "reviewer B") in kinds
    assert told(into / "edition-2", folder) == []


def test_a_revision_of_a_signed_set_in_a_folder_further_down(tmp_path, capsys):
    top = tmp_path / "repository"
    folder = small_set(top / "wards" / "east" / "protocols")
    git(tmp_path, "init", "--quiet", "--initial-branch", "main", str(top))
    signed(folder, day=datetime.date(2026, 11, 1))
    git(top, "add", ".")
    git(top, "commit", "--quiet", "--message", "signed")

    assert compare(capsys, "HEAD", folder).status == 0
    signed(folder, "reviewer B")
    change(folder / NAME, "edition: ", "edition: 7")

    ended = compare(capsys, "HEAD", folder)
    assert sorted((c["kind"], c["subject"]) for c in json.loads(ended.out)["changes"]) == [
        ("approval now void", "reviewer A"),
        ("edition changed", "edition"),
        ("sign-off added", "reviewer B"),
    ]
    one = compare(capsys, "HEAD", folder / NAME)
    assert [c["kind"] for c in json.loads(one.out)["changes"]] == ["edition changed"]
