"""The first minutes: what start writes is sound, and every example of the help really runs."""

from __future__ import annotations

import re
import shlex
import shutil
import subprocess
import tomllib
from importlib import import_module
from pathlib import Path

import pytest

from compiler import __main__ as module
from compiler import __version__
from compiler.cli import COMMANDS
from compiler.report.text import CAUTION
from tests.command.running import EXAMPLE, TOP, run_apart, run_inside
from tests.command.sheets import example_set

STARTED = ["clinic.yaml", "contact-droplet.md", "kit.yaml"]
EXAMPLE_LINE = re.compile(r"^ +wallward (.+?)(?:   .*)?$", re.MULTILINE)


def helped(capsys: pytest.CaptureFixture[str], *words: str) -> str:
    ended = run_inside(capsys, *words, "--help")
    assert ended.status == 0
    return ended.out


def examples(text: str) -> list[list[str]]:
    """The command lines of a help text, without the shell's redirection."""
    return [shlex.split(line.split(" > ")[0]) for line in EXAMPLE_LINE.findall(text)]


@pytest.fixture
def first_day(tmp_path, monkeypatch, capsys) -> Path:
    """A folder with `our-clinic` as start writes it, and `protocols` with one of the example."""
    monkeypatch.chdir(tmp_path)
    example_set(tmp_path / "protocols", ("airborne-room",), ("en",))
    assert run_inside(capsys, "start", "our-clinic").status == 0
    shutil.copytree("our-clinic", "our-clinic-2025")
    commit_twice(tmp_path)
    return tmp_path


def commit_twice(folder: Path) -> None:
    """Two commits of the same, called v1 and v2, for the examples that name revisions."""
    who = ("-c", "user.name=Ward", "-c", "user.email=ward@tern-island.example")
    for words in (
        ("init", "--quiet", "--initial-branch", "main"),
        ("add", "protocols"),
        (*who, "commit", "--quiet", "--message", "first"),
        ("tag", "v1"),
        (*who, "commit", "--quiet", "--allow-empty", "--message", "second"),
        ("tag", "v2"),
    ):
        subprocess.run(["git", "-C", folder, *words], check=True)


def test_start_writes_a_sound_set_that_says_what_is_next(tmp_path, monkeypatch, capsys):
    monkeypatch.chdir(tmp_path)

    ended = run_inside(capsys, "start", "a/new/clinic")

    assert ended.status == 0
    assert sorted(p.name for p in (tmp_path / "a/new/clinic").iterdir()) == STARTED
    *written, following = ended.out.splitlines()
    assert written == [f"wrote a/new/clinic/{name}" for name in STARTED]
    words = shlex.split(following.removeprefix("next: wallward "))
    checked = run_inside(capsys, *words)
    assert checked.status == 0
    assert "1 protocol checked: nothing to fix" in checked.out


def test_start_leaves_other_files_alone(tmp_path, capsys):
    (tmp_path / "notes.txt").write_text("mine", encoding="utf-8")

    assert run_inside(capsys, "start", tmp_path).status == 0

    assert (tmp_path / "notes.txt").read_text(encoding="utf-8") == "mine"


def test_start_in_place_of_a_file_is_one_line(tmp_path, capsys):
    (tmp_path / "taken").write_text("mine", encoding="utf-8")

    ended = run_inside(capsys, "start", tmp_path / "taken")

    assert ended.status == 2
    assert "taken" in ended.err
    assert (tmp_path / "taken").read_text(encoding="utf-8") == "mine"


def test_what_start_writes_names_nobody(capsys, tmp_path):
    """Only an invented clinic, and no address on the network."""
    run_inside(capsys, "start", tmp_path)

    text = "".join((tmp_path / name).read_text(encoding="utf-8") for name in STARTED)
    assert "://" not in text
    assert "@" not in text


@pytest.mark.parametrize("command", COMMANDS)
def test_the_help_of_a_command_says_what_it_does_by_example(command, capsys):
    text = helped(capsys, command)

    assert text.startswith(f"Usage: wallward {command} ")
    assert [words[0] for words in examples(text)].count(command) >= 1
    for line in text.splitlines():
        assert len(line) <= 80
    for parameter in import_module(f"compiler.cli.{command}").command.params:
        for name in parameter.opts:
            if name.startswith("--"):
                assert name in text


@pytest.mark.parametrize("command", [c for c in COMMANDS if c != "start"])
def test_every_example_of_the_help_really_runs(command, first_day, capsys):
    for words in examples(helped(capsys, command)):
        ended = run_inside(capsys, *words)
        assert ended.status == 0, (words, ended.out, ended.err)


def test_the_first_day_of_the_help_runs_from_start_to_sheets(tmp_path, monkeypatch, capsys):
    monkeypatch.chdir(tmp_path)
    lines = examples(helped(capsys))

    assert [words[0] for words in lines] == ["start", "validate", "compile", "explain"]
    for words in lines:
        ended = run_inside(capsys, *words)
        assert ended.status == 0, (words, ended.err)
    kinds = ("card", "observer", "poster", "steps")
    made = {path.name for path in (tmp_path / "build").glob("*-en.pdf")}
    assert made == {f"contact-droplet-{kind}-en.pdf" for kind in kinds}


def test_the_example_of_start_runs(tmp_path, monkeypatch, capsys):
    monkeypatch.chdir(tmp_path)

    for words in examples(helped(capsys, "start")):
        assert run_inside(capsys, *words).status == 0, words


def test_the_help_lists_every_command_and_the_caution(capsys):
    folded = " ".join(helped(capsys).split())

    for command, said in COMMANDS.items():
        assert f" {command} {said} " in folded
    assert "Follow your facility's policy." in folded
    assert "Training, fit testing and a trained observer come first." in folded


def test_no_command_at_all_shows_the_help(capsys):
    ended = run_inside(capsys)

    assert ended.status == 2
    assert ended.out.startswith("Usage: wallward")


def test_version(capsys):
    assert run_inside(capsys, "--version").out == f"wallward {__version__}\n"


def test_the_module_and_the_command_are_one():
    """`wallward` calls what `python -m compiler` calls."""
    scripts = tomllib.loads((TOP / "pyproject.toml").read_text(encoding="utf-8"))
    target = scripts["project"]["scripts"]["wallward"]

    assert target == "compiler.__main__:main"
    by_name = run_apart("--help", program=f"from {module.__name__} import main; main()")
    by_module = run_apart("--help")
    assert by_name == by_module
    assert by_module.status == 0


def test_the_caution_ends_every_report(capsys):
    ended = run_inside(capsys, "validate", EXAMPLE)

    assert " ".join(ended.out.split()).endswith(CAUTION)
