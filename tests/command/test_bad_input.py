"""Whatever a person hands over: a finding or one line with place and remedy, never a traceback."""

from __future__ import annotations

from pathlib import Path

import pytest

from tests.command.running import run_apart, run_inside, write_set

STEPS = "1. **Clean your hands.** `handrub`\n"
HEAD = (
    "---\ntitle: A room\nprecautions: [contact]\nhazard: bacteria\nedition: 1\n"
    "valid from: 2026-11-01\nreview by: 2027-05-01\nowner: Infection prevention lead\n---\n\n"
)

# What is written, in which file, and words that the one finding must hold: place and slug.
FAULTY_FILES = {
    "broken YAML": ("clinic.yaml", "clinic: [Tern\nareas: {", "clinic.yaml:", "broken-yaml"),
    "a tag": (
        "clinic.yaml",
        "clinic: !!python/name:os.system x\n",
        "clinic.yaml:1:",
        "unsupported-yaml",
    ),
    "an alias bomb": (
        "kit.yaml",
        "a: &a [x, x]\nb: &b [*a, *a]\nc: &c [*b, *b]\nd: [*c, *c]\n",
        "kit.yaml:1:",
        "unsupported-yaml",
    ),
    "raw HTML": (
        "extra.md",
        HEAD + "# On `donning in dressing area`\n\n1. **Go.** <b>now</b>\n",
        "extra.md:",
        "raw-html",
    ),
    "a script": (
        "extra.md",
        HEAD + "# On `donning in dressing area`\n\n<script>alert(1)</script>\n\n" + STEPS,
        "extra.md:",
        "raw-html",
    ),
    "a picture outside": (
        "extra.md",
        HEAD + "# On `donning in dressing area`\n\n1. **Look.** ![x](../../etc/passwd)\n",
        "extra.md:",
        "picture-outside-set",
    ),
    "an unknown phrase": (
        "extra.md",
        HEAD + "# On `donning in dressing area`\n\n1. **Go.** `handrubb`\n",
        "extra.md:13:",
        "unknown-phrase",
    ),
    "an unknown item": (
        "extra.md",
        HEAD + "# On `donning in dressing area`\n\n1. **Go.** `wear glovs`\n",
        "extra.md:13:",
        "unknown-item",
    ),
    "an empty protocol": ("extra.md", HEAD, "extra.md:", "empty-part"),
    "a fork without answers": (
        "extra.md",
        HEAD + "# On `donning in dressing area`\n\n1. **Ask.** `decide size`\n",
        "extra.md:13:",
        "fork-without-answers",
    ),
}


@pytest.mark.parametrize("case", FAULTY_FILES)
def test_a_fault_in_a_file_is_a_finding_with_its_place(case, tmp_path, capsys):
    name, text, place, slug = FAULTY_FILES[case]
    folder = write_set(tmp_path / "set")
    (folder / name).write_text(text, encoding="utf-8")

    ended = run_inside(capsys, "validate", folder, "--form", "line")

    assert ended.status == 1
    struck = [line for line in ended.out.splitlines() if place in line and f"({slug})" in line]
    assert struck, ended.out
    assert "Traceback" not in ended.out + ended.err


def test_a_sound_set_has_nothing_to_fix(tmp_path, capsys):
    ended = run_inside(capsys, "validate", write_set(tmp_path / "set"))

    assert ended.status == 0
    assert "nothing to fix" in ended.out


# The file's bytes, and words of the one line that must come.
UNUSABLE = {
    "binary": (b"\x00\x01\x02PK", "not a text file"),
    "not UTF-8": ("title: Zimmer f\u00fcr G\u00e4ste".encode("latin-1"), "not UTF-8"),
    "50 MB": (b"x" * 50_000_000, "larger than 1 MB"),
}


@pytest.mark.parametrize("case", UNUSABLE)
@pytest.mark.parametrize("name", ["extra.md", "clinic.yaml", "kit.yaml"])
def test_a_file_that_cannot_be_used_is_one_line_and_status_2(case, name, tmp_path, capsys):
    data, words = UNUSABLE[case]
    folder = write_set(tmp_path / "set")
    (folder / name).write_bytes(data)

    ended = run_inside(capsys, "validate", folder)

    assert ended.status == 2
    assert words in ended.err
    assert name in ended.err
    assert len(ended.err.strip().splitlines()) == 1


def test_no_such_file_folder_or_set(tmp_path, capsys):
    missing = run_inside(capsys, "validate", tmp_path / "nowhere.md")
    no_set = run_inside(capsys, "validate", tmp_path)

    assert (missing.status, no_set.status) == (2, 2)
    assert "there is no such file" in missing.err
    assert "wallward start" in no_set.err


@pytest.mark.parametrize(
    ("words", "hint"),
    [
        (["compile", "SET", "--language", "xx"], 'no language "xx"'),
        (["compile", "SET", "--paper", "B5"], "A4"),
        (["compile", "SET", "--theme", "none"], "default"),
        (["compile", "SET", "--suppose", "size=big"], "no question"),
        (["compile", "SET", "--suppose", "size"], "write it as"),
        (["explain", "gown-left-onn"], "gown-left-on"),
        (["valdate"], "validate"),
        (["validate", "--form", "xml"], "json"),
    ],
)
def test_wrong_use_says_what_there_is(words, hint, tmp_path, capsys):
    folder = write_set(tmp_path / "set")
    words = [str(folder) if word == "SET" else word for word in words]

    ended = run_inside(capsys, *words)

    assert ended.status == 2
    assert hint in ended.err
    assert "Traceback" not in ended.err


def test_unknown_language_and_paper_in_the_clinic_file(tmp_path, capsys):
    folder = write_set(tmp_path / "set")
    clinic = (folder / "clinic.yaml").read_text(encoding="utf-8")
    clinic = clinic.replace("languages: [en]", "languages: [en, xq]")
    clinic = "\n".join("paper: B5" if x.startswith("paper:") else x for x in clinic.split("\n"))
    (folder / "clinic.yaml").write_text(clinic, encoding="utf-8")

    ended = run_inside(capsys, "validate", folder, "--form", "line")

    assert ended.status == 1
    assert '"xq"' in ended.out
    assert '"B5"' in ended.out


def test_all_mistakes_are_told_and_not_only_the_first(tmp_path, capsys):
    body = "# On `donning in dressing area`\n\n1. **Go.** `wear glovs`\n2. **Go.** `wear gowm`\n3. **Go.** `haandrub`\n"
    folder = write_set(tmp_path / "set")
    (folder / "extra.md").write_text(HEAD + body, encoding="utf-8")

    ended = run_inside(capsys, "validate", folder, "--form", "line")

    for word in ("glovs", "gowm", "haandrub"):
        assert word in ended.out


def test_start_never_overwrites(tmp_path, capsys):
    folder = tmp_path / "clinic"
    assert run_inside(capsys, "start", folder).status == 0
    (folder / "kit.yaml").write_text("mine", encoding="utf-8")

    again = run_inside(capsys, "start", folder)

    assert again.status == 2
    assert "kit.yaml" in again.err
    assert (folder / "kit.yaml").read_text(encoding="utf-8") == "mine"


def test_a_fault_in_the_program_is_told_as_one(tmp_path, capsys, monkeypatch):
    def broken(*_: object) -> None:
        raise ZeroDivisionError("inner")

    monkeypatch.setattr("compiler.cli.validate.findings_of", broken)

    ended = run_inside(capsys, "validate", write_set(tmp_path / "set"))

    assert ended.status == 2
    assert "a fault in the compiler, not in your protocol" in ended.err
    assert "Traceback" not in ended.err


def test_the_module_and_the_command_are_the_same(tmp_path: Path):
    ended = run_apart("validate", write_set(tmp_path / "set"))

    assert ended.status == 0
    assert "nothing to fix" in ended.out
