"""The papers tell what is there: trees, links, commands, the newest change.

There is no outside source: each check is a promise that the papers make to their readers.
"""

from __future__ import annotations

import ast
import re
import shlex
import tomllib
from importlib import import_module
from itertools import pairwise
from pathlib import Path

import pytest

from compiler import __version__
from compiler.cli import COMMANDS
from tests.house import PACKAGE, TOP, kept_files, named, tree_of

PAPERS = ["README.md", "DEVELOPERS.md", *(f"{x}/README.md" for x in ("compiler", "protocols"))]
PAPERS += [f"{x}/README.md" for x in ("themes", "tests")]


MARK = re.compile(r"(?<=<!-- tree -->\n```text\n).*?(?=```\n<!-- end of tree -->)", re.DOTALL)
NOT_PYTHON = {
    "build": "What is compiled, and nothing else; never read back.",
    "compiler/starter": "The set that `wallward start` writes.",
    "protocols": "The worked example: four protocols of an invented clinic.",
    "themes": "The looks: style sheets, templates and pictograms, only data.",
}


def first_sentence(path: Path) -> str:
    """The first docstring line of a module or a package."""
    file = path / "__init__.py" if path.is_dir() else path
    if not file.exists():
        return NOT_PYTHON[named(path)]
    return (ast.get_docstring(tree_of(file)) or "").split("\n")[0]


def drawn_tree() -> str:
    """One line a folder or module: the top folders, and what lies directly in compiler/."""
    lines = []
    for folder in ("compiler", "protocols", "themes", "tests", "build"):
        lines.append((f"{folder}/", first_sentence(TOP / folder)))
        if folder == "compiler":
            names = {n.split("/")[1] for n in kept_files() if n.startswith("compiler/")}
            inside = [PACKAGE / name for name in names if not name.startswith("__")]
            inside = [p for p in inside if p.is_dir() or p.suffix == ".py"]
            for path in sorted(inside, key=lambda p: (p.is_file(), p.name)):
                shown = f"  {path.name}/" if path.is_dir() else f"  {path.name}"
                lines.append((shown, first_sentence(path)))
    return "".join(f"{name:<20}{said}\n" for name, said in lines)


def test_the_tree_in_the_developers_paper_is_what_is_there(request):
    paper = TOP / "DEVELOPERS.md"
    text = paper.read_text(encoding="utf-8")
    if request.config.getoption("--accept"):
        paper.write_text(MARK.sub(lambda _: drawn_tree(), text), encoding="utf-8")
        return

    assert MARK.findall(text) == [drawn_tree()], "python -m tests --accept rewrites the tree"


def test_the_developers_paper_is_short():
    assert len((TOP / "DEVELOPERS.md").read_text(encoding="utf-8").splitlines()) < 150


@pytest.mark.parametrize("paper", PAPERS)
def test_links_in_the_papers_lead_to_files(paper):
    text = (TOP / paper).read_text(encoding="utf-8")

    for target in re.findall(r"\]\(([^)#\s]+)[^)]*\)", re.sub(r"`[^`\n]*`", "", text)):
        if "://" not in target:
            assert ((TOP / paper).parent / target).exists(), target


def test_the_newest_change_is_this_version():
    text = (TOP / "README.md").read_text(encoding="utf-8")
    changes = text.split("## What changed", 1)[1]
    declared = tomllib.loads((TOP / "pyproject.toml").read_text(encoding="utf-8"))

    assert re.findall(r"^### (\S+)", changes, re.MULTILINE)[0] == __version__
    assert declared["project"]["version"] == __version__


def commands_in(paper: str) -> list[list[str]]:
    """Every `wallward ...` of a paper, in code spans and in shell blocks."""
    text = (TOP / paper).read_text(encoding="utf-8")
    spans = re.findall(r"`((?:\.venv/bin/)?wallward [^`\n]*)`", text)
    spans += re.findall(r"(?:^|&& )((?:\.venv/bin/)?wallward [^\n]*)$", text, re.MULTILINE)
    return [shlex.split(span.replace("FOLDER", "x"))[1:] for span in spans]


@pytest.mark.parametrize("paper", PAPERS)
def test_commands_in_the_papers_exist(paper):
    for words in commands_in(paper):
        words = [word for word in words if word not in {"--debug", "--help"}]
        assert words[0] in COMMANDS, words
        command = import_module(f"compiler.cli.{words[0]}").command
        known = {name: p for p in command.params for name in p.opts}
        for word, value in pairwise([*words[1:], ""]):
            if word.startswith("--"):
                assert word in known, f"{paper}: {words}"
                choices = getattr(known[word].type, "choices", None)
                assert choices is None or value in choices, f"{paper}: {words}"


def test_the_readme_shows_commands():
    assert len(commands_in("README.md")) > 8


def test_no_paper_waits_for_its_pictures_or_outputs():
    """A line of one capital word was a place to fill."""
    for paper in PAPERS:
        text = (TOP / paper).read_text(encoding="utf-8")
        assert re.findall(r"^[A-Z]{4,}$", text, re.MULTILINE) == [], paper
