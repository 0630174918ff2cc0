"""Files of a set as git keeps them: read only, by the installed program, without a shell.

Nothing of a repository runs: no hook, no filter, no other program that its settings name; and
no network is used. Only `rev-parse`, `ls-tree` and `cat-file` are called, which do none of
these by themselves; the environment forbids the rest.
"""

from __future__ import annotations

import os
import subprocess
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path

from compiler.findings import UnreadableSourceError
from compiler.source import Source
from compiler.storage import LARGEST_FILE, decoded

SAFE = {
    "GIT_LITERAL_PATHSPECS": "1",
    "GIT_NO_LAZY_FETCH": "1",
    "GIT_NO_REPLACE_OBJECTS": "1",
    "GIT_OPTIONAL_LOCKS": "0",
    "GIT_TERMINAL_PROMPT": "0",
    "LC_ALL": "C",
}
CALL = ("git", "--no-pager", "-c", "protocol.allow=never", "-c", "core.fsmonitor=false")
FILE_MODES = ("100644", "100755")
SECONDS = 60
"""After so long git is given up: a folder on a drive that does not answer, say."""


@dataclass(frozen=True, slots=True)
class Blob:
    """One file in a revision."""

    path: str
    """From the top of the repository."""
    name: str
    """What git finds its content by."""
    size: int


@dataclass(frozen=True, slots=True)
class Revision:
    """A revision that git knows."""

    words: str
    """As the person wrote it."""
    commit: str
    """The hash that it stands for."""
    folder: Path
    """A folder inside the repository."""
    prefix: str
    """That folder from the top of the repository, ending in a slash; empty for the top."""

    def blobs(self, path: str) -> list[Blob]:
        """All files in a folder of the revision, or the one file."""
        wanted = [path.rstrip("/")] if path else []
        listed = _git(
            self.folder, "ls-tree", "-r", "-z", "-l", "--full-tree", self.commit, "--", *wanted
        )
        return [*_blobs(listed)]

    def sources(self, blobs: list[Blob]) -> Iterator[tuple[Blob, Source]]:
        """The texts of files, read in one go.

        Raises:
            UnreadableSourceError: when one is too large or not UTF-8 text.
        """
        for blob in blobs:
            if blob.size > LARGEST_FILE:
                limit = LARGEST_FILE // 1_000_000
                raise UnreadableSourceError(f"{self.shown(blob.path)}: larger than {limit} MB")
        asked = "".join(f"{blob.name}\n" for blob in blobs).encode()
        data = _git(self.folder, "cat-file", "--batch", said=asked)
        start = 0
        for blob in blobs:
            start = data.index(b"\n", start) + 1
            yield blob, decoded(self.shown(blob.path), data[start : start + blob.size])
            start += blob.size + 1

    def shown(self, path: str) -> str:
        """A file of the revision, as a person would write it."""
        return f"{self.words}:{path}" if "/" in path else f"{self.words}:./{path}"


def revision(words: str, folder: Path) -> Revision:
    """The revision that somebody names, in the repository around a folder.

    Raises:
        UnreadableSourceError: when git is not installed, there is no repository, or it does not
            know the revision.
    """
    there_is_none = f'"{words}": there is no such file or folder'
    try:
        prefix = _git(folder, "rev-parse", "--show-prefix").decode("utf-8", "surrogateescape")
    except FileNotFoundError:
        message = f"{there_is_none}, and git, which might know a revision, is not installed"
        raise UnreadableSourceError(message) from None
    except UnreadableSourceError as refused:
        raise UnreadableSourceError(f"{there_is_none}, and {refused}") from None
    commit = f"{words}^{{commit}}"
    try:
        found = _git(folder, "rev-parse", "--verify", "--quiet", "--end-of-options", commit)
    except UnreadableSourceError:
        message = f"{there_is_none}, and git knows no revision of that name"
        raise UnreadableSourceError(message) from None
    return Revision(words, found.decode("ascii").strip(), folder, prefix.strip("\n"))


def _git(folder: Path, *words: str, said: bytes = b"") -> bytes:
    """What git answers.

    Raises:
        FileNotFoundError: when it is not installed.
        UnreadableSourceError: when it refuses.
    """
    try:
        done = subprocess.run(
            [*CALL, "-C", os.fspath(folder), *words],
            input=said,
            capture_output=True,
            check=False,
            timeout=SECONDS,
            env={**os.environ, **SAFE},
        )
    except subprocess.TimeoutExpired:
        raise UnreadableSourceError(f"git did not answer within {SECONDS} seconds") from None
    if done.returncode:
        first = done.stderr.decode("utf-8", "replace").strip().split("\n")[0]
        raise UnreadableSourceError(f"git says: {first or 'nothing'}")
    return done.stdout


def _blobs(listed: bytes) -> Iterator[Blob]:
    """Files only: links and other repositories are not followed."""
    for row in listed.split(b"\0"):
        about, _, path = row.partition(b"\t")
        words = about.decode("ascii").split()
        if len(words) == 4 and words[0] in FILE_MODES and words[3].isdecimal():
            yield Blob(path.decode("utf-8", "surrogateescape"), words[2], int(words[3]))
