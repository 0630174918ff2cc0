"""What CLDR knows of a language: its own name, direction, digits, dates, lists, quotes.

Only sheets need it: importing Babel takes longer than validating a protocol.
"""

from __future__ import annotations

import datetime
import unicodedata
from collections.abc import Sequence
from dataclasses import dataclass
from functools import cache

from babel import Locale, UnknownLocaleError
from babel.core import get_global
from babel.dates import format_date, format_timedelta
from babel.lists import format_list
from babel.numbers import format_decimal

ASCII_DIGITS = "0123456789"
# The keys are those of CLDR. Babel has no digits for them; Unicode has.
ZEROS = {
    "adlm": "ADLAM DIGIT ZERO",
    "arab": "ARABIC-INDIC DIGIT ZERO",
    "arabext": "EXTENDED ARABIC-INDIC DIGIT ZERO",
    "beng": "BENGALI DIGIT ZERO",
    "cakm": "CHAKMA DIGIT ZERO",
    "deva": "DEVANAGARI DIGIT ZERO",
    "gujr": "GUJARATI DIGIT ZERO",
    "guru": "GURMUKHI DIGIT ZERO",
    "khmr": "KHMER DIGIT ZERO",
    "knda": "KANNADA DIGIT ZERO",
    "laoo": "LAO DIGIT ZERO",
    "mlym": "MALAYALAM DIGIT ZERO",
    "mymr": "MYANMAR DIGIT ZERO",
    "nkoo": "NKO DIGIT ZERO",
    "olck": "OL CHIKI DIGIT ZERO",
    "orya": "ORIYA DIGIT ZERO",
    "rohg": "HANIFI ROHINGYA DIGIT ZERO",
    "tamldec": "TAMIL DIGIT ZERO",
    "telu": "TELUGU DIGIT ZERO",
    "thai": "THAI DIGIT ZERO",
    "tibt": "TIBETAN DIGIT ZERO",
}

# Babel leaves out what CLDR calls delimiters, so they are kept here, of CLDR 42: quotationStart
# and quotationEnd. CLDR has no spaces for French; its no-break spaces are French typography.
QUOTES = {
    "en": "“…”",
    "es": "«…»",
    "es-419": "“…”",
    "fr": "«\u00a0…\u00a0»",
    "pt": "“…”",
    "pt-PT": "«…»",
    "de": "„…“",
    "pl": "„…”",
    "uk": "«…»",
    "ru": "«…»",
    "ar": "”…“",
    "fa": "«…»",
    "ur": "”…“",
    "hi": "“…”",
    "bn": "“…”",
    "zh-Hans": "“…”",
    "zh-Hant": "「…」",
    "vi": "“…”",
    "tl": "“…”",
    "so": "“…”",
    "am": "«…»",
    "th": "“…”",
    "ko": "“…”",
}


@dataclass(frozen=True)
class Language:
    """One language as CLDR describes it."""

    tag: str
    """BCP 47, as the clinic writes it."""
    locale: Locale | None
    """Nothing when CLDR does not know the language: then plain digits and ISO dates."""
    digits: str
    """The ten digits, 0 to 9."""

    @property
    def own_name(self) -> str:
        """What its readers call it, in its own script."""
        if not self.locale:
            return self.tag
        whole = str(self.locale)
        with_script = f"{self.locale.language}_{self.locale.script}"
        names = self.locale.languages
        found = names.get(whole) or names.get(with_script) or names.get(self.locale.language)
        return str(found or self.locale.get_display_name() or self.tag)

    @property
    def direction(self) -> str:
        """`ltr` or `rtl`."""
        return str(self.locale.text_direction) if self.locale else "ltr"

    def number(self, value: float) -> str:
        """A number in the language's own digits, without grouping.

        >>> language("fa").number(20), language("de").number(1.5)
        ('۲۰', '1,5')
        """
        if not self.locale:
            return f"{value:g}"
        system = self.locale.default_numbering_system
        text = format_decimal(
            value, "0.###", self.locale, group_separator=False, numbering_system=system
        )
        return self.localised(text)

    def date(self, day: datetime.date) -> str:
        """The day in the language's long form, always just as CLDR gives it.

        French print is used to "1er novembre"; CLDR has "1 novembre", and so have the sheets,
        beside the same day in digits by ISO 8601.

        >>> language("es").date(datetime.date(2026, 11, 1))
        '1 de noviembre de 2026'
        """
        if not self.locale:
            return day.isoformat()
        return self.localised(format_date(day, "long", self.locale))

    def days(self, count: int) -> str:
        """So many days, in words.

        >>> language("en").days(7), language("ru").days(5), language("bn").days(5)
        ('7 days', '5 дней', '৫ দিন')
        """
        if not self.locale:
            return f"{count} d"
        span = datetime.timedelta(days=count)
        never = float("inf")  # not "1 week" for seven days
        text = format_timedelta(span, granularity="day", threshold=never, locale=self.locale)
        return self.localised(str(text))

    def all_of(self, words: Sequence[str]) -> str:
        """The words as a list that ends in "and"."""
        return (
            str(format_list(list(words), "standard", self.locale))
            if self.locale
            else ", ".join(words)
        )

    def one_of(self, words: Sequence[str]) -> str:
        """The words as a list that ends in "or"."""
        return (
            str(format_list(list(words), "or", self.locale))
            if self.locale
            else ", ".join(words)
        )

    def quoted(self, text: str) -> str:
        """The text in the language's quotation marks.

        >>> language("de").quoted("Stopp"), language("es-MX").quoted("alto")
        ('„Stopp“', '“alto”')
        """
        name = self.tag.partition("-u-")[0]
        above = get_global("parent_exceptions").get(name.replace("-", "_"), "")
        for tag in (name, above.replace("_", "-"), *_shorter(name)):
            if tag in QUOTES:
                return QUOTES[tag].replace("…", text)
        return f"“{text}”"

    def localised(self, text: str) -> str:
        """The text with its ASCII digits in the language's own."""
        return text.translate(str.maketrans(ASCII_DIGITS, self.digits))


@cache
def language(tag: str) -> Language:
    """The language of a BCP 47 tag; `-u-nu-arab` and the like choose other digits.

    >>> language("zh-Hans").own_name, language("ar").direction, language("tl").own_name
    ('简体中文', 'rtl', 'Filipino')
    """
    name, _, wishes = tag.partition("-u-")
    try:
        locale = Locale.parse(name, sep="-")
    except (UnknownLocaleError, ValueError):
        return Language(tag, None, ASCII_DIGITS)
    system = wishes.partition("nu-")[2].partition("-")[0] or locale.default_numbering_system
    return Language(tag, locale, _digits(system))


def _shorter(tag: str) -> list[str]:
    """The tag without its last subtags, one after the other."""
    parts = tag.split("-")
    return ["-".join(parts[:count]) for count in range(len(parts) - 1, 0, -1)]


def _digits(system: str) -> str:
    """The ten digits of a numbering system."""
    if system not in ZEROS:
        return ASCII_DIGITS
    zero = ord(unicodedata.lookup(ZEROS[system]))
    return "".join(chr(zero + value) for value in range(10))
