"""Keeping: dates at their edges, and the day that comes from the command line.

What a controlled paper needs (an owner, an edition, a date of review) and how long a review may
wait are common practice without a source. The calendar is Python's own (ISO 8601).
"""

from __future__ import annotations

import datetime

import pytest

from compiler.findings import Level
from compiler.manual import READ_ON
from tests.command.running import run_inside, write_set
from tests.rules.texts import PROTOCOL, slugs, told

DAY = datetime.date(2027, 1, 15)
VALID, REVIEW = "valid from: 2026-11-01", "review by: 2027-11-01"


def test_the_starter_is_kept_up_to_its_last_day():
    """Its dates: valid from 1 November 2026, review by 1 November 2027."""
    assert slugs(on=datetime.date(2026, 10, 31)) == ["valid-only-later"]
    assert slugs(on=datetime.date(2026, 11, 1)) == []
    assert slugs(on=datetime.date(2027, 11, 1)) == []
    assert slugs(on=datetime.date(2027, 11, 2)) == ["review-overdue"]


def test_without_a_day_nothing_is_said_of_keeping():
    assert slugs(("owner: Infection prevention lead\n", ""), (REVIEW, "")) == []


def test_what_is_shown_is_the_line_to_change():
    (finding,) = told(on=datetime.date(2028, 2, 29))

    assert finding.at.span.text == REVIEW
    assert "120 days" in finding.message  # 1 November 2027 to 29 February 2028
    assert finding.rule.level is Level.SHOULD


@pytest.mark.parametrize(
    ("line", "slug"),
    [
        ("owner: Infection prevention lead\n", "owner-missing"),
        ("edition: 1\n", "edition-missing"),
        (f"{VALID}\n", "valid-from-missing"),
        (f"{REVIEW}\n", "review-date-missing"),
    ],
)
def test_what_a_sheet_needs_at_its_foot(line, slug):
    assert slugs((line, ""), on=DAY) == [slug]


def test_an_unreadable_date_is_told_once():
    assert slugs((REVIEW, "review by: 2027-02-30"), on=DAY) == ["wrong-value"]
    assert slugs((VALID, "valid from: 2026-02-30"), on=DAY) == ["wrong-value"]


@pytest.mark.parametrize(
    ("valid", "review", "found"),
    [
        ("2026-11-01", "2029-11-01", []),
        ("2026-11-01", "2029-11-02", ["review-too-far"]),
        ("2024-02-29", "2027-03-01", []),
        ("2024-02-29", "2027-03-02", ["review-too-far"]),
        ("2026-11-01", "9999-12-31", ["review-too-far"]),
        ("9998-01-01", "9999-12-31", ["valid-only-later"]),
    ],
)
def test_three_years_to_a_review_raise_no_question(valid, review, found):
    changes = (VALID, f"valid from: {valid}"), (REVIEW, f"review by: {review}")

    assert slugs(*changes, on=DAY) == found


def test_without_a_first_day_the_years_are_counted_from_the_day_asked():
    far = (f"{VALID}\n", ""), (REVIEW, "review by: 2030-01-16")

    assert slugs(*far, on=DAY) == ["valid-from-missing", "review-too-far"]
    assert slugs(*far, on=DAY + datetime.timedelta(days=1)) == ["valid-from-missing"]


def test_keys_written_in_quotation_marks_are_pointed_at_by_the_title():
    (finding,) = told((REVIEW, '"review by": 2027-01-01'), on=DAY)

    assert finding.rule.slug == "review-overdue"
    assert finding.at.span.text == "Contact and droplet precautions"


# ---- the command


def test_the_day_is_given_on_the_command_line(tmp_path, capsys):
    folder = write_set(tmp_path / "set")
    words = ("validate", folder, "--form", "line", "--on")

    before = run_inside(capsys, *words, "2027-11-01")
    after = run_inside(capsys, *words, "2027-11-02")

    assert before.out == ""
    assert "(review-overdue)" in after.out
    assert before.status == after.status == 0


def test_without_a_day_it_is_today(tmp_path, capsys):
    """True on every day after 2001, and before 9000."""
    past = PROTOCOL.replace(VALID, "valid from: 2001-01-01").replace(
        REVIEW, "review by: 2002-01-01"
    )
    folder = write_set(tmp_path / "past", contact_droplet__md=past)
    later = PROTOCOL.replace(VALID, "valid from: 9000-01-01").replace(
        REVIEW, "review by: 9001-01-01"
    )
    other = write_set(tmp_path / "later", contact_droplet__md=later)

    assert (
        "(review-overdue)"
        in run_inside(capsys, "validate", folder, "--form", "line", day="").out
    )
    assert (
        "(valid-only-later)"
        in run_inside(capsys, "validate", other, "--form", "line", day="").out
    )


@pytest.mark.parametrize("command", ["validate", "compile"])
@pytest.mark.parametrize("day", ["tomorrow", "2027-02-29", "1/11/2027"])
def test_a_day_that_is_none_is_wrong_use(tmp_path, capsys, command, day):
    ended = run_inside(capsys, command, write_set(tmp_path / "set"), "--on", day)

    assert ended.status == 2
    assert "2026-11-01" in ended.err


def test_the_manual_is_the_same_every_day(capsys):
    text = run_inside(capsys, "explain", "review-overdue").out

    assert READ_ON.isoformat() in text
    assert "1 day before" in text
