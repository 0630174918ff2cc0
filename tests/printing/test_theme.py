"""Themes: found where they are, read as data, refused with a reason; templates cannot reach out."""

import re
import shutil
from xml.etree import ElementTree

import pytest

from compiler import own_files
from compiler.findings import UnreadableSourceError
from compiler.own_files import themes_home
from compiler.products.html import fill, isolated, with_values
from compiler.products.pictograms import PICTOGRAMS
from compiler.products.templates import TemplateFaultError
from compiler.products.theme import read_theme, theme_named, theme_names
from compiler.products.theme_files import COMPILERS


@pytest.fixture
def own(tmp_path):
    """A copy of the default theme to spoil."""
    return shutil.copytree(themes_home() / "default", tmp_path / "own")


def test_the_checkouts_themes_are_found():
    assert "default" in theme_names()
    assert (theme_named().folder / "poster.html").is_file()


def test_an_installed_package_brings_its_own(tmp_path, monkeypatch):
    """In a wheel the themes lie inside the package, as the build's force-include says."""
    shutil.copytree(themes_home() / "default", tmp_path / "themes" / "mine")
    monkeypatch.setattr(own_files, "files", lambda package: tmp_path)
    assert theme_names() == ("mine",)


@pytest.mark.parametrize("name", theme_names())
def test_the_themes_that_come_with_the_compiler_have_no_mistakes(name, tmp_path):
    """Read as a clinic's own would be, with all files looked at."""
    copy = shutil.copytree(themes_home() / name, tmp_path / f"copy-of-{name}")
    assert [finding.message for finding in theme_named(name).findings] == []
    told = [finding.message for finding in read_theme(copy).findings]
    # the web pages' templates and program are the compiler's; a copy of the default has them
    assert all(any(f'"{file}"' in message for file in COMPILERS) for message in told)
    assert bool(told) == (name == "default")


def test_an_unknown_theme_is_refused_with_the_nearest_name():
    with pytest.raises(UnreadableSourceError, match='did you mean "default"'):
        theme_named("defualt")


def test_every_pictogram_is_drawn():
    for name in PICTOGRAMS:
        assert (theme_named().folder / "pictograms" / f"{name}.svg").is_file()


def test_a_theme_has_what_it_does_not_say_from_the_one_it_is_based_on(tmp_path):
    text = 'based on: mono\ncolours:\n  ink: "#102030"\n'
    (tmp_path / "theme.yaml").write_text(text)
    (tmp_path / "more.css").write_text(".notices { color: var(--ink); }")
    own, mono, default = read_theme(tmp_path), theme_named("mono"), theme_named()

    assert own.findings == ()
    assert own.colours == {**mono.colours, "ink": "#102030"}
    assert own.number("poster/band line") == mono.number("poster/band line") > 0
    assert own.number("poster/gutter") == default.number("poster/gutter")
    assert own.read("poster.html") == default.read("poster.html")
    css = own.css("poster.css")
    assert css.startswith(default.css("poster.css"))
    assert css.index(mono.css("poster.css").removeprefix(default.css("poster.css"))) > 0
    assert css.endswith(".notices { color: var(--ink); }")


def test_a_style_of_its_own_starts_afresh(tmp_path):
    (tmp_path / "theme.yaml").write_text("based on: mono\n")
    (tmp_path / "poster.css").write_text("p { color: var(--ink); }")
    assert read_theme(tmp_path).css("poster.css") == "p { color: var(--ink); }"


def test_pictograms_take_the_paints_of_the_theme():
    """No colour is left that the black-and-white theme does not have."""
    for name in PICTOGRAMS:
        drawn = theme_named("mono").pictogram(name)
        assert set(re.findall("#[0-9a-f]{3,6}\\b", drawn)) <= {"#000000", "#ffffff"}
        ElementTree.fromstring(drawn)
        if "#c9ced6" in theme_named().pictogram(name):
            assert "url(#garment)" in drawn


def test_a_file_that_leads_out_of_the_theme_is_not_read(tmp_path):
    (tmp_path / "secret.html").write_text("secret")
    (tmp_path / "own").mkdir()
    (tmp_path / "own" / "theme.yaml").write_text("")
    (tmp_path / "own" / "poster.html").symlink_to(tmp_path / "secret.html")
    own = read_theme(tmp_path / "own")
    assert [f.rule.slug for f in own.findings] == ["theme-mistake"]
    with pytest.raises(UnreadableSourceError, match="leads out"):
        own.read("poster.html")


def test_a_template_cannot_reach_python(own):
    (own / "poster.html").write_text("{{ ''.__class__.__mro__ }}")
    with pytest.raises(TemplateFaultError, match="unsafe"):
        fill(read_theme(own), "poster.html", "ltr", {})


def test_a_name_that_is_not_given_is_an_error_and_not_an_empty_place(own):
    (own / "poster.html").write_text("{{ caution }}")
    with pytest.raises(TemplateFaultError, match="'caution' is undefined"):
        fill(read_theme(own), "poster.html", "ltr", {})


def test_what_is_given_is_escaped(own):
    (own / "poster.html").write_text("{{ words }}|{{ words|isolated }}")
    for direction in ("ltr", "rtl"):
        page = fill(read_theme(own), "poster.html", direction, {"words": "<b>&"})
        assert page == "&lt;b&gt;&amp;|" + page.partition("|")[2]
        assert "<b" not in page


@pytest.mark.parametrize(
    ("text", "kept"),
    [
        # Unicode Standard Annex 9: without isolation these are shown in another order in a
        # paragraph that runs from right to left.
        ("مدة 37.5 °C فقط", ["37.5 °C"]),
        ("هاتف +44 20 7946 0000", ["+44 20 7946 0000"]),
        ("هاتف +1 (555) 0100", ["+1 (555) 0100"]),
        ("من 2026-11-01 (1 نوفمبر 2026)", ["2026-11-01", "2026"]),
        ("رمز K7QD-M2XN", ["K7QD-M2XN"]),
        ("خطوة 7", []),
        ("A3, طولي", ["A3"]),
    ],
)
def test_what_keeps_its_order_from_right_to_left(text, kept):
    marked = isolated(text)
    for words in kept:
        assert f'<span dir="ltr">{words}</span>' in marked
    assert marked.count("<span") == len(kept)


def test_a_style_sheet_that_asks_for_an_unknown_value_is_an_error():
    with pytest.raises(KeyError):
        with_values("hr { height: var(--nothing) }", {"rail": 1.0})
