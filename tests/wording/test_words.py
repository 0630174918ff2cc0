"""The fixed words of the sheets: all there, in every language, and none too many."""

import ast
import re
import subprocess
import sys
import unicodedata
from importlib.resources import files
from pathlib import Path

import pytest

from compiler.model.clinic import Zone
from compiler.model.read_head import PRECAUTIONS
from compiler.products.pictograms import PICTOGRAMS
from compiler.source import Source
from compiler.wording.numbers import numbers
from compiler.wording.packaged import has_words, languages_with_words, packaged, without_words
from compiler.wording.words import SLOT, words

ROOT = Path(__file__).parents[2]
TRANSLATED = [tag for tag in languages_with_words() if tag != "en"]
SCRIPTS = {"ar": "ARABIC", "zh-Hans": "CJK", "hi": "DEVANAGARI", "es": "LATIN"}


def trees():
    """Every module of the compiler, parsed."""
    for file in (ROOT / "compiler").rglob("*.py"):
        yield ast.parse(file.read_text(encoding="utf-8"))


def texts(tree):
    """Every text constant below a node."""
    nodes = (node for node in ast.walk(tree) if isinstance(node, ast.Constant))
    return {node.value for node in nodes if isinstance(node.value, str)}


def named_texts():
    """Constants of modules that are one text, by name."""
    return {
        target.id: node.value.value
        for tree in trees()
        for node in tree.body
        if isinstance(node, ast.Assign) and isinstance(node.value, ast.Constant)
        for target in node.targets
        if isinstance(target, ast.Name)
    }


def spoken():
    """Every text that code or a template says, and the words said through a table."""
    named = named_texts()
    said = {pictogram.meaning for pictogram in PICTOGRAMS.values()} | {"“{text}”"}
    said |= {f"{zone.value} area" for zone in Zone} | set(PRECAUTIONS)
    for tree in trees():
        for words_said in _said(tree):
            said |= texts(words_said)
            names = (n.id for n in ast.walk(words_said) if isinstance(n, ast.Name))
            said |= {named[name] for name in names if name in named}
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
    assert set(TRANSLATED) >= set(SCRIPTS)


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
        letters = [sign for sign in SLOT.sub("", entry.text) if sign.isalpha()]
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
    assert words("en").reviewed
    for tag in TRANSLATED:
        catalogue = packaged(tag)
        assert words(tag).reviewed == bool(catalogue.headers["X-Reviewed-By"])


def test_filling_in():
    assert words("ar-EG").say("after {number}", number=12) == "بعد ١٢"
    assert words("es").quote("{number}") == "«{number}»"
    assert words("en").say("after {number}", number="{number}") == "after {number}"


def test_regions_fall_back_and_scripts_do_not():
    """RFC 4647, section 3.4, lookup drops subtags; a script is another alphabet, so it stays."""
    assert packaged("es-MX") is packaged("es")
    assert packaged("es-419") is packaged("es")
    assert packaged("zh-Hans-CN") is packaged("zh-Hans")
    assert packaged("zh-Hant") is None
    assert packaged("zh-TW") is None
    assert packaged("es-Arab") is None
    assert has_words("en-GB")
    assert not has_words("qaa")
    assert words("qaa").say("or") == "or"


def test_reading_catalogues_does_not_import_babel():
    """Babel takes longer to import than a protocol takes to be validated."""
    code = (
        "import sys, compiler.model.translate, compiler.wording.packaged, compiler.wording.update\n"
        "sys.exit(any(name.startswith('babel') for name in sys.modules))"
    )

    assert subprocess.run([sys.executable, "-c", code], cwd=ROOT, check=False).returncode == 0


def test_a_language_without_words_is_found():
    at = Source("clinic.yaml", "languages").span(0, 9)

    found = list(without_words(("en", "es-MX", "qaa", "zh-Hant", "zh-Hans"), at))

    assert [f.message for f in found] == [
        "The fixed words of the sheets do not exist in qaa.",
        "The fixed words of the sheets do not exist in zh-Hant.",
    ]
