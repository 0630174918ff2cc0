"""Kinds of sheets in an edition: each has a name for the page; none with nothing on it."""

from __future__ import annotations

import pytest

from compiler.editions import pages, publishing
from compiler.editions.refusal import RefusedError
from compiler.model.sheet_kinds import USUAL
from compiler.task import Sheet
from tests.editions.making import DAY, Copier, opened, signed, small_set


def test_every_kind_that_a_clinic_usually_prints_has_a_name_on_the_page():
    assert set(USUAL) <= set(pages.SPOKEN)


class Failing(Copier):
    """A press that makes none, and says why or says nothing."""

    told = ""

    def __call__(self, tasks, into):
        """As `printing.print_sheets`."""
        first, *rest = tasks
        yield Sheet(first, told=self.told)
        yield from super().__call__(rest, into)


def order(tmp_path):
    return publishing.Order(tmp_path / "published", (), DAY)


def test_a_kind_with_nothing_to_print_is_left_out(tmp_path, pdf):
    folder = small_set(tmp_path / "set")
    signed(folder)
    press = Failing(pdf)
    press.told = "nothing is kept, so there are no tags"

    done = publishing.publish(opened(folder), order(tmp_path), press)

    assert done.record.sheets == ()
    assert (tmp_path / "published" / "index.html").exists()


def test_a_sheet_that_cannot_be_made_stops_all(tmp_path, pdf):
    folder = small_set(tmp_path / "set")
    signed(folder)

    with pytest.raises(RefusedError, match=r"rapid-entry-poster-en\.pdf cannot be made"):
        publishing.publish(opened(folder), order(tmp_path), Failing(pdf))

    assert not (tmp_path / "published").exists()
