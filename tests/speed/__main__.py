"""`python -m tests.speed`: every figure that the project promises, measured now.

Compare figures within one run only; a busy machine shifts them all together.
"""

from __future__ import annotations

import json
import math
import re
import shutil
import statistics
import subprocess
import sys
import tempfile
from collections.abc import Iterator
from pathlib import Path

from compiler.pipeline import open_set, validated
from tests.speed.comparing import comparing
from tests.speed.editions import editions
from tests.speed.measuring import ENVIRONMENT, TOP, Row, pace, process, python, seconds
from tests.speed.proving import asked_again, hard_set, many_gloves
from tests.speed.reporting import reporting
from tests.speed.shelf_of_protocols import many
from tests.speed.translating import translating

MANY = 1000
LANGUAGES = ("en", "es", "ar", "zh-Hans", "hi")


def validating() -> Iterator[Row]:
    """Validation as a person meets it: a process from start to end."""
    with tempfile.TemporaryDirectory() as place:
        copy = shutil.copytree(TOP / "protocols", f"{place}/set")
        clinic = Path(copy, "clinic.yaml")
        text = clinic.read_text(encoding="utf-8")
        clinic.write_text(re.sub("(?m)^languages:.*", "languages: [en]", text), "utf-8")
        alone = process(python("-m", "compiler", "validate", f"{copy}/airborne-room.md"))
    yield Row("validate one protocol, process start included", alone.seconds, "s", 0.35)
    yield Row("  the same, peak memory", alone.megabytes, "MB")
    translated = process(python("-m", "compiler", "validate", "protocols/airborne-room.md"))
    yield Row("  the same with its 12 translations", translated.seconds, "s")
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


def proving() -> Iterator[Row]:
    """Many protocols, and one with more ways through it than could be walked one by one."""
    with tempfile.TemporaryDirectory() as name:
        base = Path(name)
        words = python("-m", "compiler", "validate", many(base / "many", MANY))
        thousand = process(words, runs=1, warm=0)
        each = 1000 * thousand.seconds / MANY
        yield Row(f"validate {MANY} different protocols, each", each, "ms", 5)
        yield Row("  the same, peak memory of one process", thousand.megabytes, "MB")

        forks = process(python("-m", "compiler", "validate", hard_set(base / "forks", 24, 200)))
        yield Row("24 independent forks in 200 steps", forks.seconds, "s", 1)
        yield Row("  the same, peak memory", forks.megabytes, "MB", 200)
        once, twice = (hard_set(base / f"steps-{steps}", 24, steps) for steps in (200, 400))
        ratio = seconds(lambda: proved(twice)) / seconds(lambda: proved(once))
        yield Row("  twice the steps, proof alone", ratio, "x", 2.5)


GROWTH = {
    "steps": [(24, steps) for steps in (100, 200, 400, 800)],
    "forks": [(forks, 200) for forks in (6, 12, 24, 48)],
}


def growing() -> Iterator[Row]:
    """How time and memory grow with steps and with forks: nothing is promised, all is shown."""
    with tempfile.TemporaryDirectory() as name:
        for by, sizes in GROWTH.items():
            taken = []
            for forks, steps in sizes:
                proof = _proof(hard_set(Path(name, f"{by}-{forks}-{steps}"), forks, steps))
                taken.append(proof["seconds"])
                yield Row(f"{steps} steps, {forks} forks, proof alone", proof["seconds"], "s")
                yield Row("  peak memory of the process", proof["megabytes"], "MB")
            power = math.log2(taken[-1] / taken[0]) / (len(taken) - 1)
            yield Row(f"  grows with the {by} to the power of", power, "")
        for words, write in WORST.items():
            for forks in (6, 9, 12, 24):
                proof = _proof(write(Path(name, f"{write.__name__}-{forks}"), forks))
                end = "gives up" if proof["gave up"] else "told in full"
                yield Row(f"{words}, {forks}: {end}", proof["seconds"], "s")
                yield Row("  peak memory of the process", proof["megabytes"], "MB")


def _proof(file: Path) -> dict:
    done = process(python("-m", "tests.speed.proof_process", file), runs=1, warm=0)
    return json.loads(done.out)


WORST = {"asked again, all for the hands": asked_again, "gloves on or not": many_gloves}


def proved(protocol: Path) -> None:
    """Reads and proves one protocol in this process."""
    validated(open_set(protocol.parent, [protocol]))


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
    """The example's posters in five languages, and the whole of it, as the README compiles it."""
    words = python("-m", "compiler", "compile", "protocols", "--into")
    with tempfile.TemporaryDirectory() as into:
        tags = [word for tag in LANGUAGES for word in ("--language", tag)]
        some = process([*words, into, "--product", "poster", *tags], runs=1, warm=0)
    with tempfile.TemporaryDirectory() as place:
        into, copy = f"{place}/sheets", shutil.copytree(TOP / "protocols", f"{place}/set")
        copied = python("-m", "compiler", "compile", copy, "--into", into)
        both = process(copied, runs=1, warm=0)
        again = process(copied, runs=3)
        sheets = len(list(Path(into).iterdir()))
        _edit(Path(copy, "translations", "es", "rapid-entry.po"))
        edited = process(copied, runs=1, warm=0)
    with tempfile.TemporaryDirectory() as into:
        one = process(["taskset", "-c", "0", *words, into], runs=1, warm=0)
    yield Row("20 example posters, all cores", some.seconds, "s", 15)
    yield Row("all products and languages of the example, files", sheets, "")
    yield Row("  all cores", both.seconds, "s")
    yield Row("  one core", one.seconds, "s")
    yield Row("  one core by all cores", one.seconds / both.seconds, "x", 1.8, least=True)
    yield Row("  again with nothing changed", again.seconds, "s", 0.5)
    made = [line.split()[0] for line in edited.out.splitlines() if "unchanged" not in line]
    yield Row("  again with one .po entry changed", edited.seconds, "s")
    yield Row("    sheets made, with the page of all languages", len(made), "")
    others = [n for n in made if "-es." not in n and not n.endswith("-page.html")]
    yield Row("    sheets of other languages made", len(others), "", 0)
    if both.status or one.status or some.status:
        raise SystemExit("the example set does not compile")


def _edit(catalogue: Path) -> None:
    """Changes the last sign of the last translation."""
    before, _, after = catalogue.read_text(encoding="utf-8").rpartition('."')
    catalogue.write_text(f'{before}!"{after}', encoding="utf-8")


PARTS = (
    validating,
    proving,
    growing,
    translating,
    comparing,
    editions,
    reporting,
    posters,
    example,
)


def main() -> int:
    """Prints the table; status 1 when something promised was missed."""
    missed = False
    for part in PARTS:
        print(Row("(a loop of plain Python at this moment)", pace(), "ms"), flush=True)
        for row in part():
            print(row, flush=True)
            missed |= not row.holds
    return int(missed)


if __name__ == "__main__":
    sys.exit(main())
