"""Tracing: a code on a wall, misread or not, and a file, altered or not.

The register is held against plain dictionaries over random histories; pikepdf alters PDFs.
"""

from __future__ import annotations

import datetime
import re
import zlib
from itertools import pairwise

import pikepdf
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from compiler.check_code import ALPHABET, LENGTH, check_code, is_whole, shown
from compiler.editions.misreading import LOOK_ALIKES, likely_meant
from compiler.editions.register import DIGITS, lookup, opened
from compiler.editions.scan import codes_in, paper_of, size_of
from compiler.editions.tracing import Tracer
from compiler.findings import UnreadableSourceError
from tests.editions.making import DAY, run
from tests.editions.shelves import code_of, record_of, shelved

CODES = st.binary(max_size=8).map(lambda data: check_code([data]))


@pytest.fixture
def shelf(tmp_path):
    """Three editions: one protocol changes in the second, the other in the third."""
    texts = (["a", "b"], ["a2", "b"], ["a2", "b2"])
    return shelved(tmp_path / "published", (record_of(n, t) for n, t in enumerate(texts, 1)))


def slips(code: str) -> list[str]:
    """Every reading with one wrong sign of the alphabet, and every swap of neighbours."""
    wrong = [
        code[:i] + s + code[i + 1 :] for i in range(LENGTH) for s in ALPHABET if s != code[i]
    ]
    swaps = [
        code[:i] + b + a + code[i + 2 :] for i, (a, b) in enumerate(pairwise(code)) if a != b
    ]
    return wrong + swaps


@settings(max_examples=8)  # each tries all slips, and all that each slip may have been
@given(CODES)
def test_no_slip_of_one_sign_and_no_swap_of_neighbours_is_another_code(code):
    """All of them, for any code: the arithmetic is linear, so that one code stands for all.

    For the principle see `tests/command/test_check_code.py`.
    """
    assert is_whole(code)
    for slip in slips(code):
        assert not is_whole(slip), slip
        assert code in likely_meant(slip), slip


def test_every_slip_of_every_code_of_an_edition_is_told_as_a_misreading(shelf):
    tracer = Tracer(shelf.folder, DAY)
    codes = list(tracer.record(3).codes)
    assert len(codes) == 8
    for code in codes:
        for slip in slips(code):
            told = tracer.code(slip)
            assert told.lines[0] == "misread: no sheet has this code"
            assert not told.fine
            assert any(line.startswith(f"perhaps {shown(code)}: ") for line in told.lines)
            assert not any(line.startswith("edition") for line in told.lines)


@pytest.mark.parametrize("strange", LOOK_ALIKES.replace(" ", ""))
def test_a_sign_that_no_code_has_is_named_and_what_was_meant_is_found(strange, shelf):
    code = code_of(0, "a2", "en", "poster")
    tracer = Tracer(shelf.folder, DAY)
    for place in range(LENGTH):
        told = tracer.code(code[:place] + strange.lower() + code[place + 1 :])
        assert told.lines[1].startswith(f"these signs are in no code: {strange} ")
        assert any(line.startswith(f"perhaps {shown(code)}") for line in told.lines)


@given(code=CODES, gap=st.sampled_from(["", " ", "-", " - ", "\u00a0"]), low=st.booleans())
def test_however_it_is_typed_it_is_one_code(tmp_path_factory, code, gap, low):
    folder = tmp_path_factory.getbasetemp() / "typed"
    if not folder.exists():
        shelved(folder, [record_of(1, ["a"])])
    ours = code_of(0, "a", "en", "poster")
    tracer = Tracer(folder, DAY)
    for each in (code, ours):
        typed = each[:4] + gap + each[4:]
        told = tracer.code(typed.lower() if low else typed)
        assert told.heading == shown(each)
        assert told.fine == (each in tracer.record(1).codes)


def test_current_superseded_and_unknown(shelf):
    tracer = Tracer(shelf.folder, DAY)

    now = tracer.code(code_of(0, "a2", "en", "poster"))
    assert now.fine
    assert now.lines[1] == "edition 3 of 2026-01-04: current, the same since edition 2"
    old = tracer.code(code_of(0, "a", "ar", "card"))
    assert not old.fine
    assert old.lines[1] == "edition 1 of 2026-01-02: superseded by edition 2 of 2026-01-03"
    assert old.lines[2] == (
        f"take it off the wall and hang up {shelf.folder}/edition-3/sheets/protocol-0-card-ar.pdf"
    )
    none = tracer.code(code_of("never published"))
    assert not none.fine
    assert none.lines[0] == "rightly read, but in none of the editions here"


def test_past_its_review_from_the_day_after(shelf):
    code = code_of(1, "b2", "en", "poster")
    due = datetime.date(2027, 5, 1)

    assert Tracer(shelf.folder, due).code(code).fine
    told = Tracer(shelf.folder, due + datetime.timedelta(days=1)).code(code)

    assert not told.fine
    assert "review was due by 2027-05-01: past its review on 2027-05-02" in told.lines


def test_all_that_must_come_off_the_walls(shelf, capsys):
    ended = run(capsys, "trace", "--in", shelf.folder)

    assert ended.status == 0
    codes = {
        x.replace(" ", "") for x in re.findall(r"^  (\w{4} \w{4})", ended.out, re.MULTILINE)
    }
    records = [Tracer(shelf.folder, DAY).record(n) for n in (1, 2, 3)]
    assert codes == (set(records[0].codes) | set(records[1].codes)) - set(records[2].codes)
    assert ended.out.startswith("edition 3 of 2026-01-04 is current, in en, ar\n")


def test_the_status_says_whether_all_is_well(shelf, capsys):
    good = shown(code_of(0, "a2", "en", "poster"))
    old = code_of(0, "a", "en", "poster")
    words = ("trace", "--in", shelf.folder)

    assert run(capsys, *words, good).status == 0
    assert run(capsys, *words, *good.split()).status == 0
    assert run(capsys, *words, good, old).status == 1
    assert run(capsys, *words, "0000 0000").status == 1
    assert run(capsys, "trace", "--in", shelf.folder.parent / "none", good).status == 2
    assert run(capsys, *words, "no-such-file.pdf").status == 2


# ---- files


def test_a_real_sheet_is_known_and_every_change_of_it_is_noticed(first, tmp_path):
    folder = first / "published"
    tracer = Tracer(folder, DAY)
    sheets = sorted((folder / "edition-1" / "sheets").iterdir())
    assert len(sheets) == 7
    for sheet in sheets:
        told = tracer.file(sheet)
        assert told.lines[0].startswith("not altered: its check code is "), sheet
        assert told.fine
        data = sheet.read_bytes()
        changed = tmp_path / sheet.name
        changed.write_bytes(data + b"\n")
        told = tracer.file(changed)
        assert told.lines[0].startswith("altered: its check code is "), sheet
        assert not told.fine


def test_a_pdf_saved_by_another_program_is_altered_and_still_known(first, pdf, tmp_path):
    """Pikepdf writes all of it anew, as a viewer does that adds a remark."""
    tracer = Tracer(first / "published", DAY)
    code = next(c for c, (s, w) in tracer.record(1).codes.items() if s.product == "poster")
    for mode in pikepdf.ObjectStreamMode:
        path = tmp_path / f"{mode.name}.pdf"
        with pikepdf.open(pdf) as again:
            again.pages[0].Rotate = 90
            again.save(path, object_stream_mode=mode)

        told = tracer.file(path)

        assert told.lines[0] == (
            f"altered: its check code is {shown(code)}, but it is not the file published"
        )


def test_a_file_of_something_else_is_told(first, tmp_path):
    path = tmp_path / "other.pdf"
    with pikepdf.new() as other:
        other.add_blank_page()
        other.save(path)

    told = Tracer(first / "published", DAY).file(path)

    assert told.lines[0].startswith("no file of these editions, and no check code")
    assert not told.fine


@given(st.binary(max_size=400))
def test_any_bytes_are_looked_through_without_harm(data):
    for each in (data, b"stream\n" + data, b"stream\r\n" + zlib.compress(data)):
        assert codes_in(each) == ()
        size_of(each)


def test_a_stream_that_swells_is_given_up():
    bomb = b"stream\n" + zlib.compress(bytes(50_000_000))

    assert codes_in(bomb * 40) == ()


def test_sizes_are_those_that_another_reader_finds(first):
    for sheet in sorted((first / "published" / "edition-1" / "sheets").glob("*.pdf")):
        with pikepdf.open(sheet) as pdf:
            box = [float(x) for x in pdf.pages[0].trimbox]
        expected = ((box[2] - box[0]) * 25.4 / 72, (box[3] - box[1]) * 25.4 / 72)
        assert size_of(sheet.read_bytes()) == pytest.approx(expected, abs=0.01)
    assert paper_of(841, 594) == "A1"  # ISO 216, lying on its side


# ---- the register


@given(
    st.lists(st.lists(st.sampled_from("abcd"), min_size=1, max_size=3), min_size=1, max_size=8)
)
def test_the_register_knows_what_the_records_say(tmp_path_factory, texts):
    """Against plain dictionaries, over any history, texts that come back too."""
    folder = tmp_path_factory.mktemp("history")
    records = [record_of(number, each) for number, each in enumerate(texts, 1)]
    shelf = shelved(folder / "published", records)
    expected: dict[str, set[int]] = {}
    for record in records:
        for key in (
            *record.codes,
            *(f.sha256[:DIGITS] for s in record.sheets for f in s.files),
        ):
            expected.setdefault(key, set()).add(record.edition)

    found = lookup(shelf, len(records))

    for key, numbers in expected.items():
        runs = found.editions(key)
        ends = [n for n in numbers if not {n - 1, n + 1} <= numbers]
        assert sorted(set(runs)) == sorted(ends)
        assert max(runs) == max(numbers)
    assert found.editions(code_of("unknown")) == ()
    assert not found.told
    gone = {
        code for code in expected if len(code) == LENGTH and len(records) not in expected[code]
    }
    assert {code for code, _ in opened(shelf, len(records)).gone(len(records))} == gone


@pytest.mark.parametrize("harm", ["missing", "one bit", "cut", "behind", "empty", "other"])
def test_a_damaged_register_is_told_and_the_records_are_read(harm, shelf, capsys):
    code = code_of(0, "a", "en", "poster")
    path = shelf.register
    data = path.read_bytes()
    if harm == "missing":
        path.unlink()
    else:
        old = shelved(path.parent.parent / "old", [record_of(1, ["a", "b"])])
        harmed = {
            "one bit": data[:200] + bytes([data[200] ^ 1]) + data[201:],
            "cut": data[:-30],
            "behind": old.register.read_bytes(),
            "empty": b"",
            "other": b"\xff" * 500,
        }
        path.write_bytes(harmed[harm])

    ended = run(capsys, "trace", "--in", shelf.folder, code)

    assert "superseded by edition 2" in ended.out
    assert ended.err == (
        f"wallward: {path}: missing or damaged; all records were read instead\n"
    )
    assert opened(shelf, 3).written == data


def test_an_edition_that_was_not_finished_does_not_count(shelf):
    """Its register was written, and then the run was ended before the page was."""
    known = opened(shelf, 3)
    known.add(record_of(4, ["c", "b2"]))
    shelf.register.write_bytes(known.written)

    tracer = Tracer(shelf.folder, DAY)

    assert tracer.code(code_of(0, "c", "en", "poster")).lines[0].startswith("rightly read, but")
    assert tracer.code(code_of(1, "b2", "en", "poster")).fine
    assert max(opened(shelf, 3).days) == 3


@pytest.mark.parametrize("text", ["", "{", "[]", '{"edition": 3}', "[" * 100_000, "null"])
def test_a_damaged_record_is_one_line(text, shelf, capsys):
    shelf.record(3).write_text(text, encoding="utf-8")

    ended = run(capsys, "trace", "--in", shelf.folder, code_of(1, "b2", "en", "poster"))

    assert ended.status == 2
    assert ended.err == (
        f"wallward: {shelf.record(3)}: is not the record of an edition; put it back from a copy\n"
    )
    with pytest.raises(UnreadableSourceError):
        Tracer(shelf.folder, DAY).record(3)
