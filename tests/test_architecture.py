"""The house holds: sizes, names, edges between files, papers that tell what is there.

There is no outside source for taste: each check here is a promise of DEVELOPERS.md or README.md,
or of the layers in `pyproject.toml`, which `python -m tests` checks besides.
"""

from __future__ import annotations

import ast
import re
import shlex
import statistics
import subprocess
import sys
import tomllib
from functools import cache
from importlib import import_module
from itertools import pairwise
from pathlib import Path

import pytest

from compiler import __version__
from compiler.catalogue import rules
from compiler.cli import COMMANDS

TOP = Path(__file__).parent.parent
PACKAGE = TOP / "compiler"
MODULES = sorted(PACKAGE.rglob("*.py"))
PAPERS = ["README.md", "DEVELOPERS.md", *(f"{x}/README.md" for x in ("compiler", "protocols"))]
PAPERS += [f"{x}/README.md" for x in ("themes", "tests")]


def named(path: Path) -> str:
    return path.relative_to(TOP).as_posix()


@cache
def tree_of(path: Path) -> ast.Module:
    return ast.parse(path.read_text(encoding="utf-8"))


@cache
def kept_files() -> tuple[str, ...]:
    """What is or will be committed; without git, everything that is not hidden or made."""
    words = ["git", "ls-files", "--cached", "--others", "--exclude-standard"]
    try:
        done = subprocess.run(words, cwd=TOP, capture_output=True, check=True, encoding="utf-8")
    except (OSError, subprocess.CalledProcessError):
        found = (path.relative_to(TOP) for path in TOP.rglob("*") if path.is_file())
        made = {"__pycache__", "build", "dist"}
        kept = (p for p in found if not made & set(p.parts) and not p.parts[0].startswith("."))
        return tuple(sorted(path.as_posix() for path in kept))
    return tuple(name for name in done.stdout.splitlines() if (TOP / name).is_file())


# ---- files


def test_modules_are_small():
    lines = {named(p): len(p.read_text(encoding="utf-8").splitlines()) for p in MODULES}

    assert {name: count for name, count in lines.items() if count > 300} == {}
    assert statistics.median(lines.values()) < 180


@pytest.mark.parametrize("path", MODULES, ids=named)
def test_the_first_line_says_what_a_file_is_for(path):
    first = path.read_text(encoding="utf-8").split("\n", 1)[0]

    assert re.fullmatch(r'"""[A-Z`].{15,}[^"].*', first), first


def test_names_say_what_is_inside():
    empty = {"util", "utils", "helper", "helpers", "manager", "common", "misc", "base", "core"}
    empty |= {"data", "info", "stuff", "types", "constants"} - {
        "data"
    }  # report/data.py: a form

    for path in MODULES:
        words = path.relative_to(PACKAGE).with_suffix("").as_posix().split("/")
        assert not empty & {part for word in words for part in word.split("_")}, named(path)


def test_slugs_are_words():
    """A slug names the fault in words; letter-number codes are for machines."""
    for slug in rules():
        assert re.fullmatch(r"[a-z]{1,}(-[a-z]+)+", slug), slug
        assert not slug.startswith(("no-", "disallow-", "must-")), slug


def test_the_top_level_is_as_agreed():
    agreed = {"README.md", "DEVELOPERS.md", "LICENSE", "pyproject.toml"}
    agreed |= {"compiler", "protocols", "themes", "tests", "build"}

    there = {name.split("/")[0] for name in kept_files()}

    assert {name for name in there if not name.startswith(".")} <= agreed
    assert agreed - {"build"} <= there


# ---- what a module may use

ENGINE = {"products/pdf.py", "products/bare_fontconfig.py"}
HOMES = {
    "weasyprint": ENGINE,
    "pydyf": ENGINE | {"products/line_drawing.py"},
    "jinja2": {"products/html.py"},
    "segno": {"products/html.py"},
    "yaml": {"syntax/yaml.py", "syntax/yaml_words.py"},
    # fonts.py asks CLDR in which script a language is written
    "babel": {"wording/languages.py", "layout/fonts.py"},
}


def imported(path: Path) -> set[str]:
    """Every module imported anywhere in a file, inside functions too."""
    found = set()
    for node in ast.walk(tree_of(path)):
        if isinstance(node, ast.Import):
            found |= {alias.name for alias in node.names}
        elif isinstance(node, ast.ImportFrom):
            found.add(node.module or "")
    return found


def test_each_library_has_one_home():
    for path in MODULES:
        inside = path.relative_to(PACKAGE).as_posix()
        roots = {module.split(".")[0] for module in imported(path)}
        assert "click" not in roots or inside.startswith("cli/"), inside
        for library, homes in HOMES.items():
            assert library not in roots or inside in homes, f"{library} in {inside}"


def test_no_clocks_and_no_chance():
    """The same input gives the same bytes, so nothing asks for the time or throws dice."""
    for path in MODULES:
        assert not imported(path) & {"random", "secrets", "uuid", "time"}, named(path)
        for node in ast.walk(tree_of(path)):
            if isinstance(node, ast.Attribute):
                assert node.attr not in {"now", "today", "utcnow", "urandom"}, named(path)


def test_rules_yield_and_do_not_raise():
    """A mistake in a document is a finding; only a fault in the program may raise in a rule."""
    for path in sorted((PACKAGE / "rules").rglob("*.py")):
        for node in ast.walk(tree_of(path)):
            if isinstance(node, ast.Raise):
                assert "AssertionError" in ast.unparse(node), f"{named(path)}:{node.lineno}"


@pytest.mark.parametrize("command", ["validate", "explain", "start", "translate"])
def test_only_compiling_waits_for_the_libraries_of_printing(command):
    program = f"import sys, compiler.cli.{command}; print(*sys.modules)"

    done = subprocess.run(
        [sys.executable, "-c", program], cwd=TOP, capture_output=True, text=True, check=True
    )

    loaded = {module.split(".")[0] for module in done.stdout.split()}
    assert "click" in loaded
    assert not loaded & {"weasyprint", "uharfbuzz", "babel", "jinja2", "pikepdf", "segno"}


# ---- papers

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


def test_every_dependency_says_why():
    text = (TOP / "pyproject.toml").read_text(encoding="utf-8")
    lines = [x for x in text.splitlines() if re.match(r'\s+"[A-Za-z0-9-]+>=', x)]

    assert len(lines) > 15
    for line in lines:
        assert re.search(r",\s+# \w+", line), line


def test_the_dependencies_are_what_the_compiler_imports():
    declared = tomllib.loads((TOP / "pyproject.toml").read_text(encoding="utf-8"))["project"]
    names = {re.match(r"[\w-]+", words)[0] for words in declared["dependencies"]}
    modules = {"markdown-it-py": "markdown_it", "pyyaml": "yaml"}
    used = {module.split(".")[0] for path in MODULES for module in imported(path)}

    assert used - sys.stdlib_module_names - {"compiler"} == {modules.get(x, x) for x in names}


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


# the words are built from pieces so that this file does not hold them
FORBIDDEN = re.compile(
    "|".join(
        [
            "TO" + "DO", "FIX" + "ME", "XX" + "X", "lo" + "rem",
            r"py" + r"pi\.org", "python" + "hosted", r"registry\." + "npmjs",
            r"deb\." + r"debian\.org", "/wo" + "rk/", r"\.\./sha" + "red",
        ]
    )
)  # fmt: skip


def test_words_that_must_not_stand_anywhere():
    for name in kept_files():
        text = (TOP / name).read_bytes().decode("utf-8", "replace")
        met = FORBIDDEN.search(text)
        assert met is None, f"{name}: {met and met[0]}"


def test_no_paper_waits_for_its_pictures_or_outputs():
    """A line of one capital word was a place to fill."""
    for paper in PAPERS:
        text = (TOP / paper).read_text(encoding="utf-8")
        assert re.findall(r"^[A-Z]{4,}$", text, re.MULTILINE) == [], paper
