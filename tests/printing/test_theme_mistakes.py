"""A theme's mistakes are findings with a place and a remedy; its own example works."""

import re
import shutil
from pathlib import Path

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from compiler.findings import must_fix
from compiler.layout.contrast import LEAST_CONTRAST, contrast
from compiler.own_files import themes_home
from compiler.products.theme import read_theme, theme_in, theme_named
from compiler.source import Source
from tests.command.running import run_inside, write_set

EXAMPLE = re.compile(r"<!-- own theme: (\S+) -->\n```\w+\n(.*?)```", re.DOTALL)


def told(text):
    """Line, column, message and remedy of each finding of a `theme.yaml`."""
    found = theme_in(Source("theme.yaml", text), Path("own")).findings
    return [(f.at.span.line, f.at.span.column, f.message, f.remedy) for f in found]


@pytest.mark.parametrize(
    ("text", "place", "message", "remedy"),
    [
        ("colour:\n  ink: '#000000'", (1, 1), '"colour" is not a key', '"colours"'),
        ("colours:\n  inc: '#000000'", (2, 3), '"inc" is not a key of "colours"', '"ink"'),
        ("colours:\n  ink: black", (2, 8), '"black" cannot be', '"#16202a"'),
        ("colours:\n  ink: '#000'", (2, 8), '"#000" cannot be', "six digits"),
        ("colours:\n  ink:", (2, 3), '"ink" has no value', "#16202a"),
        ("colours: blue", (1, 10), '"colours" is not a map', "paper, ink"),
        ("colours:\n  ink: 'red; } p { display: none'", (2, 8), "cannot be", "colour"),
        ("poster:\n  gutter: wide", (2, 11), '"wide" cannot be', "2.1"),
        ("poster:\n  gutter: true", (2, 11), '"true" cannot be', "number"),
        ("poster:\n  gutter: .inf", (2, 11), "cannot be", "number"),
        ("poster:\n  gutter: -1", (2, 11), "cannot be", "1.05 to 4.2"),
        (
            "poster:\n  air: {usual: 0.8, most: 0.76}",
            (2, 16),
            "do not rise: 0.2 0.8 0.76",
            "rise",
        ),
        ("rail:\n  clean: {pattern: dots}", (2, 20), '"dots" cannot be', "plain or hatch"),
        ("type: {taller: {arabic: 1.2}}", (1, 17), '"arabic" is not a key', "Arab"),
        ("based on: deflaut", (1, 11), '"deflaut" is not a theme', '"default"'),
        ("based on: [default]", (1, 11), "is not a theme", '"default"'),
        ("- colours", (1, 1), "A theme is a map", "colours:"),
        ("colours: {", (1, 10), "", ""),
    ],
)
def test_a_mistake_is_told_at_its_place_with_a_remedy(text, place, message, remedy):
    found = told(text)

    assert len(found) == 1
    assert found[0][:2] == place
    assert message in found[0][2]
    assert remedy in found[0][3]


def test_all_mistakes_are_told_at_once():
    assert len(told("a: 1\nb: 2\ncolours: {c: '#000000', ink: 3}")) == 4


def test_spelling_of_keys_does_not_depend_on_case():
    assert not told("Colours:\n  Clean  Shade: '#ffffff'")


def test_the_contrast_of_each_pair_is_judged_as_wcag_says():
    """WCAG 2.2, technique G18: #767676 on white is the lightest grey that passes, #777777 fails."""
    fine = {line for line, *_ in told("colours:\n  draft: '#ffffff'\n  quiet: '#767676'\n")}
    poor = told("colours:\n  draft: '#ffffff'\n  shade: '#ffffff'\n  quiet: '#777777'\n")

    assert fine == {3}, "4.54 on white, and less on the default's shade"
    assert {found[0] for found in poor} == {4}
    assert all(
        re.search(r'"colours, quiet" .* by 4\.47 to 1, and 4\.5 to 1', f[2]) for f in poor
    )
    assert len(poor) == 3, "on paper, on the word DRAFT and on the ground of answers"
    assert contrast("#777777", "#ffffff") < LEAST_CONTRAST


@pytest.mark.parametrize(
    ("name", "text", "message", "remedy"),
    [
        ("poter.css", "p {}", 'file "poter.css"', '"poster.css"'),
        ("more-poter.css", "p {}", 'file "more-poter.css"', '"more-poster.css"'),
        ("more.css", "p { color: var(--inc) }", '"inc" is not a value', '"ink"'),
        ("more.css", "p { width: var(--rail) }", '"rail" is not a value', "known value"),
        ("more.css", "/* </style><script>alert(1)</script> */", "cannot hold HTML", "leave"),
        ("more.css", ".duty { display :none }", "hides something", "cautions"),
        ("more-card.css", ".x { VISIBILITY: hidden }", "hides something", "cautions"),
        ("page.js", "alert(1)", "page.js", "leave it out"),
        ("page.html", "<p></p>", "page.html", "leave it out"),
        ("observer.html", "{% if %}", "cannot be read", "put the template right"),
        ("pictograms/glove-on.svg", "<svg/>", '"glove-on.svg"', '"gloves-on.svg"'),
        ("pictograms/chair.svg", "<svg", "not sound SVG", "plain shapes"),
        (
            "pictograms/chair.svg",
            "<!DOCTYPE svg [<!ENTITY a 'b'>]><svg/>",
            "more than",
            "plain",
        ),
        (
            "pictograms/chair.svg",
            '<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 64 64"><script/></svg>',
            'uses "script"',
            "plain shapes",
        ),
        (
            "pictograms/chair.svg",
            '<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 64 64" onload="x"/>',
            'uses "onload"',
            "plain shapes",
        ),
    ],
)
def test_files_that_mean_nothing_or_too_much_are_told(tmp_path, name, text, message, remedy):
    (tmp_path / "pictograms").mkdir()
    (tmp_path / "theme.yaml").write_text("based on: default\n")
    (tmp_path / name).write_text(text)
    found = read_theme(tmp_path).findings

    assert any(message in f.message and remedy in f.remedy for f in found), found
    assert {f.rule.slug for f in found} == {"theme-mistake"}


def test_a_template_may_leave_out_no_caution(tmp_path):
    (tmp_path / "theme.yaml").write_text("")
    template = (themes_home() / "default" / "poster.html").read_text(encoding="utf-8")
    (tmp_path / "poster.html").write_text(template)
    assert not read_theme(tmp_path).findings
    (tmp_path / "poster.html").write_text(template.replace("sheet.caution", "sheet.contact"))
    assert "sheet.caution" in read_theme(tmp_path).findings[0].message


def test_the_readmes_example_works_and_is_about_twenty_lines(tmp_path, capsys):
    files = dict(EXAMPLE.findall((themes_home() / "README.md").read_text(encoding="utf-8")))
    folder = write_set(tmp_path / "set")
    (folder / "own").mkdir()
    for name, text in files.items():
        (folder / "own" / name).write_text(text)
    clinic = folder / "clinic.yaml"
    clinic.write_text(clinic.read_text() + "\ntheme: own\n")

    theme = read_theme(folder / "own")
    ended = run_inside(
        capsys, "compile", folder, "--into", tmp_path / "out", "--product", "steps"
    )

    assert files.keys() == {"theme.yaml", "more.css"}
    assert len(files["theme.yaml"].split("\n")) < 25
    assert theme.findings == ()
    assert theme.colours["clean"] == "#0b6b3a" != theme_named().colours["clean"]
    assert ended.status == 0, ended.err
    assert b"#0b6b3a" not in b"".join(p.read_bytes() for p in folder.rglob("*.md"))
    assert list((tmp_path / "out").glob("*.pdf"))


def test_a_theme_with_a_mistake_prints_nothing_and_says_where(tmp_path, capsys):
    folder = write_set(tmp_path / "set")
    own = tmp_path / "own"
    own.mkdir()
    (own / "theme.yaml").write_text("colours:\n  inc: '#000000'\n")
    ended = run_inside(capsys, "compile", folder, "--into", tmp_path / "out", "--theme", own)

    assert ended.status == 1
    assert "not printed" in ended.out
    assert re.search(r"theme-mistake .*own/theme\.yaml, line 2", ended.err)
    assert not list(tmp_path.glob("out/*.pdf"))


@pytest.mark.parametrize("named", ["../own", "/etc", "own/../../own", "link", "mno", "."])
def test_a_clinic_can_name_no_theme_outside_its_set(named, tmp_path, capsys):
    folder = write_set(tmp_path / "set")
    (tmp_path / "own").mkdir()
    (tmp_path / "own" / "theme.yaml").write_text("")
    (folder / "link").symlink_to(tmp_path / "own")
    clinic = folder / "clinic.yaml"
    clinic.write_text(clinic.read_text() + f"\ntheme: {named}\n")
    ended = run_inside(capsys, "validate", folder)

    assert ended.status == 1
    assert "theme-mistake" in ended.out
    assert "clinic.yaml, line" in ended.out


KEYS = sorted(key for key, value in theme_named().settings.items() if isinstance(value, float))


@settings(
    max_examples=12, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture]
)
@given(st.dictionaries(st.sampled_from(KEYS), st.sampled_from([0.7, 1.4])))
def test_lengths_within_the_bounds_never_stop_the_reader(times):
    """Whatever of the lengths a clinic changes, its theme is read, and what is told has a place."""
    lines = [
        f"{json_path(key)}{value * factor:.6g}{'}' * key.count('/')}"
        for key, factor in times.items()
        if (value := theme_named().settings[key])
    ]
    for line in lines:
        found = theme_in(Source("theme.yaml", line), Path("own")).findings
        assert all("do not rise" in f.message for f in found), (line, found)
        assert all(f.at.span.line == 1 for f in found)


def json_path(key):
    *above, last = key.split("/")
    return "".join(f"{name}: {{" for name in above) + f"{last}: "


def test_a_theme_is_no_reason_to_stop_for_colours_alone():
    """Contrast is told, and the clinic decides; what means nothing stops."""
    found = theme_in(Source("theme.yaml", "colours: {quiet: '#999999'}"), Path("own")).findings
    assert found
    assert not must_fix(found)


def test_shipped_themes_are_no_copies(tmp_path):
    """They say only what differs, so that a change of the default reaches them."""
    for name in ("mono", "high-contrast"):
        files = {path.name for path in (themes_home() / name).iterdir()}
        assert not files & {path.name for path in (themes_home() / "default").glob("*.html")}
        assert shutil.copytree(themes_home() / name, tmp_path / name)
