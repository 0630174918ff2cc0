"""Signatures beside sign-offs, made and checked by a program that is installed: SSH or OpenPGP.

Nothing is invented here: a key stays with its program, and who may sign stands in a file that
each of them reads in its own form, `signers.txt` (ssh-keygen(1), ALLOWED SIGNERS) or
`signers.gpg` (a keyring for gpgv(1)), in the set's folder.
"""

from __future__ import annotations

import os
import re
import subprocess
from pathlib import Path

from compiler.check_code import sha256
from compiler.content import KEPT
from compiler.findings import UnreadableSourceError
from compiler.model.sign_offs import Proof, SignOff
from compiler.syntax.spelling import alike

SPACE = "wallward"
"""The namespace of SSH signatures, so that one made for another purpose does not count."""
SIGNERS = {Proof.SSH: "signers.txt", Proof.OPENPGP: "signers.gpg"}
ASKING, CHECKING = 120, 30
"""Seconds: somebody may have to type a passphrase; checking asks nobody."""
_PROGRAMS = {"ssh-keygen": "openssh-client", "gpg": "gnupg", "gpgv": "gpgv"}


def signature_of(folder: Path, sign_off: SignOff) -> Path:
    """Where the signature of a line is kept."""
    return folder / KEPT / f"{sha256(_signed(sign_off))[:16]}.sig"


def sign(sign_off: SignOff, key: str) -> bytes:
    """The signature of a line, by a key file for SSH or a key's name for OpenPGP.

    Raises:
        UnreadableSourceError: the program is not installed, or does not sign.
    """
    if sign_off.proof is Proof.SSH:
        words = ["ssh-keygen", "-Y", "sign", "-q", "-n", SPACE, "-f", key]
    else:
        words = ["gpg", "--batch", "--armor", "--local-user", key, "--detach-sign"]
    done = _run(words, _signed(sign_off), ASKING)
    if done.returncode or not done.stdout.startswith(b"-----BEGIN "):
        raise UnreadableSourceError(f"{key}: {words[0]} does not sign: {_said(done)}")
    return done.stdout


def fault_of(folder: Path, sign_off: SignOff, signers: Path | None = None) -> str:
    """What is wrong with the signature of a sign-off; empty when it is right or none is said.

    Args:
        folder: The set's.
        sign_off: The line.
        signers: Who may sign, when it is not the file in the set.

    Raises:
        UnreadableSourceError: the program that checks is not installed.
    """
    if sign_off.proof is Proof.NONE:
        return ""
    path = signature_of(folder, sign_off)
    allowed = signers or folder / SIGNERS[sign_off.proof]
    for needed in (path, allowed):
        if not needed.is_file():
            return f"{needed.as_posix()} is not there"
    check = _ssh_fault if sign_off.proof is Proof.SSH else _openpgp_fault
    return check(sign_off, path, allowed)


def _ssh_fault(sign_off: SignOff, path: Path, allowed: Path) -> str:
    at = f"-Overify-time={sign_off.day:%Y%m%d}"
    who = ["-f", str(allowed), "-I", sign_off.reviewer, "-n", SPACE, "-s", str(path)]
    done = _run(["ssh-keygen", "-Y", "verify", *who, at], _signed(sign_off), CHECKING)
    return "" if done.returncode == 0 else f"ssh-keygen says: {_said(done)}"


def _openpgp_fault(sign_off: SignOff, path: Path, allowed: Path) -> str:
    words = ["gpgv", "--status-fd", "1", "--keyring", str(allowed.resolve())]
    done = _run([*words, str(path.resolve()), "-"], _signed(sign_off), CHECKING)
    status = done.stdout.decode("utf-8", "replace")
    good = re.search(r"^\[GNUPG:\] GOODSIG \S+ (.+)$", status, re.MULTILINE)
    if done.returncode or not good:
        return f"gpgv says: {_said(done)}"
    owner = re.split(r" [(<]", good[1])[0]
    if alike(owner) != alike(sign_off.reviewer):
        return f"the key belongs to {owner} and not to {sign_off.reviewer}"
    return ""


def _signed(sign_off: SignOff) -> bytes:
    return f"{sign_off.line}\n".encode()


def _run(words: list[str], given: bytes, patience: int) -> subprocess.CompletedProcess[bytes]:
    try:
        return subprocess.run(
            words,
            input=given,
            capture_output=True,
            check=False,
            timeout=patience,
            env={**os.environ, "LC_ALL": "C"},
        )
    except FileNotFoundError:
        package = _PROGRAMS[words[0]]
        raise UnreadableSourceError(
            f"{words[0]} is not installed: apt-get install {package}"
        ) from None
    except subprocess.TimeoutExpired:
        raise UnreadableSourceError(
            f"{words[0]} gave no answer within {patience} seconds"
        ) from None


def _said(done: subprocess.CompletedProcess[bytes]) -> str:
    """The last line that the program wrote."""
    lines = done.stderr.decode("utf-8", "replace").split("\n")
    text = next((line.strip() for line in reversed(lines) if line.strip()), "nothing")
    return "".join(sign for sign in text if sign.isprintable())[:200]
