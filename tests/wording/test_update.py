"""Bringing a PO file up to date: checked by GNU gettext's programs, and nobody's work lost."""

import io
import subprocess
from dataclasses import replace

import pytest
from babel.messages.pofile import read_po
from hypothesis import given
from hypothesis import strategies as st

from compiler.model.texts import clinic_messages, messages
from compiler.source import Source
from compiler.wording.catalogue import read_catalogue
from compiler.wording.messages import Message
from compiler.wording.update import update_catalogue
from tests.wording.samples import clinic, filled, protocol, reworded_step

TITLE = "Tern Island Health Post: airborne-room"


def update(old, whole, language="es"):
    source = Source("translations/es/airborne-room.po", old) if old is not None else None
    return update_catalogue(source, messages(whole), language, TITLE)


def gettext(program, text, tmp_path):
    file = tmp_path / "x.po"
    file.write_text(text, encoding="utf-8")
    return subprocess.run(
        [*program.split(), file], capture_output=True, text=True, encoding="utf-8"
    )


def test_a_new_file_has_every_text_once_in_reading_order(tmp_path):
    updated, findings = update(None, protocol())

    catalogue, _ = read_catalogue(Source("x.po", updated.text))
    assert findings == []
    assert list(catalogue.entries) == list(dict.fromkeys(m.key for m in messages(protocol())))
    assert updated.fresh == len(catalogue.entries) == 17
    checked = gettext("msgfmt --check -o /dev/null", updated.text, tmp_path)
    assert checked.returncode == 0
    assert checked.stderr.count("warning") == checked.stderr.count("PO-Revision-Date") == 1


def test_translators_are_told_where_a_text_stands():
    text = update(None, protocol())[0].text

    assert (
        "#. Putting on, step 3, if damaged, step 1 — wear coverall\n"
        "#: protocols/airborne-room.md:15\n"
        'msgctxt "lead"\nmsgid "Put on the new one."\nmsgstr ""\n'
    ) in text


def test_remarks_for_translators_are_no_places():
    """Two steps with the same picture are not the same step: an old text stays with its own."""
    remarks = lambda key: ["picture: a hook"]  # noqa: E731
    text = filled(update(None, protocol())[0].text)
    told, _ = update_catalogue(
        Source("x.po", text), messages(protocol()), "es", TITLE, remarks=remarks
    )
    moved = reworded_step(protocol(), 0, lead="Call the observer over.")
    updated, _ = update_catalogue(
        Source("x.po", told.text), messages(moved), "es", TITLE, remarks=remarks
    )

    assert "#. - picture: a hook\n" in told.text
    assert (updated.fresh, updated.changed, updated.retired) == (1, 0, 1)


def test_nothing_changed_gives_the_same_bytes():
    text = filled(update(None, protocol())[0].text)

    updated, _ = update(text, protocol())

    assert updated.text == text
    assert (updated.fresh, updated.changed, updated.retired) == (0, 0, 0)


def test_msgmerge_finds_nothing_to_change(tmp_path):
    """GNU gettext's msgmerge, given our new file as template, keeps every translation."""
    empty = update(None, protocol())[0].text
    (tmp_path / "new.pot").write_text(empty, encoding="utf-8")

    merged = gettext("msgmerge -q --no-wrap", filled(empty), tmp_path)
    merged = subprocess.run(
        ["msgmerge", "-q", tmp_path / "x.po", tmp_path / "new.pot"],
        capture_output=True,
        encoding="utf-8",
    ).stdout

    ours, _ = read_catalogue(Source("x.po", filled(empty)))
    theirs, _ = read_catalogue(Source("x.po", merged))
    assert [(e.key, e.text, e.hints) for e in ours.entries.values()] == [
        (e.key, e.text, e.hints) for e in theirs.entries.values()
    ]
    assert not theirs.retired


def test_an_edited_text_keeps_its_translation_for_a_look_and_never_for_print(tmp_path):
    text = filled(update(None, protocol())[0].text)
    edited = reworded_step(protocol(), 1, detail="Sit down first, then step in.")

    updated, _ = update(text, edited)

    catalogue, _ = read_catalogue(Source("x.po", updated.text))
    entry = catalogue.entries["detail", "Sit down first, then step in."]
    assert (updated.fresh, updated.changed, updated.retired) == (0, 1, 0)
    assert (entry.fuzzy, entry.usable, entry.previous) == (True, False, "Sit down and step in.")
    assert entry.text == "ES Sit down and step in."
    assert gettext("msgfmt --check -o /dev/null", updated.text, tmp_path).returncode == 0
    assert (
        gettext("msgattrib --only-fuzzy", updated.text, tmp_path).stdout.count("msgctxt") == 1
    )
    # Edited again before anybody looked: the translation still belongs to the first text.
    again, _ = update(
        updated.text, reworded_step(protocol(), 1, detail="Sit down, then step in.")
    )
    assert '#| msgid "Sit down and step in."' in again.text


def test_another_text_at_the_same_step_is_new():
    text = filled(update(None, protocol())[0].text)

    updated, _ = update(text, reworded_step(protocol(), 0, lead="Call the observer over."))

    assert (updated.fresh, updated.changed, updated.retired) == (1, 0, 1)
    assert '#~ msgid "Clean your hands."\n#~ msgstr "ES Clean your hands."' in updated.text
    assert 'msgid "Call the observer over."\nmsgstr ""\n' in updated.text


def test_a_text_taken_back_gets_its_translation_back():
    text = filled(update(None, protocol())[0].text)
    without, _ = update(text, reworded_step(protocol(), 0, lead="Call the observer over."))

    back, _ = update(without.text, protocol())

    first, _ = read_catalogue(Source("x.po", text))
    last, _ = read_catalogue(Source("x.po", back.text))
    assert {k: e.text for k, e in last.entries.items()} == {
        k: e.text for k, e in first.entries.items()
    }


def test_notes_flags_and_foreign_headers_of_translators_stay():
    text = filled(update(None, protocol())[0].text)
    text = text.replace("Last-Translator: ", "Last-Translator: Interpreter")
    text = text.replace('"X-Reviewed-By', '"X-Generator: an editor\\n"\n"X-Reviewed-By')
    text = text.replace("#. Putting on, step 1 ", "# ask about this\n#. Putting on, step 1 ", 1)

    updated, _ = update(text, protocol())

    for kept in ("Last-Translator: Interpreter\\n", "X-Generator: an editor\\n", "# ask about"):
        assert kept in updated.text


def test_a_damaged_file_is_left_alone():
    text = filled(update(None, protocol())[0].text).replace(
        'msgstr "ES Put', "msgstr ES Put", 1
    )

    updated, findings = update(text, protocol())

    assert updated.text == text
    assert [f.rule.slug for f in findings] == ["catalogue-damaged"]


def test_clinic_and_kit():
    found = list(clinic_messages(*clinic()))

    assert [m.key for m in found] == [
        ("contact", "extension 214"),
        ("area", "change room"),
        ("place", "own hook"),
        ("agent", "surface wipe"),
        ("item", "coverall"),
    ]


TEXTS = st.text(st.characters(exclude_categories=["Cc", "Cs", "Cn", "Zl", "Zp"]), min_size=1)


@given(st.lists(st.tuples(st.sampled_from(["lead", "caution"]), TEXTS), max_size=5))
def test_babel_reads_what_is_written(keys):
    at = protocol().at
    updated, _ = update_catalogue(
        None, [Message(context, text, at) for context, text in keys], "es", "x"
    )

    read = read_po(io.BytesIO(updated.text.encode()), abort_invalid=True)

    assert [(m.context, m.id) for m in read if m.id] == list(dict.fromkeys(keys))


@pytest.mark.parametrize("name", ["airborne room.md", "room.md"])
def test_references_with_spaces_are_one_reference(name, tmp_path):
    """Manual of GNU gettext, PO files: names with spaces stand between U+2068 and U+2069."""
    at = replace(protocol().at, source=Source(f"protocols/{name}", protocol().source.text))
    updated, _ = update_catalogue(None, [Message("lead", "a", at)], "es", "x")

    # msgcat takes a reference apart and writes it again.
    again = gettext("msgcat --no-wrap", updated.text, tmp_path).stdout

    line = next(line for line in updated.text.split("\n") if line.startswith("#:"))
    assert line in again.split("\n")
