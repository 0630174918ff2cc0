"""What OLD and NEW may be: folders, files, editions, git revisions; and what is no version.

Revisions are made and read back with the git program itself, in a repository of their own.
"""

from __future__ import annotations

import json
import os
import subprocess
from pathlib import Path

import pytest

from tests.changes.rooms import FILES, ROOM, edited
from tests.command.running import Ended, run_apart, run_inside

UNSEALED = edited(
    "room.md", ("5. **Check the seal.** Breathe out hard. `check respirator`\n", "")
)
GIT = {
    **{f"GIT_{who}_{what}": f"{what}@tern-island.example".lower() for who in ("AUTHOR", "COMMITTER") for what in ("NAME", "EMAIL")},
    "GIT_CONFIG_GLOBAL": os.devnull,
    "GIT_CONFIG_NOSYSTEM": "1",
}  # fmt: skip


def write(folder: Path, files: dict[str, str]) -> Path:
    folder.mkdir(parents=True, exist_ok=True)
    for name, text in files.items():
        (folder / name).parent.mkdir(parents=True, exist_ok=True)
        (folder / name).write_text(text, encoding="utf-8")
    return folder


def git(folder: Path, *words: str) -> str:
    done = subprocess.run(
        ["git", "-C", folder, *words],
        env={**os.environ, **GIT},
        capture_output=True,
        check=True,
        text=True,
    )
    return done.stdout.strip()


def compare(capsys, *words: object) -> Ended:
    return run_inside(capsys, "compare", *words, "--form", "json")


def told(ended: Ended) -> list[tuple[str, str]]:
    changes = json.loads(ended.out)["changes"]
    return [(c["kind"], c["subject"]) for c in changes if c["group"] != "findings"]


SEAL = [("seal check dropped", "Check the seal.")]


@pytest.fixture
def repository(tmp_path: Path) -> Path:
    """Two commits: the set, then the same without its seal check; a tag on the first."""
    top = tmp_path / "repository"
    write(top / "wards" / "protocols", {**FILES, "README.md": "# About\n"})
    git(tmp_path, "init", "--quiet", "--initial-branch", "main", str(top))
    git(top, "add", ".")
    git(top, "commit", "--quiet", "--message", "first")
    git(top, "tag", "edition-1")
    write(top / "wards" / "protocols", UNSEALED)
    git(top, "commit", "--quiet", "--all", "--message", "second")
    return top


# ---- folders, files, editions


def test_two_folders(capsys, tmp_path):
    old, new = write(tmp_path / "a", FILES), write(tmp_path / "b", UNSEALED)

    ended = compare(capsys, old, new)

    assert (ended.status, told(ended)) == (1, SEAL)
    assert compare(capsys, old, old).status == 0
    assert told(compare(capsys, new, old)) == [("seal check added", "Check the seal.")]


def test_a_file_is_compared_with_that_file_of_the_other_folder(capsys, tmp_path):
    old = write(tmp_path / "a", {**FILES, "store.md": ROOM})
    new = write(tmp_path / "b", {**UNSEALED, "store.md": UNSEALED["room.md"]})

    assert told(compare(capsys, old, new / "room.md")) == SEAL
    assert told(compare(capsys, old / "store.md", new)) == SEAL
    assert compare(capsys, old / "store.md", old / "room.md").status == 1
    ended = compare(capsys, old, write(tmp_path / "c", {**FILES, "bay.md": ROOM}) / "bay.md")
    assert ended.status == 2
    assert "there is no protocol bay.md in it" in ended.err


def test_two_files_are_compared_whatever_they_are_called(capsys, tmp_path):
    old = write(tmp_path / "a", FILES)
    other = {"clinic.yaml": FILES["clinic.yaml"], "kit.yaml": FILES["kit.yaml"]}
    new = write(tmp_path / "b", {**other, "bay.md": UNSEALED["room.md"]})

    ended = compare(capsys, old / "room.md", new / "bay.md")

    assert told(ended) == [*SEAL, ("protocol renamed", "bay")]


def test_an_edition_is_compared_by_the_text_that_was_published(capsys, tmp_path):
    edition = write(tmp_path / "edition", {"edition.json": "{}"})
    write(edition / "source", FILES)

    assert told(compare(capsys, edition, write(tmp_path / "b", UNSEALED))) == SEAL


def test_a_translation_is_found_beside_its_protocol(capsys, tmp_path):
    spanish = FILES["clinic.yaml"].replace("[en]", "[en, es]")
    po = 'msgid ""\nmsgstr "Language: es\\n"\n\nmsgctxt "lead"\nmsgid "Go in."\nmsgstr "Entre."\n'
    files = {**FILES, "clinic.yaml": spanish, "translations/es/room.po": po}
    old = write(tmp_path / "a", files)
    changed = {**files, "translations/es/room.po": po.replace("Entre.", "Pase.")}

    assert told(compare(capsys, old, write(tmp_path / "b", changed))) == [
        ("translation changed", "es/room")
    ]


# ---- git


def test_a_revision_alone_is_of_the_same_files_as_the_other(capsys, repository):
    protocols = repository / "wards" / "protocols"

    assert told(compare(capsys, "HEAD~1", protocols)) == SEAL
    assert told(compare(capsys, "edition-1", protocols / "room.md")) == SEAL
    assert compare(capsys, "main", protocols).status == 0
    assert told(compare(capsys, protocols, "HEAD~1")) == [
        ("seal check added", "Check the seal.")
    ]


def test_two_revisions_with_their_folders(repository):
    ended = run_apart(
        *("compare", "edition-1:wards/protocols", "main:wards/protocols", "--form", "json"),
        cwd=repository,
    )

    assert ended.status == 1, ended.err
    assert told(ended) == SEAL
    [change] = [c for c in json.loads(ended.out)["changes"] if c["group"] != "findings"]
    assert change["old"]["file"] == "edition-1:wards/protocols/room.md"
    assert change["old"]["line"] == 1 + ROOM.split("\n").index(
        "5. **Check the seal.** Breathe out hard. `check respirator`"
    )


def test_two_bare_revisions_are_of_the_set_here(repository):
    for folder in (repository / "wards", repository / "wards" / "protocols"):
        ended = run_apart("compare", "HEAD~1", "HEAD", "--form", "json", cwd=folder)
        assert told(ended) == SEAL, ended.err

    nowhere = run_apart("compare", "HEAD~1", "HEAD", cwd=repository)
    assert nowhere.status == 2
    assert "write HEAD~1:FOLDER" in nowhere.err


def test_one_file_of_a_revision_and_a_path_from_here(repository):
    words = (
        "compare",
        "HEAD~1:./protocols/room.md",
        "HEAD:./protocols/room.md",
        "--form",
        "json",
    )

    assert told(run_apart(*words, cwd=repository / "wards")) == SEAL


def test_what_exists_is_a_path_and_no_revision(capsys, repository, monkeypatch):
    write(repository / "main", FILES)
    monkeypatch.chdir(repository)

    assert told(compare(capsys, "main", "wards/protocols")) == SEAL


def test_the_set_at_the_top_of_a_repository(capsys, tmp_path):
    top = write(tmp_path / "set", FILES)
    git(tmp_path, "init", "--quiet", str(top))
    git(top, "add", ".")
    git(top, "commit", "--quiet", "--message", "first")

    assert compare(capsys, "HEAD", top).status == 0
    write(top, UNSEALED)
    assert told(compare(capsys, "HEAD", top)) == SEAL
    assert told(compare(capsys, "HEAD", top / "room.md")) == SEAL


@pytest.mark.parametrize(
    ("words", "said"),
    [
        ("HEAD~9", "git knows no revision of that name"),
        ("nonesuch", "there is no such file or folder, and git knows no revision"),
        ("HEAD:nonesuch", "nonesuch is not in this revision"),
        ("HEAD:wards", "no clinic.yaml here"),
        ("HEAD:wards/protocols/gone.md", "gone.md is not in this revision"),
        ("HEAD:../../protocols", "is not in this revision"),
        ("HEAD:wards/protocols\n", ""),
        (":wards/protocols", "git knows no revision"),
        ("--output=written", ""),
        ("HEAD^{tree}", "git knows no revision"),
        ("HEAD;touch written", "git knows no revision"),
        ("$(touch written)", "git knows no revision"),
        ("", ""),
    ],
)
def test_what_git_does_not_know_is_one_line(repository, words, said):
    ended = run_apart("compare", "--", words, "wards/protocols", cwd=repository)

    assert ended.status == 2, ended.out
    assert said in ended.err
    assert ended.err.startswith("wallward: ")
    assert len(ended.err.strip().split("\n")) <= 2
    assert ended.out == ""
    assert sorted(path.name for path in repository.iterdir()) == [".git", "wards"]


def test_without_git_or_a_repository_it_is_one_line(tmp_path):
    folder = write(tmp_path / "set", FILES)

    outside = run_apart(
        "compare", "HEAD", folder, cwd=tmp_path, GIT_CEILING_DIRECTORIES=str(tmp_path.parent)
    )
    absent = run_apart("compare", "HEAD", folder, PATH=str(tmp_path))

    assert (outside.status, absent.status) == (2, 2)
    assert "no such file or folder, and git says: fatal: not a git repository" in outside.err
    assert "which might know a revision, is not installed" in absent.err


def test_a_repository_cannot_run_anything(repository, tmp_path):
    """Hooks, filters, aliases, pagers and monitors of its settings stay unused."""
    trap = tmp_path / "trap.sh"
    trap.write_text(f"#!/bin/sh\ntouch {tmp_path}/sprung\n", encoding="utf-8")
    trap.chmod(0o755)
    for key in ("core.fsmonitor", "core.pager", "pager.ls-tree", "diff.external", "core.sshCommand",
                "filter.trap.smudge", "filter.trap.process", "alias.cat-file", "core.editor"):  # fmt: skip
        git(repository, "config", key, f"!{trap}" if key.startswith("alias") else str(trap))
    write(
        repository / "wards" / "protocols", {".gitattributes": "*.md filter=trap diff=trap\n"}
    )

    ended = run_apart(
        "compare", "HEAD~1", "HEAD:wards/protocols", "--form", "json", cwd=repository
    )

    assert told(ended) == SEAL, ended.err
    assert not (tmp_path / "sprung").exists()


def test_links_and_large_files_in_a_revision_are_not_followed(repository):
    protocols = repository / "wards" / "protocols"
    (protocols / "kit.yaml").unlink()
    (protocols / "kit.yaml").symlink_to("../../../kit.yaml")
    git(repository, "commit", "--quiet", "--all", "--message", "a link")
    write(protocols, {"large.md": "x" * 1_000_001})
    ended = run_apart("compare", "HEAD~1", "HEAD:wards/protocols", cwd=repository)
    assert ended.status == 2
    assert "no kit.yaml here" in ended.err

    (protocols / "kit.yaml").unlink()
    write(protocols, FILES)
    git(repository, "add", ".")
    git(repository, "commit", "--quiet", "--message", "large")
    ended = run_apart("compare", "HEAD~2", "HEAD:wards/protocols", cwd=repository)
    assert ended.status == 2
    assert "large.md: larger than 1 MB" in ended.err


# ---- faults in the text


def test_what_cannot_be_built_is_told_and_the_rest_compared(capsys, tmp_path):
    old = write(tmp_path / "a", {**FILES, "store.md": ROOM})
    new = write(tmp_path / "b", {**UNSEALED, "store.md": "no head at all"})

    ended = compare(capsys, old, new)

    whole = json.loads(ended.out)
    assert ended.status == 1
    assert [n["file"] for n in whole["not compared"]] in ([], [f"{new.as_posix()}/store.md"])
    assert ("seal check dropped", "Check the seal.") in told(ended)
    assert {"finding gained"} <= {c["kind"] for c in whole["changes"]}


@pytest.mark.parametrize("name", ["clinic.yaml", "kit.yaml"])
def test_a_broken_shared_file_is_told(capsys, tmp_path, name):
    old = write(tmp_path / "a", FILES)
    new = write(tmp_path / "b", {**UNSEALED, name: "broken: ["})

    ended = compare(capsys, old, new)

    whole = json.loads(ended.out)
    assert ended.status == 1
    assert [n["file"] for n in whole["not compared"]] == [f"{new.as_posix()}/{name}"]
    assert not [c for c in whole["changes"] if c["kind"] == "protocol dropped"]
    assert run_inside(capsys, "compare", new, new).status == 0


def test_a_protocol_with_faults_is_compared_as_far_as_it_was_built(capsys, tmp_path):
    old = write(tmp_path / "a", FILES)
    broken = UNSEALED["room.md"].replace("`wear gloves`", "`whatever it is`")
    new = write(tmp_path / "b", {**UNSEALED, "room.md": broken})

    changes = told(compare(capsys, old, new))

    assert ("seal check dropped", "Check the seal.") in changes
    assert ("action dropped", "Put on gloves.") in changes


def test_unreadable_and_wrong_use_end_in_two(capsys, tmp_path):
    folder = write(tmp_path / "a", FILES)
    (folder / "bad.md").write_bytes(b"\xff\xfe")

    assert run_inside(capsys, "compare", folder, folder).status == 2
    assert run_inside(capsys, "compare", folder).status == 2
    assert run_inside(capsys, "compare", folder, folder, "--form", "pdf").status == 2
    (folder / "bad.md").unlink()
    assert run_inside(capsys, "compare", folder, folder / "kit.yaml").status == 2
