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
from compiler.products.pictograms import PICTOGRAMS
from compiler.wording.numbers import numbers
from compiler.wording.packaged import has_words, languages_with_words, packaged
from compiler.wording.words import SLOT, words

ROOT = Path(__file__).parents[2]
TRANSLATED = [tag for tag in languages_with_words() if tag != "en"]
SCRIPTS = {"ar": "ARABIC", "zh-Hans": "CJK", "hi": "DEVANAGARI", "es": "LATIN"}


def spoken():
    """Every literal that code or a template says, and the words said through a table."""
    said = {pictogram.meaning for pictogram in PICTOGRAMS.values()} | {"“{text}”"}
    for file in (ROOT / "compiler").rglob("*.py"):
        for node in ast.walk(ast.parse(file.read_text(encoding="utf-8"))):
            if isinstance(node, ast.Call) and _name(node.func) == "say":
                said |= {
                    leaf.value
                    for leaf in ast.walk(node.args[0] if node.args else ast.Constant(0))
                    if isinstance(leaf, ast.Constant) and isinstance(leaf.value, str)
                }
    for file in (ROOT / "themes").rglob("*.html"):
        said |= set(re.findall(r"""\bsay\(\s*"([^"]+)\"""", file.read_text(encoding="utf-8")))
    return said


def _name(function):
    return getattr(function, "attr", getattr(function, "id", ""))


def constants():
    """Every text constant of the compiler, for words that reach `say` by a variable."""
    found = {zone.value for zone in Zone} | {f"{zone.value} area" for zone in Zone}
    for file in (ROOT / "compiler").rglob("*.py"):
        tree = ast.parse(file.read_text(encoding="utf-8"))
        found |= {
            node.value
            for node in ast.walk(tree)
            if isinstance(node, ast.Constant) and isinstance(node.value, str)
        }
    return found


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
    assert words("ar-EG").say("Step {number}", number=12) == "الخطوة ١٢"
    assert words("es").quote("{number}") == "«{number}»"
    assert words("en").say("Step {number}", number="{number}") == "Step {number}"


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
    assert words("qaa").say("Step") == "Step"


def test_reading_catalogues_does_not_import_babel():
    """Babel takes longer to import than a protocol takes to be validated."""
    code = (
        "import sys, compiler.model.translate, compiler.wording.packaged, compiler.wording.update\n"
        "sys.exit(any(name.startswith('babel') for name in sys.modules))"
    )

    assert subprocess.run([sys.executable, "-c", code], cwd=ROOT, check=False).returncode == 0
