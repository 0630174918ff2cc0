"""Publishing: refused with reasons, or a whole edition whose every byte is in its record.

Python's zipfile, hashlib and csv, `unzip`-independent of the writer, pikepdf and zxing judge.
"""

from __future__ import annotations

import csv
import errno
import hashlib
import io
import json
import os
import shutil
import zipfile
from dataclasses import replace
from pathlib import Path

import pikepdf
import pypdfium2
import pytest
import zxingcpp

from compiler import content
from compiler.check_code import is_whole
from compiler.editions import publishing
from compiler.editions.refusal import RefusedError
from compiler.model.sign_offs import Proof
from compiler.own_files import themes_home
from compiler.pipeline import open_set
from compiler.products import theme
from compiler.source import Source
from compiler.wording.catalogue import read_catalogue
from compiler.wording.packaged import packaged
from tests.command.running import run_apart
from tests.command.sheets import change
from tests.editions.making import (
    DAY,
    LATER,
    LEAD,
    PROTOCOL,
    Copier,
    everything_in,
    opened,
    published,
    run,
    signed,
    small_set,
)
from tests.editions.test_sign import ssh_key


@pytest.fixture
def ready(tmp_path: Path) -> Path:
    """A set in two languages that is signed."""
    folder = small_set(tmp_path / "set", ("en", "es"))
    signed(folder)
    return folder


def reasons(folder: Path, **more: object) -> list[str]:
    """Why it is refused: each reason with its details."""
    with pytest.raises(RefusedError) as refused:
        published(folder, folder.parent / "published", folder / "kit.yaml", **more)
    assert not (folder.parent / "published").exists()
    return [" / ".join((r.text, *r.details)) for r in refused.value.reasons]


# ---- refused


def test_what_nobody_signed_is_refused(tmp_path, capsys):
    folder = small_set(tmp_path / "set")

    ended = run(capsys, "publish", folder, "--into", tmp_path / "published")

    assert ended.status == 1
    assert ended.err.startswith("not published:\n  nobody has signed this set off")
    assert not (tmp_path / "published").exists()


INPUTS = [
    ("clinic.yaml", "extension 214", "extension 215"),
    ("kit.yaml", "after use: discard", "after use:  discard"),
    (f"{PROTOCOL}.md", "20 to 30", "20 to 40"),
    ("translations/es/clinic.po", 'msgstr "', 'msgstr "x'),
    (f"translations/es/{PROTOCOL}.po", 'msgstr "', 'msgstr "x'),
]


@pytest.mark.parametrize(("name", "old", "new"), INPUTS, ids=[x[0] for x in INPUTS])
def test_a_change_after_signing_is_refused_and_named(ready, name, old, new):
    text = (ready / name).read_text(encoding="utf-8")
    at = text.rfind(old)
    (ready / name).write_text(text[:at] + new + text[at + len(old) :], encoding="utf-8")
    line = text[:at].count("\n") + 1

    told = reasons(ready)

    changed = [x for x in told if x.startswith(f"{name}, line {line}: was changed / ")]
    assert len(changed) == 1, told
    assert new in changed[0]
    assert any("reviewer A (Infection prevention lead, 2026-12-01) is void" in x for x in told)


def test_a_change_of_the_theme_the_fixed_words_or_the_compiler_is_refused_and_named(
    ready, tmp_path, monkeypatch
):
    copy = shutil.copytree(themes_home() / "default", tmp_path / "default")
    change(copy / "theme.yaml", "ink:", "ink :")
    (copy / "pictograms" / "door.svg").write_bytes(b"<svg/>")
    with monkeypatch.context() as patch:
        other = replace(theme.theme_named(), folders=(copy,))
        patch.setattr(content, "theme_named", lambda _: other)
        told = "\n".join(reasons(ready))
    assert "theme/default/theme.yaml, line " in told
    assert "theme/default/pictograms/door.svg, line 1: was changed" in told

    fixed = packaged("es")
    other = Source(fixed.source.path, fixed.source.text.replace("DRAFT", "DRAFTS", 1))
    with monkeypatch.context() as patch:
        patch.setattr(
            content, "packaged", lambda tag: {"es": read_catalogue(other)[0]}.get(tag)
        )
        told = "\n".join(reasons(ready))
    assert "compiler/words/es.po, line " in told

    with monkeypatch.context() as patch:
        patch.setattr(content, "__version__", "99.0")
        told = "\n".join(reasons(ready))
    assert "compiler/version.txt, line 1: was changed" in told
    assert "+ 99.0" in told


@pytest.mark.parametrize(
    ("name", "old", "new"),
    [
        ("theme.yaml", "101010", "101011"),
        ("poster.css", "bold", "bolder"),
        ("extra.css", "", "x"),
    ],
)
def test_a_change_of_the_clinics_own_look_is_refused_and_named(ready, name, old, new, pdf):
    """A folder of the set; what is in it was signed with the text, and what was not is new."""
    look = ready / "look"
    look.mkdir()
    (look / "theme.yaml").write_text('based on: default\ncolours: {ink: "#101010"}\n', "utf-8")
    (look / "poster.css").write_text("h1 { font-weight: bold }\n", "utf-8")
    clinic = ready / "clinic.yaml"
    clinic.write_text(f"{clinic.read_text('utf-8')}theme: look\n", "utf-8")
    own = look.as_posix()
    signed(ready, day=LATER, theme=own)
    path = look / name
    text = path.read_text("utf-8") if path.exists() else ""
    path.write_text(text.replace(old, new, 1) if old else new, "utf-8")

    told = "\n".join(reasons(ready, on=LATER, theme=own))

    how = "line 2: was changed" if name == "theme.yaml" else "line 1: was changed"
    wanted = f"theme/look/{name}, {how}" if old else f"theme/look/{name}: is new"
    assert wanted in told
    if old:
        path.write_text(text, "utf-8")
    else:
        path.unlink()
    done = published(ready, ready.parent / "published", pdf, on=LATER, theme=own)
    assert done.record.edition == 1


def test_a_protocol_more_or_less_is_refused_and_named(ready):
    path = ready / f"{PROTOCOL}.md"
    (ready / "second.md").write_bytes(path.read_bytes())
    assert "second.md: is new" in reasons(ready, languages=("en",))
    (ready / "second.md").rename(ready.parent / "second.md")
    path.unlink()
    assert f"{PROTOCOL}.md: is not there any more" in reasons(ready)


def test_a_clinic_that_cannot_be_read_is_refused_and_the_change_is_named(ready):
    change(ready / "clinic.yaml", "areas:", "araes_:")

    told = reasons(ready)

    assert told[0] == "something must be fixed first"
    assert any(x.startswith("clinic.yaml, line ") for x in told)


def test_unreviewed_translations_are_refused_unless_asked_for(ready, capsys):
    words = ("publish", ready, "--into", ready.parent / "published")

    ended = run(capsys, *words)

    assert ended.status == 1
    assert f"nobody has reviewed the translation into es of {PROTOCOL}" in ended.err
    assert "approved this text" not in ended.err


def test_an_incomplete_translation_is_refused_even_if_it_was_signed_as_it_is(ready):
    po = ready / "translations" / "es" / f"{PROTOCOL}.po"
    text = po.read_text(encoding="utf-8")
    at = text.rfind('msgstr "') + len('msgstr "')
    po.write_text(text[:at] + '"\n', encoding="utf-8")
    signed(ready, languages=("en",))

    assert reasons(ready)[0] == "something must be fixed first"


def test_a_language_that_was_not_before_the_reviewer_is_refused(tmp_path):
    folder = small_set(tmp_path / "set", ("en", "es"))
    signed(folder, languages=("en",))

    assert reasons(folder) == ["nobody has approved this text in es"]


def test_two_people_means_two_different_ones(tmp_path, pdf):
    folder = small_set(tmp_path / "set")
    clinic = folder / "clinic.yaml"
    clinic.write_text(clinic.read_text("utf-8") + "sign-offs: {reviewers: 2}\n", "utf-8")
    signed(folder)
    signed(folder, "Reviewer  a", day=DAY.replace(day=1))

    # one name spelt in two ways is one person, whose newest word counts
    assert reasons(folder) == ["2 people must approve this text in en; so far: Reviewer  a"]

    signed(folder, "reviewer B", role="Ward nurse")
    done = published(folder, tmp_path / "published", pdf)
    assert {s.reviewer.casefold() for s in done.record.sign_offs} >= {"reviewer b"}


def test_the_newest_word_of_a_reviewer_counts(tmp_path, pdf):
    folder = small_set(tmp_path / "set")
    signed(folder)
    signed(folder, "reviewer B", "refused", remark="The bin is gone")

    assert reasons(folder) == [
        f"reviewer B ({LEAD}, {DAY}) refused this text / The bin is gone"
    ]

    signed(folder, "reviewer B", remark="The bin is back")
    assert published(folder, tmp_path / "published", pdf).record.edition == 1


def test_a_sign_off_of_a_later_day_does_not_count_yet(tmp_path):
    folder = small_set(tmp_path / "set")
    signed(folder, day=LATER)

    told = reasons(folder, on=DAY)

    assert f"does not count: it is of a later day than {DAY}" in told[0]


def test_a_signature_is_asked_for_and_verified(tmp_path, pdf):
    folder = small_set(tmp_path / "set")
    clinic = folder / "clinic.yaml"
    clinic.write_text(clinic.read_text("utf-8") + "sign-offs: {signature: ssh}\n", "utf-8")
    key, public = ssh_key(tmp_path, "key")
    _, stranger = ssh_key(tmp_path, "other")
    (folder / "signers.txt").write_text(f'"reviewer A" {stranger}\n', encoding="utf-8")
    signed(folder, proof=Proof.SSH, key=str(key))

    assert "does not count: ssh-keygen says" in reasons(folder)[0]

    apart = tmp_path / "signers"
    apart.write_text(f'"reviewer A" {public}\n', encoding="utf-8")
    done = published(folder, tmp_path / "published", pdf, signers=apart)
    assert done.record.sign_offs[0].signature == "ssh"


def test_a_set_changed_while_it_is_published_is_refused(ready, tmp_path, pdf):
    into = tmp_path / "published"

    class Changing(Copier):
        def __call__(self, tasks, into):
            change(ready / "kit.yaml", "gloves:", "# any change\ngloves:")
            yield from super().__call__(tasks, into)

    order = publishing.Order(into, (), DAY, unreviewed=True)
    with pytest.raises(RefusedError, match=r"changed while it was published: kit\.yaml"):
        publishing.publish(opened(ready), order, Changing(pdf))

    assert everything_in(into) == {}


# ---- published


def test_the_command_publishes_and_says_where(first):
    out = (first / "out").read_text(encoding="utf-8")

    assert out.startswith("edition 1 of 2026-12-01 is current\n  7 files of 5 sheets in ")
    assert out.endswith(f"begin with {first}/published/index.html\n")


def test_every_input_and_output_is_in_the_record_by_its_hash(first):
    edition = first / "published" / "edition-1"
    record = json.loads((edition / "edition.json").read_bytes())

    there = everything_in(edition)
    del there["edition.json"]
    found = {name: hashlib.sha256(data).hexdigest() for name, data in there.items()}
    assert record["outputs"] == found
    for name in ("clinic.yaml", "kit.yaml", f"{PROTOCOL}.md", "translations/es/clinic.po"):
        digest = hashlib.sha256((first / "set" / name).read_bytes()).hexdigest()
        assert record["inputs"][name] == found[f"source/{name}"] == digest
    assert any(name.startswith("NotoSans-") for name in record["fonts"])
    (signer,) = record["sign_offs"]
    assert (signer["reviewer"], signer["role"]) == ("reviewer A", LEAD)
    assert record["wallward"]
    assert all(f["level"] != "must fix" for f in record["findings"])


def test_the_text_in_an_edition_is_a_set_that_is_still_signed(first):
    source = first / "published" / "edition-1" / "source"

    again = open_set(source, [source / f"{PROTOCOL}.md"])

    (sign_off,) = again.sign_offs
    assert content.content_of(again.sources, sign_off.languages).hash == sign_off.content


def test_sheets_have_no_draft_and_name_their_code_and_link(first):
    """The text by pdfium, the QR code by ZXing, the metadata by pikepdf."""
    edition = first / "published" / "edition-1"
    record = json.loads((edition / "edition.json").read_bytes())
    sheet = next(x for x in record["sheets"] if x["product"] == "poster")
    (shown,) = sheet["shown"]
    path = edition / sheet["files"][0]["name"]
    code = shown["code"]
    assert is_whole(code)
    with pikepdf.open(path) as pdf:
        assert str(pdf.docinfo["/Keywords"]) == f"check code {code[:4]} {code[4:]}"
    with pypdfium2.PdfDocument(path) as pdf:
        text = pdf[0].get_textpage().get_text_range()
        picture = pdf[0].render(scale=2).to_pil()
    assert "DRAFT" not in text.upper()
    assert f"{code[:4]} {code[4:]}" in text
    assert zxingcpp.read_barcode(picture).text == shown["link"]


def test_the_zip_for_the_print_shop_has_a_list_that_holds(first):
    edition = first / "published" / "edition-1"
    with zipfile.ZipFile(edition / "print-shop.zip") as archive:
        assert archive.testzip() is None
        rows = list(csv.DictReader(io.StringIO(archive.read("manifest.csv").decode())))
        assert sorted(archive.namelist()) == sorted(
            ["manifest.csv", *(r["file"] for r in rows)]
        )
        for row in rows:
            data = archive.read(row["file"])
            assert hashlib.sha256(data).hexdigest() == row["sha256"]
            assert data == (edition / row["file"]).read_bytes()
    papers = {(row["sheet"], row["paper"]) for row in rows}
    assert papers == {("poster", "A2"), ("card", "A7"), ("card", "A4")}


def test_the_same_content_gives_the_same_bytes(first, tmp_path, capsys):
    """For real, sheets and all, into another folder; and into the same one nothing is written."""
    words = ("publish", first / "set", "--unreviewed")
    assert run(capsys, *words, "--into", tmp_path / "again").status == 0

    before = everything_in(first / "published")
    assert everything_in(tmp_path / "again") == before

    ended = run(capsys, *words, "--into", tmp_path / "again", "--on", LATER)
    assert ended.status == 0
    assert "is this content already, nothing was written" in ended.out
    assert everything_in(tmp_path / "again") == before


def test_a_new_edition_leaves_the_old_one_as_it_was_and_names_what_comes_off(
    tmp_path, pdf, capsys
):
    folder, into = small_set(tmp_path / "set", ("en", "es")), tmp_path / "published"
    signed(folder)
    one = published(folder, into, pdf)
    before = everything_in(into / "edition-1")
    change(folder / f"{PROTOCOL}.md", "20 to 30", "20  to 30")
    signed(folder, day=LATER, languages=("en",))

    two = published(folder, into, pdf, on=LATER, languages=("en",))

    assert everything_in(into / "edition-1") == before
    assert two.record.edition == 2
    old = hashlib.sha256((into / "edition-1" / "edition.json").read_bytes()).hexdigest()
    assert two.record.previous == old
    assert two.dropped == ("es",)
    assert [code for code, _ in two.down] == list(one.record.codes)


# ---- the machine


ITS_OWN = "protocol set; name a folder for editions"
IN_THE_WAY = [
    ("file", "'{}' is a file"),
    ("file/published", "{}: Not a directory"),
    ("file/some/where/published", "file/some"),
    (
        ".",
        "wallward: {}: is the protocol set itself; name a folder for editions, {}/published say",
    ),
    ("../set", "is the protocol set itself"),
    ("link", "is the protocol set itself"),
    ("translations", f"{{}}: belongs to the {ITS_OWN}"),
    ("translations/es/published", f"{{}}: belongs to the {ITS_OWN}"),
    ("sign-offs", f"{{}}: belongs to the {ITS_OWN}"),
    ("one", "wallward: {}: is one edition; name the folder that holds the editions"),
    ("website", "{}/index.html: damaged, or no page of editions"),
    ("x" * 300, "File name too long"),
]


@pytest.mark.parametrize(("place", "said"), IN_THE_WAY, ids=[x[0][:30] for x in IN_THE_WAY])
def test_a_place_that_is_no_folder_for_editions_is_one_line_and_nothing_is_left(
    place, said, ready, capsys
):
    (ready / "file").write_text("in the way", encoding="utf-8")
    (ready / "link").symlink_to(ready)
    for name in ("one/edition.json", "website/index.html"):
        (ready / name).parent.mkdir()
        (ready / name).write_text("{}", encoding="utf-8")
    before = sorted(ready.rglob("*")), everything_in(ready)

    ended = run(capsys, "publish", ready, "--unreviewed", "--into", ready / place)

    assert ended.status == 2
    assert len([x for x in ended.err.splitlines() if "--help" not in x]) == 1, ended.err
    assert said.format(*2 * [(ready / place).as_posix()]) in ended.err
    assert ended.err.startswith("wallward: ")
    assert (sorted(ready.rglob("*")), everything_in(ready)) == before


@pytest.mark.parametrize("answer", ["EROFS", "EACCES"])
@pytest.mark.parametrize("there", [True, False], ids=["there", "missing"])
def test_a_read_only_folder_is_one_line_and_nothing_is_left(answer, there, ready, tmp_path):
    """Each write is answered as the kernel does on a drive that is read-only (mkdir(2), open(2)).

    By an audit hook (PEP 578), so that it is so for the administrator, too.
    """
    shut = tmp_path / "shut"
    shut.mkdir()
    into = shut if there else shut / "above" / "published"
    program = (
        "import errno, os, sys\n"
        "from compiler.cli import main\n"
        f"shut, answer = {str(shut)!r}, errno.{answer}\n"
        "def heard(event, details):\n"
        "    writes = event == 'open' and isinstance(details[2], int) and details[2] & 3\n"
        "    if (writes or event in ('os.mkdir', 'os.rename', 'tempfile.mkstemp')) and "
        "str(details[0]).startswith(shut):\n"
        "        raise OSError(answer, os.strerror(answer), str(details[0]))\n"
        "sys.addaudithook(heard)\n"
        "main()"
    )

    ended = run_apart("publish", ready, "--unreviewed", "--into", into, program=program)

    assert ended.status == 2
    assert ended.err.count("\n") == 1, ended.err
    assert ended.err.startswith(f"wallward: {shut}")
    assert ended.err.endswith(f": {os.strerror(getattr(errno, answer))}\n")
    assert list(shut.iterdir()) == []


@pytest.mark.parametrize("place", ["published", "not/yet/there"])
def test_a_folder_in_the_set_and_one_below_missing_ones_are_made(place, ready, pdf):
    """`publish` without words, called in a set, publishes below it."""
    done = published(ready, ready / place, pdf)

    assert (ready / place / "index.html").is_file()
    assert done.record.edition == 1
    assert published(ready, ready / place, pdf).before


def test_folders_that_were_made_for_an_edition_go_again_when_it_fails(ready, tmp_path):
    class Full(Copier):
        def __call__(self, tasks, into):
            yield from ()
            raise OSError(errno.ENOSPC, os.strerror(errno.ENOSPC))

    order = publishing.Order(tmp_path / "not" / "yet" / "there", (), DAY, unreviewed=True)
    with pytest.raises(OSError, match="No space left"):
        publishing.publish(opened(ready), order, Full(tmp_path))

    assert not (tmp_path / "not").exists()


def test_a_page_that_does_not_say_what_is_current_is_not_guessed_at(
    ready, tmp_path, pdf, capsys
):
    into = tmp_path / "published"
    published(ready, into, pdf)
    (into / "edition-1").rename(into / "edition-2")
    (into / "index.html").unlink()
    before = everything_in(into)

    for words in (("publish", ready, "--unreviewed", "--into", into), ("trace", "--in", into)):
        ended = run(capsys, *words)
        assert ended.status == 2
        assert (
            "index.html: missing, so that nobody can tell which edition is current" in ended.err
        )
    assert everything_in(into) == before
