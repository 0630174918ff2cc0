"""Themes: found where they are, read as data, refused with a reason; templates cannot reach out."""

import shutil

import pytest
from jinja2.exceptions import SecurityError, UndefinedError

from compiler.findings import UnreadableSourceError
from compiler.products import theme as themes
from compiler.products.html import fill, isolated, with_values
from compiler.products.pictograms import PICTOGRAMS
from compiler.products.theme import home, read_theme, theme_named, theme_names


@pytest.fixture
def own(tmp_path):
    """A copy of the default theme to spoil."""
    return shutil.copytree(home() / "default", tmp_path / "own")


def test_the_checkouts_themes_are_found():
    assert "default" in theme_names()
    assert (theme_named().folder / "poster.html").is_file()


def test_an_installed_package_brings_its_own(tmp_path, monkeypatch):
    """In a wheel the themes lie inside the package, as the build's force-include says."""
    shutil.copytree(home() / "default", tmp_path / "themes" / "mine")
    monkeypatch.setattr(themes, "files", lambda package: tmp_path)
    assert theme_names() == ("mine",)


def test_an_unknown_theme_is_refused_with_the_nearest_name():
    with pytest.raises(UnreadableSourceError, match='did you mean "default"'):
        theme_named("defualt")


def test_a_broken_file_is_refused_with_its_line(own):
    (own / "theme.yaml").write_text("colours: {\n")
    with pytest.raises(UnreadableSourceError, match=r"own cannot be read: .*line \d"):
        read_theme(own)


def test_a_missing_value_is_named(own):
    text = (own / "theme.yaml").read_text().replace("  gutter:", "  guter:")
    (own / "theme.yaml").write_text(text)
    with pytest.raises(UnreadableSourceError, match="needs a number at poster, gutter"):
        read_theme(own).number("poster/gutter")
    with pytest.raises(UnreadableSourceError, match="needs a text at poster, margin"):
        read_theme(own).text("poster/margin")


def test_every_pictogram_is_drawn():
    for name in PICTOGRAMS:
        assert (theme_named().folder / "pictograms" / f"{name}.svg").is_file()


def test_a_template_cannot_reach_python(own):
    (own / "poster.html").write_text("{{ ''.__class__.__mro__ }}")
    with pytest.raises(SecurityError):
        fill(read_theme(own), "poster.html", "ltr", {})


def test_a_name_that_is_not_given_is_an_error_and_not_an_empty_place(own):
    (own / "poster.html").write_text("{{ caution }}")
    with pytest.raises(UndefinedError):
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
