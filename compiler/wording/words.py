"""The words of a sheet that no protocol writes, in one language, with its numbers and dates."""

from __future__ import annotations

import datetime
import re
from collections.abc import Sequence
from dataclasses import dataclass

from compiler.wording.catalogue import Catalogue
from compiler.wording.languages import Language, language
from compiler.wording.packaged import packaged

SLOT = re.compile(r"\{(\w+)\}")


@dataclass(frozen=True, slots=True)
class Words:
    """Fixed words, numbers and dates in one language."""

    language: Language
    catalogue: Catalogue | None
    """Nothing for English, which is the source, and for languages that have no words yet."""

    @property
    def tag(self) -> str:
        """The BCP 47 tag."""
        return self.language.tag

    @property
    def own_name(self) -> str:
        """The language's name in itself."""
        return self.language.own_name

    @property
    def direction(self) -> str:
        """`ltr` or `rtl`."""
        return self.language.direction

    def say(self, english: str, **values: object) -> str:
        """The fixed words in this language, with `{name}` filled in.

        >>> words("en").say("after {number}", number=3)
        'after 3'
        >>> words("es").say("after {number}", number=3)
        'después de 3'
        """
        entry = self.catalogue.find("", english) if self.catalogue else None
        text = entry.text if entry and entry.usable else english
        return SLOT.sub(lambda slot: self._shown(values[slot[1]]), text) if values else text

    def quote(self, text: str) -> str:
        """The text in this language's quotation marks."""
        return self.language.quoted(text)

    def number(self, value: float) -> str:
        """A number in the language's own digits."""
        return self.language.number(value)

    def date(self, day: datetime.date) -> str:
        """A day in the language's long form."""
        return self.language.date(day)

    def days(self, count: int) -> str:
        """So many days, in words."""
        return self.language.days(count)

    def all_of(self, items: Sequence[str]) -> str:
        """The items as a list that ends in "and"."""
        return self.language.all_of(items)

    def one_of(self, items: Sequence[str]) -> str:
        """The items as a list that ends in "or"."""
        return self.language.one_of(items)

    def _shown(self, value: object) -> str:
        """A value as this language writes it."""
        if isinstance(value, datetime.date):
            return self.date(value)
        return self.number(value) if isinstance(value, int | float) else str(value)


def words(tag: str) -> Words:
    """The fixed words of a language; English ones where the language has none."""
    return Words(language(tag), packaged(tag))
