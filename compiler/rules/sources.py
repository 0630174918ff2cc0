"""Published sources that rules cite, from `sources.toml`."""

from __future__ import annotations

import tomllib
from dataclasses import dataclass
from functools import cache
from importlib.resources import files


@dataclass(frozen=True, slots=True)
class Published:
    """One publication."""

    key: str
    title: str
    publisher: str
    year: str
    part: str
    url: str
    seen: str
    """How it was seen: `read`, `restated` on another page, or from `memory`."""

    @property
    def citation(self) -> str:
        """One line that names it and says how it was seen."""
        about = ", ".join(x for x in (self.publisher, self.title, self.part, self.year) if x)
        sure = {"restated": " (as restated elsewhere)", "memory": " (from memory)"}
        return about + sure.get(self.seen, "")

    @property
    def short(self) -> str:
        """Publisher, title and year alone, without what stands in brackets."""
        title = self.title.partition(" (")[0].partition(";")[0]
        return ", ".join(x for x in (self.publisher, title, self.year) if x)


@cache
def published() -> dict[str, Published]:
    """All sources by key."""
    text = files("compiler").joinpath("rules/sources.toml").read_text(encoding="utf-8")
    return {
        key: Published(
            key,
            *(
                str(row.get(k, ""))
                for k in ("title", "publisher", "year", "part", "url", "seen")
            ),
        )
        for key, row in tomllib.loads(text).items()
        if isinstance(row, dict)
    }


NONE = "common practice, no source"


def citations(keys: tuple[str, ...]) -> list[str]:
    """The citation lines of a rule; the plain words for none when it has no source."""
    known = published()
    return [known[key].citation for key in keys] or [NONE]


def short_citation(keys: tuple[str, ...]) -> str:
    """The first source in short, and how many more there are."""
    if not keys:
        return NONE
    more = f"; and {len(keys) - 1} more" if len(keys) > 1 else ""
    return published()[keys[0]].short + more
