"""`python -m tests`: format, lint, layers, types, tests; stops at the first failure.

Words after it go to pytest: `python -m tests tests/reading -k alias`. `--accept` rewrites
golden files; read the difference before you commit it.
"""

from __future__ import annotations

import os
import subprocess
import sys
import time
from pathlib import Path

TOP = Path(__file__).parent.parent
BIN = Path(sys.executable).parent


def stages(words: list[str]) -> list[tuple[str, list[str]]]:
    """The stages in order: name and command."""
    python = sys.executable
    return [
        ("format", [python, "-m", "ruff", "format", "--check", "-q", "."]),
        ("lint", [python, "-m", "ruff", "check", "-q", "."]),
        ("layers", [str(BIN / "lint-imports"), "--no-cache"]),
        ("types", [python, "-m", "mypy"]),
        ("tests", [python, "-m", "pytest", "-q", "-n", "2", *words]),
    ]


def main(words: list[str]) -> int:
    """Runs the stages; the exit status of the first that fails, or 0."""
    environment = {**os.environ, "PYTHONPATH": str(TOP)}
    # the tests start many processes, each of which would compile every module anew
    environment.pop("PYTHONDONTWRITEBYTECODE", None)
    for name, command in stages(words):
        begun = time.monotonic()
        print(f"== {name}", flush=True)
        status = subprocess.run(command, cwd=TOP, env=environment, check=False).returncode
        print(f"   {time.monotonic() - begun:.1f} s", flush=True)
        if status:
            print(f"{name} failed", flush=True)
            return status
    return 0


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
