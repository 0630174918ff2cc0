"""Who reviewed which texts: recorded in the file itself, and void after any edit of a text."""

import datetime
import hashlib
import subprocess

import pytest

from compiler.model.texts import messages
from compiler.source import Source
from compiler.wording.catalogue import read_catalogue
from compiler.wording.packaged import packaged
from compiler.wording.review import digest, review_of, reviewed, signed
from compiler.wording.update import rewritten, update_catalogue
from tests.wording.samples import filled, protocol, reworded_step

DAY = datetime.date(2026, 11, 1)
WHO = "A. Name, interpreter of the post"


def catalogue(text):
    return read_catalogue(Source("translations/es/airborne-room.po", text))[0]


def translation():
    return filled(update_catalogue(None, messages(protocol()), "es", "x")[0].text)


def signed_text():
    return rewritten(signed(catalogue(translation()), WHO, DAY))


def test_the_hash_is_that_of_the_texts():
    """By hashlib, which is SHA-256 of FIPS 180-4, over the texts in alphabetical order."""
    text = 'msgctxt "lead"\nmsgid "b"\nmsgstr "B"\n\nmsgctxt "lead"\nmsgid "a"\nmsgstr "A"\n'
    hashed = hashlib.sha256(b"('lead', 'a', 'A')('lead', 'b', 'B')\n\n").hexdigest()

    assert digest(catalogue(text)) == f"sha256 {hashed[:16]}"


def test_a_review_tells_who_when_and_of_what():
    found = review_of(catalogue(signed_text()))

    assert (found.who, found.day, found.of) == (WHO, DAY, digest(catalogue(translation())))
    assert reviewed(catalogue(signed_text()))
    assert not reviewed(catalogue(translation()))


@pytest.mark.parametrize(
    ("old", "new"),
    [
        ("ES Close the flap.", "ES Open the flap."),
        ('msgstr "ES Close the flap."', 'msgstr ""'),
        ("msgctxt \"branch detail\"\nmsgid \"Close", "#, fuzzy\nmsgctxt \"branch detail\"\nmsgid \"Close"),
        ('msgid "Close the flap."', 'msgid "Close the pocket."'),
        ('msgctxt "branch detail"', 'msgctxt "detail"'),
        ("X-Review-Date: 2026-11-01", "X-Review-Date: soon"),
        ("X-Review-Date: 2026-11-01", "X-Review-Date: "),
        (f"X-Reviewed-By: {WHO}", "X-Reviewed-By: "),
        ("X-Review-Of: sha256 ", "X-Review-Of: "),
    ],
)  # fmt: skip
def test_any_edit_voids_it(old, new):
    text = signed_text()
    assert old in text

    assert not reviewed(catalogue(text.replace(old, new)))


def test_what_is_not_printed_does_not_void_it():
    """Comments, the order of entries and what the file says of its editor."""
    text = signed_text()
    first, *entries = text.split("\n\n")
    for other in (
        "\n\n".join([first, *reversed(entries)]),
        text.replace("#. Putting on, step 1 ", "# ask about this\n#. Putting on, step 1 ", 1),
        text.replace("Last-Translator: ", "Last-Translator: Interpreter"),
    ):
        assert other != text
        assert reviewed(catalogue(other))


def test_bringing_up_to_date_keeps_the_record_and_the_hash_judges_it():
    text = signed_text()
    same = update_catalogue(Source("x.po", text), messages(protocol()), "es", "x")[0]
    other = update_catalogue(
        Source("x.po", text),
        messages(reworded_step(protocol(), 0, lead="Rub your hands.")),
        "es",
        "x",
    )[0]

    assert same.text == text
    assert WHO in other.text
    assert not reviewed(catalogue(other.text))


def test_it_outlives_a_po_editor(tmp_path):
    """GNU gettext's msgcat takes the file apart and writes it again, wrapped and sorted."""
    file = tmp_path / "x.po"
    file.write_text(signed_text(), encoding="utf-8")
    again = subprocess.run(
        ["msgcat", "--sort-output", file], capture_output=True, check=True, encoding="utf-8"
    ).stdout

    assert again != signed_text()
    assert reviewed(catalogue(again))


def test_the_fixed_words_are_reviewed_with_the_clinics_own():
    clinic = catalogue('msgid ""\nmsgstr ""\n\nmsgctxt "place"\nmsgid "bin"\nmsgstr "cubo"\n')
    words = packaged("es")

    record = catalogue(rewritten(signed(clinic, WHO, DAY, words)))

    assert reviewed(record, words)
    assert not reviewed(record)
    assert not reviewed(record, packaged("ar"))
