"""`python -m tests.speed`: every figure that the project promises, measured now.

Compare figures within one run only; a busy machine shifts them all together.
"""

from __future__ import annotations

import json
import statistics
import subprocess
import sys
import tempfile
from collections.abc import Iterator

from tests.speed.measuring import ENVIRONMENT, TOP, Row, process, python

LANGUAGES = ("en", "es", "ar", "zh-Hans", "hi")


def validating() -> Iterator[Row]:
    """Validation as a person meets it: a process from start to end."""
    words = python("-m", "compiler", "validate", "protocols/airborne-room.md")
    alone = process(words)
    yield Row("validate one protocol, process start included", alone.seconds, "s", 0.35)
    yield Row("  the same, peak memory", alone.megabytes, "MB")
    program = (
        "import sys; sys.argv = ['wallward', 'validate', 'protocols/airborne-room.md']\n"
        "from compiler.cli import main\n"
        "try: main()\n"
        "except SystemExit: print(sum(m.startswith('weasyprint') for m in sys.modules))"
    )
    imported = process(python("-c", program), runs=1).out.split()[-1]
    yield Row("  modules of the PDF engine imported by it", float(imported), "", 0)
    bare = process(python("-c", "pass"))
    yield Row("  Python starting and doing nothing", bare.seconds, "s")


def posters() -> Iterator[Row]:
    """Posters once warm, one language after another, with WeasyPrint alone beside them."""
    layouts: list[int] = []
    for language in LANGUAGES:
        ours = _sheets(language, "ours", "")
        bare = _sheets(language, "bare", json.dumps(ours.pop("pages")))
        mine, alone = (statistics.mean(x["seconds"]) for x in (ours, bare))
        layouts += ours["layouts"]
        limit = 1.0 if language == "zh-Hans" else 1.6
        yield Row(f"poster, warm, mean of four: {language}", mine, "s", 0.5)
        yield Row("  WeasyPrint alone on the final HTML", alone, "s")
        yield Row("  ours by WeasyPrint alone", mine / alone, "x", limit)
        yield Row("  peak memory of the worker", ours["megabytes"], "MB", 150)
        yield Row("  largest PDF", max(ours["sizes"]) / 1000, "KB", 120)
    yield Row("layouts per poster, mean", statistics.mean(layouts), "", 2)


def _sheets(language: str, mode: str, given: str) -> dict:
    done = subprocess.run(
        python("-m", "tests.speed.sheet_process", language, mode),
        cwd=TOP,
        env=ENVIRONMENT,
        input=given,
        capture_output=True,
        text=True,
        check=False,
    )
    if done.returncode:
        raise SystemExit(done.stderr)
    return json.loads(done.stdout)


def example() -> Iterator[Row]:
    """The whole example, as the README's first command compiles it."""
    with tempfile.TemporaryDirectory() as into:
        words = python("-m", "compiler", "compile", "protocols", "--into", into)
        both = process(words, runs=1, warm=0)
        again = process(words, runs=1, warm=0)
    with tempfile.TemporaryDirectory() as into:
        words = ["taskset", "-c", "0", *words[:-1], into]
        one = process(words, runs=1, warm=0)
    yield Row("all example posters, all cores", both.seconds, "s", 15)
    yield Row("  the same on one core", one.seconds, "s")
    yield Row("  again with nothing changed", again.seconds, "s", 0.5)
    if both.status or one.status:
        raise SystemExit("the example set does not compile")


def main() -> int:
    """Prints the table; status 1 when something promised was missed."""
    missed = False
    for part in (validating, posters, example):
        for row in part():
            print(row, flush=True)
            missed |= row.bar is not None and row.measured > row.bar
    return int(missed)


if __name__ == "__main__":
    sys.exit(main())
