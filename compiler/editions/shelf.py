"""The folder of editions: where everything lies, and which edition is the current one.

    published/
      index.html      what is current; replacing this one file makes an edition the current one
      register.txt    which edition holds which code, for `trace`
      edition-1/      one folder an edition, never written again
      edition-2/

An edition with a higher number than `index.html` says was not finished and does not count.
Plain files only, so that any web server or shared drive can hold it.
"""

from __future__ import annotations

import re
from dataclasses import dataclass
from pathlib import Path

from compiler.findings import UnreadableSourceError

NUMBER = "wallward-edition"
"""Name of the `meta` element of `index.html` that says which edition is current."""
_CURRENT = re.compile(rb'<meta name="wallward-edition" content="(\d{1,9})">')
_FIRST_BYTES = 4_000


@dataclass(frozen=True, slots=True)
class Editions:
    """One folder of editions."""

    folder: Path

    @property
    def index(self) -> Path:
        """The page that says what is current."""
        return self.folder / "index.html"

    @property
    def register(self) -> Path:
        """The file to look codes up in."""
        return self.folder / "register.txt"

    def edition(self, number: int) -> Path:
        """The folder of an edition."""
        return self.folder / f"edition-{number}"

    def part(self, number: int) -> Path:
        """Where an edition is made before it is whole."""
        return self.folder / f".edition-{number}.part"

    def record(self, number: int) -> Path:
        """The record of an edition."""
        return self.edition(number) / "edition.json"

    def current(self) -> int:
        """The number of the current edition; 0 when nothing is published yet.

        Raises:
            UnreadableSourceError: there are editions, and the page does not say which is it.
        """
        try:
            with self.index.open("rb") as stream:
                start = stream.read(_FIRST_BYTES)
        except FileNotFoundError:
            # a first edition that was not finished does not count
            if not self.edition(2).exists():
                return 0
            raise self._unclear("missing") from None
        except OSError as fault:
            raise UnreadableSourceError(
                f"{self.index.as_posix()}: cannot be read ({fault.strerror})"
            ) from None
        found = _CURRENT.search(start)
        if not found:
            raise self._unclear("damaged, or no page of editions")
        return int(found[1])

    def _unclear(self, what: str) -> UnreadableSourceError:
        return UnreadableSourceError(
            f"{self.index.as_posix()}: {what}, so that nobody can tell which edition is "
            "current; put it back from a copy"
        )
