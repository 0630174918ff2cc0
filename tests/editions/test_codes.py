"""Which check codes change with which text: a sheet's code covers all that the sheet goes with."""

from __future__ import annotations

from pathlib import Path

import pytest

from compiler.check_code import is_whole
from compiler.model.sheet_kinds import SHEET_KINDS, Each
from compiler.printing import tasks_of
from compiler.products.review import ReviewSheet
from compiler.task import Task
from compiler.wish import Wish
from compiler.workshop import orders_of
from tests.command.sheets import change, example_set
from tests.editions.making import opened, published, signed

FIRST, SECOND = "airborne-room", "rapid-entry"
OF_THE_SET = {name for name, kind in SHEET_KINDS.items() if kind.each is Each.SET}
KINDS = tuple(SHEET_KINDS)


@pytest.fixture
def two(tmp_path: Path) -> Path:
    """Two protocols in two languages, every kind of sheet."""
    return example_set(tmp_path / "set", (FIRST, SECOND), ("en", "es"), KINDS)


def tasks(folder: Path) -> list[Task]:
    return list(tasks_of(opened(folder), Wish(Path("build"))))


def codes(folder: Path) -> dict[tuple[str, str, str], str]:
    """The code of each kind, protocol (none for the whole set) and language."""
    return {
        (
            t.kind.name,
            "" if t.kind.each is Each.SET else t.version.protocol.name,
            v.language,
        ): code
        for t in tasks(folder)
        for v, code in zip(t.versions, t.codes, strict=True)
    }


def changed(folder: Path, name: str, old: str, new: str) -> set[tuple[str, str, str]]:
    """The sheets whose codes are others after an edit."""
    before = codes(folder)
    change(folder / name, old, new)
    after = codes(folder)
    assert before.keys() == after.keys()
    assert all(map(is_whole, after.values()))
    return {key for key in before if before[key] != after[key]}


@pytest.mark.parametrize("name", [FIRST, SECOND])
def test_a_protocol_changes_the_codes_of_its_own_sheets_and_of_those_of_the_set(two, name):
    every = set(codes(two))

    told = changed(two, f"{name}.md", "20 to 30", "20 to 40")

    assert told == {key for key in every if key[1] in ("", name)}
    assert {kind for kind, whose, _ in told if not whose} == OF_THE_SET != set()


@pytest.mark.parametrize("name", [FIRST, SECOND])
def test_a_translation_changes_those_of_its_language(two, name):
    every = set(codes(two))

    told = changed(two, f"translations/es/{name}.po", 'msgstr "', 'msgstr "x')

    assert told == {key for key in every if key[1] in ("", name) and key[2] == "es"}
    assert ("words", "", "es") in told


@pytest.mark.parametrize("name", ["clinic.yaml", "kit.yaml"])
def test_clinic_and_kit_change_them_all(two, name):
    text = (two / name).read_text(encoding="utf-8")

    assert changed(two, name, text[-5:], f"{text[-5:]}# a remark\n") == set(codes(two))


def test_every_code_of_a_set_is_another_one(two):
    found = codes(two)

    assert len(set(found.values())) == len(found)


def test_a_sheet_of_the_set_names_no_protocol(two):
    change(two / "clinic.yaml", "link: ", "# link: ")
    for task in tasks(two):
        of_the_set = task.kind.name in OF_THE_SET
        for version, link in zip(task.versions, task.links, strict=True):
            assert (version.protocol.title in link) != of_the_set
        if task.kind.name == "words":
            order, source = orders_of(task)
            sheet = ReviewSheet(order, source, None, None, shared=True)
            said = sheet.said
            assert (said.title, said.edition, said.valid_from) == (order.clinic.name, "", "")


def test_the_second_protocol_takes_the_sheets_of_the_set_off_the_walls(two, tmp_path, pdf):
    into = tmp_path / "published"
    signed(two)
    first = published(two, into, pdf).record
    change(two / f"{SECOND}.md", "20 to 30", "20  to 30")
    signed(two)

    done = published(two, into, pdf)

    off = {first.codes[code][0].product for code, _ in done.down}
    assert off >= OF_THE_SET
    assert {first.codes[code][0].protocol for code, _ in done.down} == {"", SECOND}
