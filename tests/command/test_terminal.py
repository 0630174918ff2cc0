"""Terminals of all kinds: with and without colour, with few signs, narrow pipes, odd names.

Colours are those of ECMA-48 (Control functions for coded character sets, Ecma International,
5th edition 1991); NO_COLOR is the convention described at no-color.org: any value but the empty
one turns colour off.
"""

from __future__ import annotations

import json
import os
import pty
import re
import select
import subprocess
import sys
from pathlib import Path

import pytest

from tests.command.running import EXAMPLE, TOP, run_apart, write_set

ESCAPE = "\x1b["


@pytest.fixture
def faulty(tmp_path: Path) -> Path:
    """A set with something to tell, in a script of its own."""
    folder = write_set(tmp_path / "set")
    text = (folder / "contact-droplet.md").read_text(encoding="utf-8")
    text = text.replace("**Clean your hands.** Rub", "**洗手 — नमस्ते.** Rub", 1)
    text = text.replace("`wear mask`", "`wear maske` `wäsche`", 1)
    (folder / "contact-droplet.md").write_text(text, encoding="utf-8")
    return folder


def at_a_terminal(*words: object, **environment: str) -> str:
    """What a person sees who runs the command at a terminal: a pseudo-terminal of the kernel."""
    here, there = pty.openpty()
    clean = {k: v for k, v in os.environ.items() if k not in {"NO_COLOR", "FORCE_COLOR"}}
    run = subprocess.Popen(
        [sys.executable, "-m", "compiler", *map(str, words)],
        cwd=TOP,
        env={**clean, "PYTHONPATH": str(TOP), "TERM": "xterm", **environment},
        stdin=subprocess.DEVNULL,
        stdout=there,
        stderr=there,
    )
    os.close(there)
    seen = b""
    while select.select([here], [], [], 60)[0]:
        try:
            data = os.read(here, 65536)
        except OSError:  # how the kernel tells that the other side is closed
            break
        if not data:
            break
        seen += data
    os.close(here)
    run.wait(60)
    return seen.decode("utf-8", "replace").replace("\r\n", "\n")


def test_a_terminal_gets_colour(faulty):
    assert ESCAPE in at_a_terminal("validate", faulty)
    assert ESCAPE in at_a_terminal("validate", faulty, NO_COLOR="")


@pytest.mark.parametrize("command", ["validate", "explain"])
def test_no_color_means_no_colour(command, faulty):
    words = [faulty] if command == "validate" else ["gown-left-on"]

    plain = at_a_terminal(command, *words, NO_COLOR="1")

    assert plain.strip()
    assert "\x1b" not in plain


def test_a_dumb_terminal_gets_no_colour(faulty):
    """TERM=dumb is how an editor's shell says that it shows no escape sequences."""
    assert "\x1b" not in at_a_terminal("validate", faulty, TERM="dumb")


def test_a_pipe_gets_no_colour(faulty):
    ended = run_apart("validate", faulty)

    assert ended.out
    assert "\x1b" not in ended.out + ended.err


def test_colour_says_nothing_that_the_words_do_not(faulty):
    coloured = at_a_terminal("validate", faulty)

    assert re.sub(r"\x1b\[[\d;]*m", "", coloured) == run_apart("validate", faulty).out


@pytest.mark.parametrize("encoding", ["ascii", "latin-1", "cp437", "utf-8", "utf-16"])
@pytest.mark.parametrize("form", ["text", "line"])
def test_every_terminal_can_show_every_finding(encoding, form, faulty):
    ended = in_bytes("validate", faulty, "--form", form, PYTHONIOENCODING=encoding)

    assert ended.returncode == 1, ended.stderr
    # click holds a terminal that claims ASCII for badly set up, and writes UTF-8
    assert "unknown-phrase" in ended.stdout.decode("utf-8" if encoding == "ascii" else encoding)
    assert b"fault in the compiler" not in ended.stderr
    if form == "text" and encoding in {"ascii", "latin-1"}:
        assert b"^^^" in ended.stdout  # the signs that every terminal has


def in_bytes(*words: object, **environment: str) -> subprocess.CompletedProcess[bytes]:
    return subprocess.run(
        [sys.executable, "-m", "compiler", *map(str, words)],
        cwd=TOP,
        env={**os.environ, "PYTHONPATH": str(TOP), **environment},
        capture_output=True,
        check=False,
        timeout=60,
    )


@pytest.mark.parametrize("form", ["json", "sarif"])
def test_data_is_utf_8_whatever_the_terminal(form, faulty):
    """RFC 8259 (The JavaScript Object Notation Data Interchange Format, IETF 2017), 8.1."""
    ended = in_bytes("validate", faulty, "--form", form, PYTHONIOENCODING="latin-1")

    assert ended.returncode == 1, ended.stderr
    assert ended.stdout == in_bytes("validate", faulty, "--form", form).stdout
    text = ended.stdout.decode("utf-8")
    assert json.loads(text)
    assert "wäsche" in text


def test_the_other_commands_at_a_terminal_of_few_signs(tmp_path):
    for words in (
        ["explain"],
        ["explain", "seal-unchecked"],
        ["--help"],
        ["compile", "--help"],
    ):
        ended = run_apart(*words, PYTHONIOENCODING="ascii")
        assert ended.status == 0, ended.err
    ended = run_apart("start", tmp_path / "洗手", PYTHONIOENCODING="latin-1")
    assert ended.status == 0, ended.err
    assert "\\u6d17\\u624b" in ended.out


def test_a_name_that_is_no_text_does_not_crash(tmp_path):
    """File names on Linux are bytes; these are no UTF-8."""
    name = os.fsdecode(b"h\xf6hle")
    folder = write_set(tmp_path / name)
    change = (folder / "contact-droplet.md").read_text(encoding="utf-8")
    (folder / "contact-droplet.md").write_text(
        change.replace("`wear mask`", "`wear`"), encoding="utf-8"
    )

    for form in ("text", "line", "json", "sarif"):
        ended = run_apart("validate", folder, "--form", form)
        assert ended.status == 1, ended.err
        assert "fault in the compiler" not in ended.err


def test_a_reader_that_goes_away_is_no_fault():
    """`wallward explain | head -1`."""
    run = subprocess.Popen(
        [sys.executable, "-m", "compiler", "validate", EXAMPLE, "--form", "sarif"],
        cwd=TOP,
        stdout=subprocess.PIPE,
        stderr=subprocess.PIPE,
    )
    assert run.stdout
    assert run.stderr
    run.stdout.read(1)
    run.stdout.close()
    with run.stderr as stream:
        assert stream.read() == b""
    run.wait(60)


def test_progress_stays_out_of_the_answer(tmp_path):
    """Sheets are told on the standard output, the rest on the standard error."""
    folder = write_set(tmp_path / "set")

    ended = run_apart("compile", folder, "--into", tmp_path / "sheets")

    assert ended.status == 0, ended.err
    lines = ended.out.splitlines()
    assert all(line.startswith(f"{tmp_path}/sheets/contact-droplet-") for line in lines)
    assert any(f"{tmp_path}/sheets/contact-droplet-poster-en.pdf  A" in line for line in lines)
