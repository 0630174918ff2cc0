"""`validate --against`: words for people, data for programs, and no effect on the verdict.

The golden files are the four example protocols against two lists; there is no outside source
for their wording.
"""

from __future__ import annotations

import json
from pathlib import Path

import pytest

from compiler.cli.against import set_against
from compiler.comparing.published import published
from compiler.pipeline import ProtocolSet, open_set
from compiler.report.against import CAUTION, against_text, names_of_lists
from compiler.report.style import style_for
from compiler.report.text import WIDTH
from compiler.storage import find_sets
from compiler.wording.cells import cells
from tests.command.running import TOP, run_inside, write_set

EXAMPLE = "protocols"
LIST = "who-covid-ppe-2020"


@pytest.fixture(scope="module")
def example() -> ProtocolSet:
    """Read by a relative path, as the golden files show it."""
    with pytest.MonkeyPatch.context() as patch:
        patch.chdir(TOP)
        [(folder, files)] = find_sets([Path(EXAMPLE)])
        return open_set(folder, files)


@pytest.mark.parametrize("key", [LIST, "cdc-ebola-2015-n95"])
def test_the_example_against_two_lists(example, golden, key):
    report = against_text(
        set_against(example, published()[key]), style_for("utf-8", colour=False)
    )

    golden(f"against/{key}.txt", report)


@pytest.mark.parametrize("key", published())
def test_no_line_is_wider_than_the_screen_but_addresses(example, key):
    report = against_text(
        set_against(example, published()[key]), style_for("ascii", colour=False)
    )

    assert [x for x in report.splitlines() if cells(x) > WIDTH and "http" not in x] == []
    assert " ".join(CAUTION.split()) in " ".join(report.split())


def test_names_of_lists_are_told_with_title_year_and_how_sure(capsys):
    ended = run_inside(capsys, "validate", TOP / EXAMPLE, "--against")

    assert ended.status == 0
    told = " ".join(ended.out.split())
    for key, listed in published().items():
        assert f"{key} " in told
        assert " ".join(f"{listed.title}, {listed.year}.".split()) in told
        assert " ".join(listed.sure.split()) in told
    for line in names_of_lists(style_for("ascii", colour=False)).splitlines():
        assert cells(line) <= WIDTH or "http" in line


def test_a_misspelt_name_gets_close_ones(capsys):
    ended = run_inside(capsys, "validate", TOP / EXAMPLE, "--against", "who-covid-pp-2020")

    assert ended.status == 2
    assert 'did you mean "who-covid-ppe-2020"' in ended.err
    assert ended.out == ""


def test_a_name_like_no_other_gets_them_all(capsys):
    ended = run_inside(capsys, "validate", TOP / EXAMPLE, "--against", "zzz")

    assert ended.status == 2
    assert all(key in ended.err for key in published())


@pytest.mark.parametrize("words", [["--form", "sarif"], ["--form", "line"], ["--mend", "show"]])
def test_it_goes_with_text_and_json_only(capsys, words):
    ended = run_inside(capsys, "validate", TOP / EXAMPLE, "--against", LIST, *words)

    assert ended.status == 2
    assert "--against does not go with" in ended.err


def test_differences_change_neither_findings_nor_status(capsys, tmp_path):
    sound = write_set(tmp_path / "sound")
    text = (sound / "contact-droplet.md").read_text(encoding="utf-8")
    spoilt = write_set(
        tmp_path / "spoilt", contact_droplet__md=text.replace("`handrub`", "", 1)
    )

    for folder, status in ((sound, 0), (spoilt, 1)):
        alone = run_inside(capsys, "validate", folder)
        beside = run_inside(capsys, "validate", folder, "--against", LIST)
        assert alone.status == beside.status == status
        assert beside.out.startswith(alone.out)
        assert "against WHO 2020 · information" in beside.out


def test_data_has_one_more_key_when_asked(capsys):
    plain = run_inside(capsys, "validate", TOP / EXAMPLE, "--form", "json")
    asked = run_inside(capsys, "validate", TOP / EXAMPLE, "--form", "json", "--against", LIST)

    before, after = json.loads(plain.out), json.loads(asked.out)
    against = after.pop("against")
    assert after == before
    assert [each["protocol"] for each in against] == [
        "airborne-room",
        "high-consequence",
        "rapid-entry",
        "spore-contact-room",
    ]
    assert {each["list"]["seen"] for each in against} == {"memory"}
    orders = [d for e in against for d in e["differences"] if d["about"] == "order"]
    assert orders
    for each in orders:
        assert each["places"]
        assert all(place["line"] > 0 for place in each["places"])
        assert all(
            {"one", "other", "differ"} <= pair.keys() for pair in each["published orders"]
        )


def test_a_set_that_cannot_be_read_is_not_compared(capsys, tmp_path):
    folder = write_set(tmp_path / "broken", kit__yaml="gloves: [")

    ended = run_inside(capsys, "validate", folder, "--against", LIST)

    assert ended.status == 1
    assert "No protocol could be read, so none is compared." in ended.out
