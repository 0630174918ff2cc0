"""What a finding on a poster says would help is done, and helps."""

import pytest

from compiler.layout.paper import PAPERS, Paper
from compiler.products.poster import poster
from tests.printing.cures import uncured
from tests.printing.posters import made, order, small
from tests.printing.random_posters import random_order


def steps(count, lead, detail):
    """So many steps with leads and details of so many words."""
    acts = ("`wear gown`", "`remove gown` `discard gown`")
    lines = (
        f"{i}. **{' '.join(['Do', *['things'] * (lead - 1)])}.** "
        f"{'Slowly ' * detail}{acts[i % 2]}"
        for i in range(1, count + 1)
    )
    return "\n# On `donning in change room`\n\n" + "\n".join(lines) + "\n"


CASES = {
    "on A2": lambda: order("airborne-room", paper="A3"),
    "upright": lambda: small(steps(16, 2, 12), paper="A3", orientation="landscape"),
    "do without": lambda: small(steps(9, 5, 30), paper="A4"),
    "mm) and do without": lambda: small(steps(45, 2, 90), paper="A2"),
    "on a sheet each, on A1": lambda: random_order(9),
    "come nearer": lambda: small(steps(60, 12, 0), paper="A1"),
    "as far as step": lambda: small(steps(120, 28, 0), paper="A1"),
}


@pytest.mark.parametrize("way", CASES)
def test_each_way_of_a_remedy_makes_the_finding_go(way):
    wanted = CASES[way]()
    (finding,) = poster(wanted).findings
    assert way in finding.remedy
    assert uncured(wanted, finding) == []


def test_a_remedy_that_is_not_done_does_not_help():
    """So that the test above can fail."""
    (finding,) = made("airborne-room", paper="A3").findings
    away = finding.remedy.replace("A2 (420 × 594 mm)", "A3 (297 × 420 mm)")
    told = type(finding)(finding.rule, finding.message, finding.at, remedy=away)
    assert uncured(order("airborne-room", paper="A3"), told)


def test_the_millimetres_missing_are_enough(monkeypatch):
    """Paper longer by what is told makes the finding go; paper longer by a little less does not."""
    wanted = small(steps(8, 5, 30), paper="A4", orientation="portrait")
    (finding,) = poster(wanted).findings
    missing = int(finding.message.split()[-4])
    monkeypatch.setitem(PAPERS, "A4", Paper("A4", 210, 297 + missing + 1))
    assert poster(wanted).findings == ()
    monkeypatch.setitem(PAPERS, "A4", Paper("A4", 210, 297 + missing - 5))
    assert poster(wanted).findings
