"""The fixed words of the sheets: all there, in every language, and none too many."""

import ast
import re
import subprocess
import sys
import unicodedata
from functools import cache
from importlib.resources import files
from pathlib import Path

import pytest

from compiler.model.clinic import Zone
from compiler.model.languages import SUPPORTED
from compiler.model.read_head import PRECAUTIONS
from compiler.products.pictograms import PICTOGRAMS
from compiler.source import Source
from compiler.wording.numbers import numbers
from compiler.wording.packaged import has_words, languages_with_words, packaged, without_words
from compiler.wording.review import review_of, reviewed
from compiler.wording.words import SLOT, words

ROOT = Path(__file__).parents[2]
TRANSLATED = [tag for tag in languages_with_words() if tag != "en"]
SCRIPTS = {
    **dict.fromkeys(("es", "fr", "pt", "de", "pl", "vi", "tl", "so"), "LATIN"),
    **dict.fromkeys(("ar", "fa", "ur"), "ARABIC"),
    **dict.fromkeys(("zh-Hans", "zh-Hant"), "CJK"),
    **dict.fromkeys(("uk", "ru"), "CYRILLIC"),
    **{"hi": "DEVANAGARI", "bn": "BENGALI", "am": "ETHIOPIC", "th": "THAI", "ko": "HANGUL"},
}
TRADE_NAME = "QR"
"""Stays in Latin letters in languages that write it so."""


@cache
def trees():
    """Every module of the compiler, parsed."""
    modules = (ROOT / "compiler").rglob("*.py")
    return tuple(ast.parse(file.read_text(encoding="utf-8")) for file in modules)


def texts(tree):
    """Every text constant below a node."""
    nodes = (node for node in ast.walk(tree) if isinstance(node, ast.Constant))
    return {node.value for node in nodes if isinstance(node.value, str)}


def named_texts(tree):
    """Constants of a module that are a text or a row of texts, by name."""
    named = {}
    for node in tree.body:
        if not isinstance(node, ast.Assign):
            continue
        for target in node.targets:
            pairs = [(target, node.value)]
            if isinstance(target, ast.Tuple) and isinstance(node.value, ast.Tuple):
                pairs = zip(target.elts, node.value.elts, strict=True)
            named |= {
                name.id: texts(value)
                for name, value in pairs
                if isinstance(name, ast.Name) and isinstance(value, ast.Constant | ast.Tuple)
            }
    return named


@cache
def spoken():
    """Every text that code or a template says, and the words said through a table."""
    named = {}
    for tree in trees():
        named |= named_texts(tree)
    said = {pictogram.meaning for pictogram in PICTOGRAMS.values()}
    said |= {f"{zone.value} area" for zone in Zone} | set(PRECAUTIONS)
    for tree in trees():
        own = named_texts(tree)
        for words_said in _said(tree):
            said |= texts(words_said)
            names = (n.id for n in ast.walk(words_said) if isinstance(n, ast.Name))
            said |= set().union(*(own.get(name, named.get(name, set())) for name in names))
    for file in (ROOT / "themes").rglob("*.html"):
        said |= set(re.findall(r"""\bsay\(\s*"([^"]+)\"""", file.read_text(encoding="utf-8")))
    return said


def _said(tree):
    """First arguments of `say(…)`, and the lists that modules call SPOKEN."""
    for node in ast.walk(tree):
        if isinstance(node, ast.Call) and _name(node.func) == "say" and node.args:
            yield node.args[0]
        elif isinstance(node, ast.Assign) and "SPOKEN" in map(_name, node.targets):
            yield node.value


def _name(function):
    return getattr(function, "attr", getattr(function, "id", ""))


def constants():
    """Every text constant of the compiler, for words that reach `say` by a variable."""
    return set().union(*map(texts, trees()))


@pytest.mark.parametrize("tag", TRANSLATED)
def test_every_word_that_is_said_is_translated(tag):
    catalogue = packaged(tag)

    assert sorted(w for w in spoken() if not catalogue.find("", w)) == []
    assert [e.source for e in catalogue.entries.values() if not e.usable] == []


def test_no_word_is_there_for_nothing():
    idle = {key[1] for key in packaged("es").entries} - spoken() - constants()

    assert sorted(idle) == []


def test_all_languages_have_the_same_words():
    lists = {tag: list(packaged(tag).entries) for tag in TRANSLATED}

    assert {tag for tag in TRANSLATED if lists[tag] != lists["es"]} == set()
    assert set(TRANSLATED) == set(SCRIPTS)


def test_every_supported_language_has_words():
    assert [tag for tag in SUPPORTED if not has_words(tag)] == []
    assert {"en", *TRANSLATED} == set(SUPPORTED)


@pytest.mark.parametrize("tag", TRANSLATED)
def test_numbers_and_slots_stay(tag):
    for entry in packaged(tag).entries.values():
        assert sorted(SLOT.findall(entry.text)) == sorted(SLOT.findall(entry.source)), (
            entry.text
        )
        assert numbers(entry.text) == numbers(entry.source), entry.text


@pytest.mark.parametrize("tag", SCRIPTS)
def test_words_are_in_the_script_of_the_language(tag):
    """The names in the Unicode character database tell the script of a letter."""
    for entry in packaged(tag).entries.values():
        text = SLOT.sub("", entry.text).replace(TRADE_NAME, "")
        letters = [sign for sign in text if sign.isalpha()]
        names = {unicodedata.name(sign).partition(" ")[0] for sign in letters}
        assert names <= {SCRIPTS[tag]}, entry.text


@pytest.mark.parametrize("tag", TRANSLATED)
def test_msgfmt_accepts_the_packaged_files(tag):
    """GNU gettext's own check."""
    file = files("compiler.wording") / "words" / f"{tag}.po"
    checked = subprocess.run(
        ["msgfmt", "--check", "-o", "-", str(file)], capture_output=True, check=False
    )

    assert (checked.returncode, checked.stderr) == (0, b"")


def test_nobody_has_reviewed_them_and_they_say_so():
    """A review would have to be of just these texts; none has been made."""
    for tag in TRANSLATED:
        assert review_of(packaged(tag)) is None
        assert not reviewed(packaged(tag))


def test_filling_in():
    assert words("ar-EG").say("after {number}", number=12) == "بعد ١٢"
    assert words("es").quote("{number}") == "«{number}»"
    assert words("es").say("say {stop}", stop="{number}") == "say {number}"
    assert words("en").say("after {number}", number="{number}") == "after {number}"


QUOTATION = re.compile('[“”„‟«»‹›「」『』"]')


@pytest.mark.parametrize("tag", TRANSLATED)
def test_no_fixed_words_bring_their_own_quotation_marks(tag):
    """Those of CLDR are put around what is quoted; see `test_languages.py`."""
    assert [e.text for e in packaged(tag).entries.values() if QUOTATION.search(e.text)] == []


def test_regions_fall_back_and_scripts_do_not():
    """RFC 4647, section 3.4, lookup drops subtags; a script is another alphabet, so it stays."""
    assert packaged("es-MX") is packaged("es")
    assert packaged("es-419") is packaged("es")
    assert packaged("zh-Hans-CN") is packaged("zh-Hans")
    assert packaged("zh-Arab") is None
    assert packaged("zh-TW") is None
    assert packaged("es-Arab") is None
    assert has_words("en-GB")
    assert not has_words("qaa")
    assert words("qaa").say("Owner") == "Owner"


def test_reading_catalogues_does_not_import_babel():
    """Babel takes longer to import than a protocol takes to be validated."""
    code = (
        "import sys, compiler.model.translate, compiler.wording.packaged, compiler.wording.update\n"
        "sys.exit(any(name.startswith('babel') for name in sys.modules))"
    )

    assert subprocess.run([sys.executable, "-c", code], cwd=ROOT, check=False).returncode == 0


def test_a_language_without_words_is_found_where_it_is_named():
    source = Source("clinic.yaml", "languages: [en, es-MX, qaa, zh-Arab, zh-Hans]")
    tags = ("en", "es-MX", "qaa", "zh-Arab", "zh-Hans")
    places = [source.text.index(tag) for tag in tags]
    spoken = [(t, source.span(at, at + len(t))) for t, at in zip(tags, places, strict=True)]

    found = list(without_words(spoken))

    assert [f.message for f in found] == [
        "The fixed words of the sheets do not exist in qaa.",
        "The fixed words of the sheets do not exist in zh-Arab.",
    ]
    assert [f.at.span.text for f in found] == ["qaa", "zh-Arab"]
