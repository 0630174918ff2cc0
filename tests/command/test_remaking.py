"""What the next run makes anew: the sheets of what changed, and all where the record is damaged."""

from __future__ import annotations

from pathlib import Path

import pytest

from compiler.pipeline import open_set
from compiler.printing import RECORD, Record, tasks_of
from compiler.storage import find_sets
from compiler.wish import Wish
from tests.command.running import run_inside
from tests.command.sheets import SHEETS, change, expect_whole, of


def remade_next(workplace: Path, **wish: object) -> set[str]:
    """The sheets that the next run would make, without making them."""
    into = workplace / "sheets"
    ((folder, files),) = find_sets([workplace / "set"])
    record = Record.read(into)
    tasks = tasks_of(open_set(folder, files), Wish(into, **wish))
    return {task.path.name for task in tasks if not record.knows(task)}


EDITS = {
    "a protocol": ("rapid-entry.md", "Shout for help", "Call for help", of("rapid")),
    "the kit": ("kit.yaml", "#", "# ", set(SHEETS)),
    "the clinic": ("clinic.yaml", "extension 214", "extension 215", set(SHEETS)),
    "a translation": ("translations/es/rapid-entry.po", "msgstr", "msgstr ", of("rapid", "es")),
    "the clinic's words": ("translations/es/clinic.po", "msgstr", "msgstr ", of("", "es")),
}


@pytest.mark.parametrize("what", EDITS)
def test_an_edit_remakes_only_its_own_sheets(what, workplace):
    file, old, new, wanted = EDITS[what]
    assert remade_next(workplace) == set()

    change(workplace / "set" / file, old, new)

    assert remade_next(workplace) == wanted


def test_another_wish_remakes_the_sheets(workplace):
    assert remade_next(workplace, paper="A1") == set(SHEETS)
    assert remade_next(workplace, orientation="landscape") == set(SHEETS)
    assert remade_next(workplace, languages=("en",)) == set()
    # a part by itself is another file, so it stands beside the whole sheet
    assert remade_next(workplace, parts="doffing").isdisjoint(SHEETS)


def test_a_deleted_or_altered_sheet_is_remade(workplace):
    gone, altered = SHEETS[0], SHEETS[3]
    (workplace / "sheets" / gone).unlink()
    with (workplace / "sheets" / altered).open("ab") as stream:
        stream.write(b"\n")

    assert remade_next(workplace) == {gone, altered}


DAMAGE = {
    "not JSON": b'{"rapid',
    "another shape": b"[1, 2]",
    "other values": b'{"rapid-entry-poster-en.pdf": [1], "x": null}',
    "not text": b"\xff\xfe\x00",
    "too deep": b"[" * 100_000,
}


@pytest.mark.parametrize("damage", DAMAGE)
def test_a_damaged_record_is_ignored_and_mended(damage, workplace):
    (workplace / "sheets" / RECORD).write_bytes(DAMAGE[damage])

    assert remade_next(workplace) == set(SHEETS)
    Record.read(workplace / "sheets").write()
    assert Record.read(workplace / "sheets").noted == {}


def test_a_folder_in_place_of_the_record_is_one_line(workplace, capsys):
    (workplace / "sheets" / RECORD).unlink()
    (workplace / "sheets" / RECORD).mkdir()

    words = ["compile", workplace / "set/rapid-entry.md", "--into", workplace / "sheets"]

    ended = run_inside(capsys, *words, "--language", "en")

    assert ended.status == 2
    assert ended.err.splitlines()[-1].startswith("wallward: ")
    assert expect_whole(workplace / "sheets") == sorted(SHEETS)
