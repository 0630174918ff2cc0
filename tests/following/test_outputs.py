"""What `wallward follow` prints, whole; its columns in every script; and what it says of wrong use.

The texts under `tests/golden/follow/` were read step by step against `compiler/README.md`.
"""

from __future__ import annotations

import re
from pathlib import Path

import pytest

from compiler.analysis.world import World
from compiler.following.answering import Wanted, answered
from compiler.following.steps import named_steps
from compiler.following.table import pictures
from compiler.following.walk import Walk
from compiler.pipeline import ProtocolSet, open_set, read_texts
from compiler.report.picture_text import Line, Picture, Sign, drawn
from compiler.report.style import Style, style_for
from compiler.source import Source
from compiler.wording.cells import cells
from tests.command.running import EXAMPLE, TOP, run_inside, write_set

AIRBORNE = EXAMPLE / "airborne-room.md"
UNICODE, ASCII = style_for("utf-8", colour=False), style_for("ascii", colour=False)
CASES = {
    "airborne-room": ("airborne-room", Wanted(), UNICODE),
    "airborne-room-ascii": ("airborne-room", Wanted(), ASCII),
    "airborne-room-intact-round-2": (
        "airborne-room",
        Wanted(
            suppose=(("coverall state", "intact"), ("eye protection", "face shield")),
            earlier=(("respirator state", "intact"), ("eye protection", "goggles")),
            round=2,
        ),
        UNICODE,
    ),
    "airborne-room-after": ("airborne-room", Wanted(after="taking off 11"), UNICODE),
    "airborne-room-without-hands": ("airborne-room", Wanted(without="53"), UNICODE),
    "airborne-room-without-advice": ("airborne-room", Wanted(without="Get ready"), UNICODE),
    "airborne-room-kept": ("airborne-room", Wanted(kept=True), UNICODE),
    "high-consequence": ("high-consequence", Wanted(), UNICODE),
    "rapid-entry": ("rapid-entry", Wanted(), UNICODE),
    "rapid-entry-kept": ("rapid-entry", Wanted(kept=True), UNICODE),
    "spore-contact-room": ("spore-contact-room", Wanted(), UNICODE),
}


def opened(path: Path) -> ProtocolSet:
    return open_set(path.parent, [path])


def example(name: str) -> ProtocolSet:
    """One protocol of the example, as it is read from the top of the repository."""
    names = ("clinic.yaml", "kit.yaml", f"{name}.md")
    texts = {n: (EXAMPLE / n).read_text(encoding="utf-8") for n in names}
    return read_texts({n: Source(f"protocols/{n}", text) for n, text in texts.items()})


def said_of(protocol_set: ProtocolSet, wanted: Wanted, style: Style = UNICODE) -> str:
    assert protocol_set.clinic
    assert protocol_set.kit
    assert protocol_set.protocols, protocol_set.findings
    parts = protocol_set.protocols[0], protocol_set.clinic, protocol_set.kit
    return answered(*parts, wanted, style)


@pytest.mark.parametrize("case", CASES)
def test_the_example_whole(case, golden):
    name, wanted, style = CASES[case]
    said = said_of(example(name), wanted, style)

    assert [line for line in said.splitlines() if cells(line) > 78] == []
    assert style is UNICODE or said.isascii()
    golden(f"follow/{case}.txt", said)


def test_the_readme_shows_what_is_printed():
    """The lines of its example are lines of the real output, in this order."""
    readme = (TOP / "README.md").read_text(encoding="utf-8")
    [shown] = re.findall(r"```text\n(Taking off\n.*?)```", readme, flags=re.DOTALL)
    printed = said_of(example("airborne-room"), Wanted())
    part = iter(printed[printed.index("\nTaking off\n") :].splitlines())

    assert len(shown.splitlines()) > 12
    assert all(line in part for line in shown.splitlines())


# ---- columns


def check_columns(picture: Picture, style: Style, width: int = 78) -> int:
    """Every sign stands right below the corner of its column's name; gives how many do."""
    shown = 0
    at = 0
    for block in drawn(picture, style, width).split("\n\n"):
        lines = block.splitlines()
        stairs = [line for line in lines[1:] if style.across + style.corner in line]
        names = [
            re.split(rf" [{re.escape(style.across)}]", x, maxsplit=1)[0].strip() for x in stairs
        ]
        names.reverse()
        assert all(cells(line) <= width for line in lines)
        for name, stair in zip(names, reversed(stairs), strict=True):
            assert name.rstrip(style.cut) in picture.columns[at]
            corner = cells(stair[: stair.index(style.across + style.corner) + 1])
            for line, row in zip(picture.lines, lines[1 + len(stairs) :], strict=True):
                sign = line.signs[at]
                wanted = style.levels[sign.level] if sign else " "
                assert in_cell(row, corner) == wanted, (name, row)
                shown += bool(sign)
            at += 1
    assert at == len(picture.columns)
    return shown


def in_cell(text: str, cell: int) -> str:
    """The sign of a text in one column of the terminal."""
    for at in range(len(text)):
        if cells(text[:at]) == cell and cells(text[at]):
            return text[at]
    return " "


@pytest.mark.parametrize("style", [UNICODE, ASCII], ids=["unicode", "ascii"])
@pytest.mark.parametrize("name", sorted(path.stem for path in EXAMPLE.glob("[!R]*.md")))
def test_every_sign_is_below_its_name(name, style):
    protocol_set = opened(EXAMPLE / f"{name}.md")
    protocol, clinic, kit = protocol_set.protocols[0], protocol_set.clinic, protocol_set.kit
    assert clinic
    assert kit
    walk = Walk(World(protocol, clinic, kit), 2, {}, {})

    for picture in pictures(walk, named_steps(protocol, clinic)):
        assert check_columns(picture, style) > len(picture.lines)


def test_wide_scripts_stand_in_line(tmp_path):
    """Wide signs take two cells (Unicode Standard Annex 11), marks none."""
    words = {"gown": "隔离衣", "mask": "医用防护口罩", "gloves": "手套", "face shield": "ढाल"}
    folder = write_set(tmp_path)
    for file in folder.iterdir():
        text = file.read_text(encoding="utf-8")
        for word, other in words.items():
            text = re.sub(rf"(?<=(?:wear|move|card) ){word}\b", other, text)
            text = re.sub(rf"^{word}(?=: )", other, text, flags=re.MULTILINE)
            text = text.replace(
                f"**Put on the {word}.**",
                f"**穿上{other}，系好颈部和腰部的带子，检查是否有破损，然后再继续。**",
            )
        file.write_text(text, encoding="utf-8")
    protocol_set = opened(folder / "contact-droplet.md")
    protocol, clinic, kit = protocol_set.protocols[0], protocol_set.clinic, protocol_set.kit
    assert clinic
    assert kit
    walk = Walk(World(protocol, clinic, kit), 1, {}, {})
    donning, *_ = pictures(walk, named_steps(protocol, clinic))

    assert "医用防护口罩" in donning.columns
    assert "ढाल" in donning.columns
    assert check_columns(donning, UNICODE) > 10
    assert "…" in drawn(donning, UNICODE, 78)


def test_many_columns_turn_to_several_blocks():
    names = tuple(f"a rather long name of an item, number {n}" for n in range(40))
    lines = tuple(
        Line(str(n), "Do it. " * 9, " (yes)", str(n), tuple(Sign(n % 3) for _ in names))
        for n in range(4)
    )
    picture = Picture("Putting on", names, lines)

    assert check_columns(picture, UNICODE) == check_columns(picture, ASCII) == 160
    assert "Putting on (1 to 10 of 40)" in drawn(picture, UNICODE, 78)


def test_levels_are_told_apart_without_colour():
    for style in (UNICODE, ASCII):
        assert len(set(style.levels)) == 3
    painted = style_for("utf-8", colour=True)
    line = Line("1", "x", "", "9", (Sign(0), Sign(1), Sign(2)))
    picture = Picture("P", ("a", "b", "c"), (line,))
    plain = re.sub(r"\x1b\[[0-9;]*m", "", drawn(picture, painted, 78))

    assert plain == drawn(picture, UNICODE, 78)
    assert plain != drawn(picture, painted, 78)


# ---- what the sheet calls a step


def test_numbers_are_those_of_the_sheet_with_its_standing_answers(tmp_path):
    """A fork with a standing answer is not printed, so the numbers after it are smaller."""
    for file in EXAMPLE.glob("*.*"):
        (tmp_path / file.name).write_bytes(file.read_bytes())
    clinic = tmp_path / "clinic.yaml"
    clinic.write_text(
        clinic.read_text(encoding="utf-8") + "answers: {eye protection: face shield}\n",
        encoding="utf-8",
    )
    before = said_of(opened(AIRBORNE), Wanted(after="Put on gloves"))
    after = said_of(opened(tmp_path / AIRBORNE.name), Wanted(after="Put on gloves"))

    assert 'After Putting on 10, "Put on gloves." (line 29)' in before
    assert 'After Putting on 8, "Put on gloves." (line 29)' in after
    assert "eye protection: face shield" in after


# ---- wrong use


@pytest.mark.parametrize(
    ("words", "told"),
    [
        (["--after", "takin off 5"], "close: Taking off 5 (line 49)"),
        (["--after", "50000"], "near it: line"),
        (["--without", "3"], "near it: line 13 (Get ready.)"),
        (["--after", "clean your hands"], "line 16, line 23, line 51"),
        (["--suppose", "coverall stat=intact"], "coverall state = damaged or intact"),
        (["--suppose", "coverall state"], "write it as"),
        (["--earlier", "coverall state=torn", "--round", "2"], "= damaged or intact"),
        (["--earlier", "coverall state=intact"], "add --round 2"),
        (["--kept", "--suppose", "coverall state=intact"], "leave --suppose"),
        (["--without", "13", "--round", "2"], "leave --suppose"),
        (["--kept", "--after", "13"], "different questions"),
        (["--round", "0"], "1<=x<=40"),
        (["--after", "57", "--suppose", "eye protection=face shield"], "only reached with"),
        (
            ["--suppose", "eye protection=goggles", "--suppose", "eye protection=face shield"],
            "two answers",
        ),
    ],
)
def test_wrong_use_is_told_with_what_there_is(capsys, words, told):
    ended = run_inside(capsys, "follow", AIRBORNE, *words)

    assert ended.status == 2
    assert ended.out == ""
    assert told in ended.err


def test_several_protocols_at_once_are_refused(capsys):
    ended = run_inside(capsys, "follow", EXAMPLE)

    assert ended.status == 2
    assert "name one protocol" in ended.err
    assert "rapid-entry.md" in ended.err


def test_a_protocol_that_cannot_be_read_is_not_followed(capsys, tmp_path):
    folder = write_set(tmp_path)
    file = folder / "contact-droplet.md"
    file.write_text(file.read_text(encoding="utf-8").replace("`wear mask`", "`wear msk`"))
    ended = run_inside(capsys, "follow", file)

    assert ended.status == 2
    assert ended.out == ""
    assert "did you mean" in ended.err or "mask" in ended.err
    assert "cannot be followed" in ended.err


def test_a_protocol_with_findings_is_followed_and_says_so(capsys, tmp_path):
    folder = write_set(tmp_path)
    file = folder / "contact-droplet.md"
    text = file.read_text(encoding="utf-8")
    file.write_text(
        text.replace(
            "2. **Clean your hands.** Rub until dry, 20 to 30 seconds. `handrub`",
            "2. **Wait.**",
        )
    )
    ended = run_inside(capsys, "follow", file)

    assert ended.status == 0
    assert "must be fixed; see wallward validate" in " ".join(ended.out.split())
