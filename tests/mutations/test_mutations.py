"""Every class of fault, in every protocol that there is: told, or harmless for a stated reason."""

from __future__ import annotations

import json
from collections import Counter
from pathlib import Path

import pytest

from tests.mutations.excuses import excuse
from tests.mutations.faults import FAULTS
from tests.mutations.spoiling import counted, protocols

PROTOCOLS = protocols()
README = Path(__file__).parent.parent / "README.md"
BEGIN, END = "<!-- mutations -->\n", "<!-- end of mutations -->\n"
GOLDEN = Path(__file__).parent.parent / "golden" / "mutations"


@pytest.mark.parametrize("name", PROTOCOLS)
def test_nothing_dangerous_is_unfound(name, golden):
    """A spoilt protocol is told, or its own words say why it is harmless."""
    files = PROTOCOLS[name]
    shown = {}
    for fault, count in counted(files).items():
        reasons = Counter(excuse(fault, files, line) for line in count.untold)
        unexcused = [line for line in count.untold if not excuse(fault, files, line)]

        assert unexcused == [], f"{fault}: nothing tells of a change to these lines"
        shown[fault] = {"made": count.made, "found": count.found, "harmless": dict(reasons)}

    golden(f"mutations/{name}.json", json.dumps(shown, indent=1, sort_keys=True) + "\n")


def table() -> str:
    """The table of the README, added up from what was kept for each protocol."""
    made, found, reasons = Counter(), Counter(), {fault: Counter() for fault in FAULTS}
    for name in PROTOCOLS:
        for fault, row in json.loads(
            (GOLDEN / f"{name}.json").read_text(encoding="utf-8")
        ).items():
            made[fault] += row["made"]
            found[fault] += row["found"]
            reasons[fault].update(row["harmless"])
    lines = ["| what was spoilt | made | found | harmless by the model |", "|---|---|---|---|"]
    for fault in FAULTS:
        why = "; ".join(f"{n}: {reason}" for reason, n in sorted(reasons[fault].items()))
        lines.append(f"| {fault} | {made[fault]} | {found[fault]} | {why} |")
    total = f"| all, in {len(PROTOCOLS)} protocols | {made.total()} | {found.total()} | |"
    return "\n".join([*lines, total]) + "\n"


def test_the_readme_shows_these_figures(request):
    """The table in tests/README.md is the one that the tests keep; --accept rewrites it."""
    text = README.read_text(encoding="utf-8")
    before, rest = text.split(BEGIN)
    _, after = rest.split(END)
    whole = before + BEGIN + table() + END + after
    if request.config.getoption("--accept"):
        README.write_text(whole, encoding="utf-8")
    assert whole == text or request.config.getoption("--accept")


def test_every_class_of_fault_was_tried():
    for line in table().splitlines()[2:-1]:
        assert int(line.split("|")[2]) > 0, line
