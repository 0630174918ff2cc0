"""Signing: one line, over just the text that is compiled; any change voids it.

The hash of the content is checked with sha256sum of GNU coreutils, which reads the manifest.
"""

from __future__ import annotations

import shutil
import subprocess
import sys

import pytest
from hypothesis import given
from hypothesis import strategies as st

from compiler.content import content_of
from compiler.editions import detached
from compiler.editions.kept import changes, manifest_of
from compiler.editions.refusal import RefusedError
from compiler.findings import UnreadableSourceError
from compiler.model.sign_offs import Proof, SignOff, Verdict, fit_for_a_line, read_sign_offs
from compiler.source import Source
from tests.command.sheets import change, example_set
from tests.editions.making import DAY, LEAD, PROTOCOL, opened, run, signed, small_set
from tests.house import TOP


def test_a_sign_off_is_one_line_more_and_the_set_stays_sound(tmp_path, capsys):
    folder = small_set(tmp_path / "set")

    ended = run(capsys, "sign", folder, "--signed-by", "reviewer A", "--role", LEAD)
    assert ended.status == 0
    assert f"signed: {folder}/sign-offs.txt, line 3" in ended.out
    ended = run(capsys, "sign", folder, "--signed-by", "reviewer B", "--role", "Ward nurse")
    assert "line 4" in ended.out

    lines = (folder / "sign-offs.txt").read_text(encoding="utf-8").splitlines()
    assert [line.split(" | ")[2] for line in lines[2:]] == ["reviewer A", "reviewer B"]
    assert run(capsys, "validate", folder).out.count("nothing to fix") == 1


def test_the_same_sign_off_twice_is_one_line(tmp_path):
    folder = small_set(tmp_path / "set")
    signed(folder)
    before = (folder / "sign-offs.txt").read_bytes()

    assert signed(folder).before

    assert (folder / "sign-offs.txt").read_bytes() == before


def test_sha256sum_confirms_the_hash_and_every_file(tmp_path):
    """The manifest is the program's own form, and the hash signed is that of the manifest."""
    folder = small_set(tmp_path / "set", ("en", "es"))
    done = signed(folder)
    manifest = manifest_of(folder, done.sign_off.content)

    said = subprocess.run(["sha256sum", manifest], capture_output=True, text=True, check=True)
    assert said.stdout.split()[0] == done.sign_off.content
    copy = tmp_path / "copy"
    for name in opened(folder).sources:
        path = f"translations/{name}" if name.endswith(".po") else name
        (copy / path).parent.mkdir(parents=True, exist_ok=True)
        if path != "sign-offs.txt":
            shutil.copyfile(folder / path, copy / path)
    shutil.copytree(TOP / "themes" / "default", copy / "theme" / "default")
    words = ["sha256sum", "--check", "--ignore-missing", "--quiet", manifest]
    said = subprocess.run(words, cwd=copy, capture_output=True, text=True, check=False)
    assert (said.returncode, said.stdout) == (0, "")
    change(copy / "kit.yaml", "gown", "gowm")
    said = subprocess.run(words, cwd=copy, capture_output=True, text=True, check=False)
    assert said.stdout == "kit.yaml: FAILED\n"


@pytest.fixture(scope="module")
def in_two_languages(tmp_path_factory):
    """A set that is signed: its folder, its sign-off and its texts."""
    folder = small_set(tmp_path_factory.mktemp("signed") / "set", ("en", "es"))
    return folder, signed(folder).sign_off, opened(folder).sources


@given(st.data())
def test_one_character_anywhere_is_another_content_and_is_named(in_two_languages, data):
    """Any file, any place: put in, taken out or replaced."""
    folder, then, texts = in_two_languages
    sources = dict(texts)
    names = sorted(name for name in sources if name != "sign-offs.txt")
    name = data.draw(st.sampled_from(names))
    text = sources[name].text
    at = data.draw(st.integers(0, len(text) - 1))
    new = data.draw(st.sampled_from(["", "x", text[at] + "x"]).filter(lambda s: s != text[at]))
    sources[name] = Source(sources[name].path, text[:at] + new + text[at + 1 :])

    now = content_of(sources, then.languages)

    assert now.hash != then.content
    (told,) = changes(folder, then.content, now)
    assert told.text.startswith(f"{'translations/' * name.endswith('.po')}{name}, line ")
    shown = [line[:1] for line in told.details]
    assert "+" in shown or "-" in shown


def test_other_line_ends_are_the_same_text(tmp_path):
    """A checkout on another system may end lines in another way; what is compiled is the same."""
    folder = small_set(tmp_path / "set")
    before = signed(folder).sign_off.content
    path = folder / f"{PROTOCOL}.md"
    path.write_bytes(path.read_bytes().replace(b"\n", b"\r\n"))

    assert signed(folder).sign_off.content == before


def test_only_the_languages_signed_are_covered(tmp_path):
    folder = small_set(tmp_path / "set", ("en", "es"))
    english = signed(folder, languages=("en",)).sign_off
    po = folder / "translations" / "es" / f"{PROTOCOL}.po"
    po.write_text(po.read_text("utf-8") + "\n# a remark\n", encoding="utf-8")

    assert content_of(opened(folder).sources, ("en",)).hash == english.content
    assert content_of(opened(folder).sources, ("es",)).hash != english.content


def test_a_text_with_something_to_fix_is_not_approved_but_may_be_refused(tmp_path, capsys):
    folder = small_set(tmp_path / "set")
    change(folder / f"{PROTOCOL}.md", "`handrub`", "")
    who = ("--signed-by", "reviewer A", "--role", LEAD)

    ended = run(capsys, "sign", folder, *who)

    assert ended.status == 1
    assert "must fix" in ended.err
    assert "not signed:\n  something must be fixed" in ended.err
    assert not (folder / "sign-offs.txt").exists()
    assert run(capsys, "sign", folder, *who, "--verdict", "refused").status == 0


@pytest.mark.parametrize("text", ["a | b", "a\nb", "a\u202eb", " ", "x" * 400])
def test_what_does_not_fit_a_line_is_refused(text, tmp_path, capsys):
    folder = small_set(tmp_path / "set")

    ended = run(capsys, "sign", folder, "--signed-by", text, "--role", LEAD)

    assert ended.status == 1
    assert ended.err.startswith("not signed:\n  the name ")
    assert not (folder / "sign-offs.txt").exists()


def test_one_protocol_or_an_unknown_language_is_wrong_use(tmp_path, capsys):
    folder = small_set(tmp_path / "set")
    who = ("--signed-by", "reviewer A", "--role", LEAD)

    assert run(capsys, "sign", folder / f"{PROTOCOL}.md", *who).status == 2
    ended = run(capsys, "sign", folder, *who, "--language", "fr")

    assert ended.status == 2
    assert 'no language "fr" in clinic.yaml: en' in ended.err


TEXTS = st.text(min_size=1, max_size=30).filter(
    lambda text: bool(text) and fit_for_a_line(text)
)


@given(
    st.dates(),
    st.sampled_from(Verdict),
    TEXTS,
    TEXTS,
    st.sampled_from(Proof),
    TEXTS | st.just(""),
)
def test_a_line_is_read_as_it_was_written(day, verdict, who, role, proof, remark):
    written = SignOff(day, verdict, who, role, ("en", "zh-Hans"), "0a" * 32, proof, remark)

    read, findings = read_sign_offs(Source("sign-offs.txt", f"# heading\n\n{written.line}\n"))

    assert findings == []
    assert read == (written,)


@given(st.text(max_size=300))
def test_any_text_is_read_without_harm(text):
    """Hostile lines give findings with their line, and nothing that counts by chance."""
    read, findings = read_sign_offs(Source("sign-offs.txt", text))

    lines = [x for x in text.split("\n") if x.strip() and not x.startswith("#")]
    assert len(read) + len(findings) == len(lines)


def test_a_broken_line_is_told_with_its_place_and_does_not_count(tmp_path, capsys):
    folder = small_set(tmp_path / "set")
    signed(folder)
    change(folder / "sign-offs.txt", "approved", "aproved")

    ended = run(capsys, "validate", folder, "--form", "line")

    assert "sign-offs.txt:3:1: should fix" in ended.out
    assert "(sign-off-broken)" in ended.out
    assert opened(folder).sign_offs == ()


def test_validate_tells_when_no_sign_off_is_for_this_text(tmp_path, capsys):
    folder = small_set(tmp_path / "set")
    assert "sign-off" not in run(capsys, "validate", folder, "--form", "line").out
    signed(folder)
    assert "sign-off" not in run(capsys, "validate", folder, "--form", "line").out

    change(folder / "kit.yaml", "gloves:", "# any change\ngloves:")

    ended = run(capsys, "validate", folder, "--form", "line")
    assert ended.status == 0
    assert "sign-offs.txt:3:1: worth a look" in ended.out


def test_a_part_of_a_set_has_no_sign_offs_of_its_own(tmp_path, capsys):
    folder = example_set(tmp_path / "set", languages=("en",))
    signed(folder)
    assert len(opened(folder).protocols) == 2

    ended = run(capsys, "validate", folder / f"{PROTOCOL}.md", "--form", "line")

    assert (ended.status, "sign-off" in ended.out) == (0, False)


def test_what_was_signed_but_is_no_longer_kept_is_told(tmp_path):
    folder = small_set(tmp_path / "set")
    content = signed(folder).sign_off.content
    change(folder / "kit.yaml", "gloves:", "# any change\ngloves:")
    now = content_of(opened(folder).sources, ("en",))

    (told,) = changes(folder, content, now)
    assert told.details == ("+ # any change",)
    for path in (folder / "sign-offs" / "texts").iterdir():
        path.write_bytes(path.read_bytes() + b" ")
    (told,) = changes(folder, content, now)
    assert told.text == "kit.yaml: was changed; the text as signed is no longer kept"
    manifest_of(folder, content).unlink()
    (told,) = changes(folder, content, now)
    assert "missing or damaged" in told.text


# ---- signatures by programs that are installed


def ssh_key(folder, name):
    key = folder / name
    words = ["ssh-keygen", "-q", "-t", "ed25519", "-N", "", "-C", "test", "-f", key]
    subprocess.run(words, check=True)
    return key, key.with_suffix(".pub").read_text(encoding="utf-8").strip()


def test_ssh_keygen_confirms_a_signature_and_only_for_its_owner(tmp_path):
    folder = small_set(tmp_path / "set")
    key, public = ssh_key(tmp_path, "key")
    (folder / "signers.txt").write_text(f'"reviewer A" {public}\n', encoding="utf-8")

    ours = signed(folder, proof=Proof.SSH, key=str(key)).sign_off
    other = signed(folder, "reviewer B", proof=Proof.SSH, key=str(key)).sign_off

    assert detached.fault_of(folder, ours) == ""
    assert "ssh-keygen says" in detached.fault_of(folder, other)
    words = ["ssh-keygen", "-Y", "verify", "-f", folder / "signers.txt", "-I", "reviewer A"]
    words += ["-n", "wallward", "-s", detached.signature_of(folder, ours)]
    said = subprocess.run(
        words, input=f"{ours.line}\n".encode(), capture_output=True, check=False
    )
    assert said.returncode == 0, said.stderr
    detached.signature_of(folder, other).rename(detached.signature_of(folder, ours))
    assert "ssh-keygen says" in detached.fault_of(folder, ours)
    detached.signature_of(folder, ours).unlink()
    assert detached.fault_of(folder, ours).endswith(".sig is not there")


@pytest.mark.skipif(not shutil.which("gpg"), reason="gpg is not installed")
def test_gpg_confirms_a_signature_and_only_for_its_owner(tmp_path, monkeypatch):
    home = tmp_path / "home"
    home.mkdir(mode=0o700)
    monkeypatch.setenv("GNUPGHOME", str(home))
    make = ["gpg", "--batch", "--quiet", "--passphrase", "", "--quick-generate-key"]
    subprocess.run(
        [*make, "reviewer A <a@tern-island.example>"], check=True, capture_output=True
    )
    folder = small_set(tmp_path / "set")
    export = subprocess.run(["gpg", "--export"], check=True, capture_output=True)
    (folder / "signers.gpg").write_bytes(export.stdout)

    ours = signed(folder, proof=Proof.OPENPGP, key="reviewer A").sign_off
    other = signed(folder, "reviewer B", proof=Proof.OPENPGP, key="reviewer A").sign_off

    assert detached.fault_of(folder, ours) == ""
    assert detached.fault_of(folder, other) == (
        "the key belongs to reviewer A and not to reviewer B"
    )
    path = detached.signature_of(folder, ours)
    path.write_bytes(detached.signature_of(folder, other).read_bytes())
    assert "gpgv says" in detached.fault_of(folder, ours)
    subprocess.run(["gpgconf", "--kill", "all"], check=False)


def test_a_missing_program_or_key_is_one_line(tmp_path, monkeypatch, capsys):
    folder = small_set(tmp_path / "set")
    who = ("--signed-by", "reviewer A", "--role", LEAD)

    ended = run(capsys, "sign", folder, *who, "--key", tmp_path / "none")
    assert ended.status == 2
    assert "ssh-keygen does not sign: " in ended.err
    assert len(ended.err.splitlines()) == 1

    monkeypatch.setenv("PATH", str(tmp_path))
    ended = run(capsys, "sign", folder, *who, "--key", tmp_path / "none")
    assert ended.status == 2
    assert (
        ended.err == "wallward: ssh-keygen is not installed: apt-get install openssh-client\n"
    )
    line = SignOff(DAY, Verdict.APPROVED, "a", "b", ("en",), "0a" * 32, Proof.SSH)
    (folder / "signers.txt").write_text("", encoding="utf-8")
    (folder / "sign-offs").mkdir(exist_ok=True)
    detached.signature_of(folder, line).write_text("", encoding="utf-8")
    with pytest.raises(UnreadableSourceError, match="not installed"):
        detached.fault_of(folder, line)


def test_a_clinic_that_asks_for_signatures_gets_no_line_without(tmp_path):
    folder = small_set(tmp_path / "set")
    clinic = folder / "clinic.yaml"
    clinic.write_text(clinic.read_text("utf-8") + "sign-offs: {signature: ssh}\n", "utf-8")

    with pytest.raises(RefusedError, match="asks for a signature by ssh"):
        signed(folder)


def test_two_at_once_one_is_told(tmp_path):
    """Locks of a process do not bind the process itself, so the other is another one."""
    folder = small_set(tmp_path / "set")
    program = (
        "import fcntl, os, sys; h = os.open(sys.argv[1], os.O_RDONLY)\n"
        "fcntl.flock(h, fcntl.LOCK_EX); print('held', flush=True); sys.stdin.read()"
    )
    words = [sys.executable, "-c", program, folder]
    with subprocess.Popen(
        words, stdin=subprocess.PIPE, stdout=subprocess.PIPE, text=True
    ) as other:
        assert other.stdout
        assert other.stdout.readline() == "held\n"
        with pytest.raises(UnreadableSourceError, match="somebody else is writing here"):
            signed(folder)
        other.communicate()
    signed(folder)
