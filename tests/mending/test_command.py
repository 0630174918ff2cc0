"""`wallward validate --mend`: shows without writing, writes with care, and tells what is left.

That a byte order mark may open a UTF-8 text is Unicode 15.0, section 2.6; everything else here
is the promise of the command's own help.
"""

from __future__ import annotations

import stat
from pathlib import Path

import pytest

from compiler.mending import writing
from compiler.mending.proof import mended
from compiler.pipeline import open_set
from compiler.storage import find_sets
from tests.command.running import TOP, run_inside, write_set

STARTER = (TOP / "compiler" / "starter" / "contact-droplet.md").read_text(encoding="utf-8")
FIRST = "2. **Clean your hands.** Rub until dry, 20 to 30 seconds. `handrub`\n"
NAME = "contact-droplet.md"


@pytest.fixture
def faulty(tmp_path: Path) -> Path:
    """A set without its first hand hygiene, with a slip of the pen, and a fault to be left."""
    text = STARTER.replace(FIRST, "", 1).replace("`wear gown`", "`wear gwon`")
    text = text.replace("**Take off the mask.**", "**Take off the mask.** `touch nothing`")
    assert text.count("handrub") == STARTER.count("handrub") - 1
    return write_set(tmp_path / "set", contact_droplet__md=text)


def bytes_of(folder: Path) -> dict[str, bytes]:
    return {file.name: file.read_bytes() for file in folder.iterdir()}


def test_showing_writes_nothing_and_the_difference_is_what_writing_does(faulty, capsys):
    before = bytes_of(faulty)
    old = before[NAME].decode("utf-8").splitlines(keepends=True)

    shown = run_inside(capsys, "validate", faulty, "--mend", "show")

    assert bytes_of(faulty) == before
    assert shown.status == 1
    written = run_inside(capsys, "validate", faulty, "--mend", "write")
    new = (faulty / NAME).read_text(encoding="utf-8").splitlines(keepends=True)
    for ended in (shown, written):
        assert applied(old, ended.out) == new
    assert "would change" in shown.out
    assert "1 file written" in written.out


def applied(lines: list[str], said: str) -> list[str]:
    """The lines with a unified diff applied, as POSIX describes the form under *diff -u*."""
    done, at = [], 0
    hunks = said[said.index("\n@@") + 1 : said.index("\n\nmended") + 1]
    for row in hunks.splitlines(keepends=True):
        if row.startswith("@@"):
            start = int(row.split("-")[1].split(",")[0]) - 1
            done += lines[at:start]
            at = start
        elif row[0] == "+":
            done.append(row[1:])
        elif row[0] in " -":
            assert lines[at] == row[1:]
            done += [lines[at]] if row[0] == " " else []
            at += 1
    return done + lines[at:]


def test_what_is_left_is_told_and_decides_the_exit_status(faulty, capsys):
    ended = run_inside(capsys, "validate", faulty, "--mend", "write", "--form", "line")

    assert ended.status == 1
    assert "mended  first-hand-hygiene-missing: " in ended.out
    assert "mended  unknown-item: " in ended.out
    assert ended.out.count("(unknown-place)") == 1
    text = (faulty / NAME).read_text(encoding="utf-8").replace(" `touch nothing`", "")
    assert text == STARTER
    (faulty / NAME).write_text(text, encoding="utf-8")
    again = run_inside(capsys, "validate", faulty, "--mend", "write")
    assert again.status == 0
    assert again.out.startswith("Nothing")


def test_a_mended_set_shown_still_has_its_faults(faulty, capsys):
    """Until the changes are written, the files say what they said."""
    text = (faulty / NAME).read_text(encoding="utf-8").replace(" `touch nothing`", "")
    (faulty / NAME).write_text(text, encoding="utf-8")

    assert run_inside(capsys, "validate", faulty, "--mend", "show").status == 1
    assert run_inside(capsys, "validate", faulty, "--mend", "write").status == 0


def test_what_is_past_its_review_is_left(faulty, capsys):
    """As `validate` tells it on that day; no change of the steps makes a text younger."""
    words = ["--form", "line", "--on", "2036-01-01"]
    told = run_inside(capsys, "validate", faulty, *words).out.splitlines()
    late = [line for line in told if "review" in line]

    ended = run_inside(capsys, "validate", faulty, "--mend", "write", *words)

    assert late
    assert ended.out.splitlines()[-len(late) - 1 :].count(late[0]) == 1


@pytest.mark.parametrize("end", [b"\r\n", b"\r", b"\n"])
@pytest.mark.parametrize("mark", [b"", b"\xef\xbb\xbf"])
@pytest.mark.parametrize("last", [True, False])
def test_everything_else_is_kept_byte_for_byte(faulty, capsys, end, mark, last):
    """Line ends, the mark before the first line, comments, an unfinished last line."""
    text = (faulty / NAME).read_bytes().replace(b"title:", b"# a comment\ntitle:")
    text = text if last else text.rstrip(b"\n")
    lines = [*text.replace(b"\n", end).split(end)]
    (faulty / NAME).write_bytes(mark + end.join(lines))
    others = {n: b for n, b in bytes_of(faulty).items() if n != NAME}

    run_inside(capsys, "validate", faulty, "--mend", "write")

    written = (faulty / NAME).read_bytes()
    assert written.startswith(mark + b"---" + end + b"# The head.")
    assert b"# a comment" + end + b"title:" in written
    new = written.removeprefix(mark).split(end)
    assert len(new) == len(lines) + 1
    where = next(i for i, (a, b) in enumerate(zip(lines, new, strict=False)) if a != b)
    assert new[where] == FIRST.encode().rstrip()
    assert new[where + 7 :] == lines[where + 6 :]
    assert {n: b for n, b in bytes_of(faulty).items() if n != NAME} == others


def test_odd_line_ends_of_lines_that_stay_are_kept(faulty, capsys):
    text = (faulty / NAME).read_bytes()
    odd = text.replace(b"edition: 1\n", b"edition: 1\r\n").replace(b"# At work", b"\r# At work")
    (faulty / NAME).write_bytes(odd)

    run_inside(capsys, "validate", faulty, "--mend", "write")

    written = (faulty / NAME).read_bytes()
    assert b"edition: 1\r\n" in written
    assert b"\n\r# At work" in written
    assert written.count(b"\r") == 2


def test_a_read_only_file_is_one_line_and_nothing_is_written(faulty, capsys):
    before = bytes_of(faulty)
    (faulty / NAME).chmod(0o444)

    ended = run_inside(capsys, "validate", faulty, "--mend", "write")

    assert (ended.status, ended.out) == (2, "")
    assert ended.err.count("\n") == 1
    assert "read-only" in ended.err
    assert bytes_of(faulty) == before


def test_a_file_that_was_changed_meanwhile_is_not_overwritten(faulty):
    [(folder, files)] = find_sets([faulty])
    done = mended(open_set(folder, files))
    (faulty / NAME).write_text("mine\n", encoding="utf-8")

    with pytest.raises(writing.UnreadableSourceError, match="meanwhile"):
        writing.write([done])
    assert (faulty / NAME).read_text(encoding="utf-8") == "mine\n"


def test_links_and_permissions_stay(faulty, capsys, tmp_path):
    real = tmp_path / "elsewhere.md"
    (faulty / NAME).rename(real)
    real.chmod(0o640)
    (faulty / NAME).symlink_to(real)

    run_inside(capsys, "validate", faulty, "--mend", "write")

    assert (faulty / NAME).is_symlink()
    assert stat.S_IMODE(real.stat().st_mode) == 0o640
    assert FIRST in real.read_text(encoding="utf-8")
    assert sorted(p.name for p in tmp_path.iterdir()) == ["elsewhere.md", "set"]


def test_a_sound_set_is_left_alone(tmp_path, capsys):
    folder = write_set(tmp_path / "set")
    before = bytes_of(folder)

    ended = run_inside(capsys, "validate", folder, "--mend", "write")

    assert ended.status == 0
    assert ended.out.startswith("Nothing")
    assert bytes_of(folder) == before


@pytest.mark.parametrize("form", ["json", "sarif"])
def test_a_difference_is_no_data(faulty, capsys, form):
    ended = run_inside(capsys, "validate", faulty, "--mend", "show", "--form", form)

    assert ended.status == 2
    assert form in ended.err
