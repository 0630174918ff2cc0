"""The house holds: sizes, names, edges between files, and words that must not stand anywhere.

There is no outside source for taste: each check is a promise of DEVELOPERS.md or README.md,
or of the layers in `pyproject.toml`, which `python -m tests` checks besides.
"""

from __future__ import annotations

import ast
import re
import statistics
import subprocess
import sys
import tomllib
from pathlib import Path

import pytest

from compiler.catalogue import rules
from tests.house import MODULES, PACKAGE, TOP, kept_files, named, tree_of


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
    empty |= {"info", "stuff", "types", "constants"}

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
    "pydyf": {"products/"},
    "jinja2": {"products/html.py", "products/templates.py"},
    "segno": {"products/html.py"},
    "pypdfium2": {"products/picture.py"},
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
            at_home = inside.startswith(tuple(homes))
            assert library not in roots or at_home, f"{library} in {inside}"


def test_no_clocks_and_no_chance():
    """The same input gives the same bytes, so nothing asks for the time or throws dice.

    One file of the command line asks the calendar which day it is; all else is given the day.
    """
    for path in MODULES:
        assert not imported(path) & {"random", "secrets", "uuid", "time"}, named(path)
        asked = {
            node.attr for node in ast.walk(tree_of(path)) if isinstance(node, ast.Attribute)
        }
        clocks = asked & {"now", "today", "utcnow", "urandom"}
        assert clocks == ({"today"} if named(path) == "compiler/cli/day.py" else set()), path


def test_rules_yield_and_do_not_raise():
    """A mistake in a document is a finding; only a fault in the program may raise in a rule."""
    for path in sorted((PACKAGE / "rules").rglob("*.py")):
        for node in ast.walk(tree_of(path)):
            if isinstance(node, ast.Raise):
                assert "AssertionError" in ast.unparse(node), f"{named(path)}:{node.lineno}"


@pytest.mark.parametrize(
    "command",
    ["validate", "explain", "start", "translate", "compare", "follow", "sign", "trace"],
)
def test_only_compiling_waits_for_the_libraries_of_printing(command):
    program = f"import sys, compiler.cli.{command}; print(*sys.modules)"

    done = subprocess.run(
        [sys.executable, "-c", program], cwd=TOP, capture_output=True, text=True, check=True
    )

    loaded = {module.split(".")[0] for module in done.stdout.split()}
    assert "click" in loaded
    assert not loaded & {"weasyprint", "uharfbuzz", "babel", "jinja2", "pikepdf", "segno"}


# ---- dependencies and words


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
    brought = {"markupsafe"}  # by jinja2, whose escaping it is
    used = {module.split(".")[0] for path in MODULES for module in imported(path)}

    foreign = used - sys.stdlib_module_names - brought - {"compiler"}
    assert foreign == {modules.get(name, name) for name in names}


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
        if name.endswith(".png"):
            continue
        text = (TOP / name).read_bytes().decode("utf-8", "replace")
        met = FORBIDDEN.search(text)
        assert met is None, f"{name}: {met and met[0]}"
