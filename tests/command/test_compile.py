"""Compiling: it writes what it says, only what changed, and nothing that must be fixed first."""

from __future__ import annotations

import re
from pathlib import Path

import pikepdf
import pypdfium2

from compiler.rerun import REMEMBERED
from tests.command.running import EXAMPLE, TOP, run_apart, run_inside
from tests.command.sheets import (
    LANGUAGES,
    PROTOCOLS,
    SHEETS,
    change,
    example_set,
    expect_whole,
    half_written,
    of,
    sheets_in,
)


def text_of(sheet: Path) -> str:
    """The words of a sheet as pdfium reads them, folded."""
    document = pypdfium2.PdfDocument(sheet)
    text = document[0].get_textpage().get_text_range()
    document.close()
    return " ".join(text.split())


def test_compile_writes_what_it_says(compiled):
    sheets = compiled / "sheets"
    lines = (compiled / "out").read_text(encoding="utf-8").splitlines()

    assert [Path(line.split("  ")[0]) for line in lines] == sorted(sheets / n for n in SHEETS)
    assert expect_whole(sheets) == sorted(SHEETS)
    assert half_written(sheets) == []
    for line in lines:
        assert re.search(r"  A2 \w+, leads to \d\.\d m, details to \d\.\d m$", line)
    assert "2 protocols checked: nothing to fix" in (compiled / "err").read_text(
        encoding="utf-8"
    )


def test_the_readme_shows_what_compiling_really_says(tmp_path):
    readme = (TOP / "README.md").read_text(encoding="utf-8")
    shown = re.findall(r"^build/(\S+  .*)$", readme, re.MULTILINE)

    ended = run_apart(
        "compile", EXAMPLE / "airborne-room.md", "--language", "en", "--into", tmp_path
    )

    said = [line.removeprefix(f"{tmp_path}/") for line in ended.out.splitlines()]
    assert said == shown, ended.err


def test_each_sheet_tells_its_language_and_title(compiled):
    for name in SHEETS:
        with pikepdf.open(compiled / "sheets" / name) as pdf:
            assert pdf.Root.Lang == name.removesuffix(".pdf").rpartition("-")[2]
            assert pdf.docinfo["/Title"]


def test_a_second_run_changes_nothing_and_never_loads_the_engine(workplace):
    """The engine takes longer to load than the rest of such a run."""
    before = times_of(workplace / "sheets")
    program = (
        "import sys; from compiler.cli import main\n"
        "try: main()\n"
        "finally: print(*(m for m in sys.modules if m.startswith('weasyprint')), 'loaded')"
    )

    ended = run_apart(
        "compile", workplace / "set", "--into", workplace / "sheets", program=program
    )

    assert ended.status == 0
    *lines, loaded = ended.out.splitlines()
    assert [line.split("  ")[1] for line in lines] == ["unchanged"] * len(SHEETS)
    assert loaded == "loaded"
    assert times_of(workplace / "sheets") == before


def times_of(folder: Path) -> dict[Path, int]:
    """When each file was written, but for the note on the last run, which names the place."""
    return {p: p.stat().st_mtime_ns for p in folder.iterdir() if p.name != REMEMBERED}


def test_an_edit_is_seen_on_the_sheet(workplace, capsys):
    before = sheets_in(workplace / "sheets")
    change(workplace / "set/rapid-entry.md", "Shout for help", "Call for help")
    words = ["compile", workplace / "set", "--into", workplace / "sheets", "--language", "en"]

    ended = run_inside(capsys, *words)

    assert ended.status == 0, ended.err
    assert [line.endswith("unchanged") for line in ended.out.splitlines()] == [False, True]
    after = sheets_in(workplace / "sheets")
    assert {name for name in SHEETS if after[name] != before[name]} == {SHEETS[0]}
    assert "Call for help" in text_of(workplace / "sheets" / SHEETS[0])


def test_what_must_be_fixed_stops_just_that_protocol(workplace, capsys):
    """The last good sheet hangs on while its text is mended; the others are printed."""
    before = sheets_in(workplace / "sheets")
    folder = workplace / "set"
    change(folder / "rapid-entry.md", "`discard gloves in waste bin`", "")
    change(folder / "spore-contact-room.md", "edition: ", "edition: 1")
    words = ["compile", folder, "--into", workplace / "sheets", "--language", "en"]

    ended = run_inside(capsys, *words)

    assert ended.status == 1
    assert f"{folder}/rapid-entry.md  not printed: see the findings" in ended.out
    assert "must fix" in ended.err
    after = sheets_in(workplace / "sheets")
    assert {name for name in SHEETS if after[name] != before[name]} == of("spore", "en")


def test_a_translation_that_must_be_fixed_stops_just_that_language(workplace, capsys):
    before = sheets_in(workplace / "sheets")
    path = workplace / "set/translations/es/rapid-entry.po"
    text = path.read_text(encoding="utf-8")
    emptied = re.sub(r'(msgid "Put on the gown\."\nmsgstr ).*', r'\1""', text)
    assert emptied != text
    path.write_text(emptied, encoding="utf-8")

    ended = run_inside(capsys, "compile", workplace / "set", "--into", workplace / "sheets")

    assert ended.status == 1
    assert "rapid-entry-poster-es.pdf  not made: see the findings" in ended.out
    assert ended.out.count("unchanged") == len(SHEETS) - 1
    assert sheets_in(workplace / "sheets") == before


def test_a_supposed_answer_drops_the_fork(workplace, capsys):
    words = ["compile", workplace / "set" / "rapid-entry.md", "--into", workplace / "sheets"]

    ended = run_inside(capsys, *words, "--language", "en", "--suppose", "gown state=dry")

    assert ended.status == 0, ended.err
    text = text_of(workplace / "sheets" / "rapid-entry-poster-en.pdf")
    assert "laundry bag" in text
    for dropped in ("Look at the gown", "Soaked through", "Throw away the gown"):
        assert dropped not in text


def test_a_standing_answer_drops_the_fork_too(workplace, capsys):
    with (workplace / "set/clinic.yaml").open("a", encoding="utf-8") as stream:
        stream.write("answers: {gown state: soaked}\n")
    words = ["compile", workplace / "set" / "rapid-entry.md", "--into", workplace / "sheets"]

    ended = run_inside(capsys, *words, "--language", "en")

    assert ended.status == 0, ended.err
    text = text_of(workplace / "sheets" / "rapid-entry-poster-en.pdf")
    assert "Throw away the gown" in text
    for dropped in ("Look at the gown", "Not soaked", "laundry bag"):
        assert dropped not in text


def test_both_branches_are_proved_though_one_is_printed(workplace, capsys):
    """Supposing chooses what is printed; what is wrong in the other branch is still told."""
    change(workplace / "set/rapid-entry.md", "`discard gown in waste bin`", "")
    words = ["compile", workplace / "set" / "rapid-entry.md", "--into", workplace / "sheets"]

    ended = run_inside(capsys, *words, "--language", "en", "--suppose", "gown state=dry")

    assert ended.status == 1


def test_same_bytes_for_the_same_input(compiled, tmp_path):
    """In another folder, with other hashes, at another place of the earth, in another locale."""
    example_set(tmp_path / "elsewhere" / "set", PROTOCOLS[:1])

    ended = run_apart(
        "compile",
        tmp_path / "elsewhere" / "set",
        "--into",
        tmp_path / "other",
        PYTHONHASHSEED="4711",
        TZ="Pacific/Chatham",
        LC_ALL="POSIX",
        LANG="ar_EG.UTF-8",
        HOME=str(tmp_path),
    )

    assert ended.status == 0, ended.err
    first = sheets_in(compiled / "sheets")
    assert sheets_in(tmp_path / "other") == {name: first[name] for name in sorted(of("rapid"))}


def test_a_language_named_twice_is_made_once(workplace, capsys):
    words = ["compile", workplace / "set", "--into", workplace / "sheets"]

    ended = run_inside(capsys, *words, "--language", "es", "--language", "es")

    assert len(ended.out.splitlines()) == len(PROTOCOLS)


def test_two_protocols_of_one_name_do_not_overwrite_each_other(workplace, tmp_path, capsys):
    other = example_set(tmp_path / "other", PROTOCOLS[:1], LANGUAGES[:1])

    ended = run_inside(capsys, "compile", workplace / "set", other, "--into", tmp_path / "x")

    assert ended.status == 2
    assert "sheets of the same name" in ended.err
    assert not (tmp_path / "x").exists()


def test_a_machine_without_the_engines_libraries_is_told_what_to_install(workplace):
    program = (
        "import cffi\n"
        "def gone(*_): raise OSError('cannot load library')\n"
        "cffi.FFI.dlopen = gone\n"
        "from compiler.cli import main; main()"
    )
    words = ["compile", workplace / "set/rapid-entry.md", "--into", workplace / "new"]

    ended = run_apart(*words, "--language", "en", program=program)

    assert ended.status == 2
    assert "apt-get install libpango" in ended.err.splitlines()[-1]
    assert "fault in the compiler" not in ended.err
