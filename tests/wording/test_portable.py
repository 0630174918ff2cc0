"""The PO reader against two others: GNU gettext's own programs and Babel."""

import io
import subprocess

import pytest
from babel.messages.catalog import Catalog
from babel.messages.pofile import read_po, write_po
from hypothesis import given
from hypothesis import strategies as st

from compiler.source import Source
from compiler.wording.catalogue import read_catalogue
from compiler.wording.portable import Entry

HEADER = (
    'msgid ""\nmsgstr ""\n"Language: es\\n"\n"Content-Type: text/plain; charset=UTF-8\\n"\n\n'
)
WORDS = st.text(
    st.characters(
        exclude_categories=["Cc", "Cs", "Cn", "Zl", "Zp"], exclude_characters="\ufeff"
    ),
    min_size=1,
).map(lambda text: text.strip() or "x")
LINES = st.lists(WORDS, min_size=1, max_size=3).map("\n".join)
ENTRIES = st.dictionaries(
    st.tuples(st.sampled_from(["lead", "detail", "branch detail"]), LINES),
    st.tuples(LINES | st.just(""), st.booleans()),
    max_size=6,
)


def read(text):
    return read_catalogue(Source("translations/es/x.po", text))


@given(ENTRIES, st.sampled_from([0, 30, 79]))
def test_reads_what_babel_writes(entries, width):
    catalog = Catalog(locale="es")
    for (context, source), (text, fuzzy) in entries.items():
        catalog.add(
            source, text, context=context, flags=["fuzzy"] if fuzzy else [], auto_comments=["a"]
        )
    written = io.BytesIO()
    write_po(written, catalog, width=width)

    catalogue, findings = read(written.getvalue().decode())

    assert findings == []
    assert {key: (e.text, e.fuzzy) for key, e in catalogue.entries.items()} == entries
    assert catalogue.language == "es"


def test_reads_what_gettext_wraps_and_retires(tmp_path):
    """GNU gettext: msgmerge marks, retires and wraps; the places still name the words."""
    old, new = tmp_path / "old.po", tmp_path / "new.pot"
    long = (
        "Siéntese y entre con cuidado; que las perneras no toquen el suelo en ningún momento. "
        * 2
    )
    old.write_text(
        HEADER
        + f'# nota\nmsgctxt "lead"\nmsgid "Sit down."\nmsgstr "{long}"\n\n'
        + 'msgctxt "lead"\nmsgid "Gone for ever and a day."\nmsgstr "Adiós"\n',
        encoding="utf-8",
    )
    new.write_text(HEADER + 'msgctxt "lead"\nmsgid "Sit down!"\nmsgstr ""\n', encoding="utf-8")
    merged = subprocess.run(
        ["msgmerge", "--previous", "-q", old, new], capture_output=True, text=True, check=True
    ).stdout

    catalogue, findings = read(merged)

    entry = catalogue.entries["lead", "Sit down!"]
    assert findings == []
    assert (entry.text, entry.fuzzy, entry.usable) == (long, True, False)
    assert (entry.previous, entry.notes) == ("Sit down.", ("nota",))
    assert entry.at.text.startswith("Siéntese y entre")
    assert [(e.source, e.text, e.usable) for e in catalogue.retired] == [
        ("Gone for ever and a day.", "Adiós", False)
    ]


@given(ENTRIES)
def test_how_lines_end_changes_nothing(entries):
    """Spaces after a line are lawful and send the reader its slow way: both ways agree."""
    catalog = Catalog(locale="es")
    for (context, source), (text, _) in entries.items():
        catalog.add(source, text, context=context, user_comments=["a"], locations=[("b", 1)])
    written = io.BytesIO()
    write_po(written, catalog, width=0)
    text = written.getvalue().decode()

    quick, slow = read(text)[0], read(text.replace("\n", " \n"))[0]

    shown = [
        [(e.key, e.text, e.notes, e.references, e.at.text) for e in c.entries.values()]
        for c in (quick, slow)
    ]
    assert shown[0] == shown[1]


def test_a_byte_order_mark_shifts_no_place():
    catalogue, _ = read("\ufeff" + 'msgid "a"\nmsgstr "one"\n\nmsgid "b" \nmsgstr "two" \n')

    assert [e.at.text for e in catalogue.entries.values()] == ["one", "two"]


DAMAGED = [
    ('msgid "a\nmsgstr "b"\n', 1, "This text has no quotation mark at its end."),
    ('msgid "a"\nmsgstr "b\n', 2, "This text has no quotation mark at its end."),
    ("msgid a\nmsgstr b\n", 1, "A text begins with a straight quotation mark."),
    ('msgid "a"\nmsgstr “b”\n', 2, "A text begins with a straight quotation mark."),
    ('msgid "a"\nmsgstr "say "b" now"\n', 2, 'A quotation mark inside a text is written \\".'),
    ('msgid "say "a" now"\nmsgstr "b"\n', 1, 'A quotation mark inside a text is written \\".'),
    ('msgid "a"\n\nmsgid "b"\nmsgstr "c"\n', 1, "This entry has no msgstr."),
    ('msgctxt "lead"\nmsgid "a"\n', 1, "This entry has no msgstr."),
    ('msgctxt "lead"\nmsgstr "b"\n', 2, "This entry has no msgid."),
    ('msgstr "b"\n', 1, "This entry has no msgid."),
    ('msgid "a"\nmsgstr "b"\nmsgstr "c"\n', 3, "This entry has msgstr twice."),
    ('msgctxt "x"\nmsgctxt "y"\nmsgid "a"\nmsgstr ""\n', 2, "This entry has msgctxt twice."),
    ('msgid "a"\nmsgctxt "x"\nmsgstr "b"\n', 1, "This entry has no msgstr."),
    (
        'msgid "a"\nmsgstr "b"\nhello\n',
        3,
        "This line is neither a comment nor a text in quotes.",
    ),
    ('msgid "a"\nmsgtxt "b"\n', 2, "Only msgctxt, msgid and msgstr may stand before a text."),
    ('msgid "a"\nmsgstr "\\q"\n', 2, "A backslash before q has no meaning here."),
]


@pytest.mark.parametrize(("text", "line", "message"), DAMAGED)
def test_damage_has_file_line_and_reason(text, line, message, tmp_path):
    _, findings = read(HEADER + text)

    assert [(f.at.span.line - 5, f.message) for f in findings][:1] == [(line, message)]
    assert findings[0].at.span.text.strip()
    # GNU gettext's msgfmt refuses the same file.
    file = tmp_path / "x.po"
    file.write_text(HEADER + text, encoding="utf-8")
    assert subprocess.run(["msgfmt", "-o", "-", file], capture_output=True).returncode


def test_a_damaged_entry_harms_no_other_and_all_are_reported():
    text = 'msgid "a"\nmsgstr "one"\n\nmsgid "b\nmsgstr ""\n\nmsgid "c"\nmsgstr "x" y\n\nmsgid "d"\nmsgstr "four"\n'

    catalogue, findings = read(text)

    assert [f.at.span.line for f in findings] == [4, 8]
    assert {key[1]: e.text for key, e in catalogue.entries.items()} == {"a": "one", "d": "four"}


def test_a_text_that_continues_nothing():
    _, findings = read('"a"\nmsgid "a"\nmsgstr "b"\n')

    assert findings[0].message == "This line continues a text, and there is none before it."


def test_control_characters_and_plurals_are_refused():
    """Common practice, no source: a plural has no place on a wall, a control character none."""
    for text in (
        'msgid "a"\nmsgstr "b\x07"\n',
        'msgid "a"\nmsgid_plural "as"\nmsgstr[0] "b"\n',
    ):
        assert [f.rule.slug for f in read(text)[1]] == ["catalogue-damaged"]


def test_the_same_text_twice(tmp_path):
    text = HEADER + 'msgid "a"\nmsgstr "one"\n\nmsgid "a"\nmsgstr "two"\n'

    catalogue, findings = read(text)

    assert [(f.rule.slug, f.at.span.text, f.path[0].span.text) for f in findings] == [
        ("catalogue-entry-repeated", "two", "one")
    ]
    assert catalogue.entries["", "a"].text == "one"
    file = tmp_path / "x.po"
    file.write_text(text, encoding="utf-8")
    refused = subprocess.run(["msgfmt", "-o", "-", file], capture_output=True, text=True)
    assert "duplicate message definition" in refused.stderr


@given(st.text(st.sampled_from(list('msgidtrcx[0] "\\n#~|,:.\n\tä')), max_size=80))
def test_any_text_is_read_without_an_exception(text):
    source = Source("x.po", text)

    catalogue, findings = read_catalogue(source)

    for finding in findings:
        assert 0 <= finding.at.span.start <= finding.at.span.end <= len(text)
    for entry in catalogue.entries.values():
        assert isinstance(entry, Entry)


def test_babel_would_lose_a_damaged_text_in_silence():
    """Why the reader is our own: this is what the usual one makes of a forgotten quote."""
    text = 'msgid "Do not touch your face.\nmsgstr "No se toque la cara."\n'

    assert [m.id for m in read_po(io.BytesIO(text.encode())) if m.id] == [
        "Do not touch your face"
    ]
    assert [f.at.span.line for f in read(text)[1]] == [1]
