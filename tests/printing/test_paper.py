"""Paper sizes against the standards that define them."""

import pytest

from compiler.layout.paper import ISO_A, NORTH_AMERICAN, PAPERS, larger, paper_named


def test_a_series_follows_from_its_rule():
    """ISO 216:2007, from memory: A0 is 841 by 1189 mm; each next size halves the longer side.

    Whole millimetres, rounded down.
    """
    width, height = 841, 1189
    sizes = {}
    for number in range(1, 5):
        width, height = height // 2, width
        sizes[f"A{number}"] = (width, height)
    assert {paper.name: (paper.width, paper.height) for paper in ISO_A} == sizes


@pytest.mark.parametrize(
    ("name", "inches"),
    [
        # ANSI/ASME Y14.1, Drawing sheet size and format, from memory: sizes A, B, C, D.
        ("Letter", (8.5, 11)),
        ("Tabloid", (11, 17)),
        ("ANSI C", (17, 22)),
        ("ANSI D", (22, 34)),
    ],
)
def test_north_american_sizes_are_the_standards_inches(name, inches):
    paper = PAPERS[name]
    assert (paper.width, paper.height) == pytest.approx([25.4 * side for side in inches])


@pytest.mark.parametrize("family", [ISO_A, NORTH_AMERICAN], ids=["iso", "ansi"])
def test_each_family_grows(family):
    areas = [paper.width * paper.height for paper in family]
    assert areas == sorted(areas)
    assert larger(family[0]) == family[1:]
    assert larger(family[-1]) == ()


def test_turning_keeps_the_sheet():
    for paper in PAPERS.values():
        assert paper.upright
        assert not paper.landscape.upright
        assert paper.landscape.portrait == paper
        assert {paper.landscape.width, paper.landscape.height} == {paper.width, paper.height}


def test_names_are_found_however_they_are_written():
    assert paper_named("ansi-d") is PAPERS["ANSI D"]
    assert paper_named("letter") is PAPERS["Letter"]
    assert paper_named("A5") is None
