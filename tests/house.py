"""What the tests of the house share: where things are, and what is or will be committed."""

from __future__ import annotations

import ast
import subprocess
from functools import cache
from pathlib import Path

TOP = Path(__file__).parent.parent
PACKAGE = TOP / "compiler"
MODULES = sorted(PACKAGE.rglob("*.py"))


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
