"""Numbers, dates, lists and names against ICU, which reads CLDR by its own code.

Expected values were printed by ICU 78.2 with CLDR 48 (NumberFormat, DateFormat with the Gregorian
calendar, ListFormat "or"); the compiler uses Babel, whose copy of CLDR is another one. Releases of
CLDR differ in which space they put before a year's sign, so every space counts as one.
"""

import datetime
import unicodedata

import pytest
from babel import Locale, localedata

from compiler.model.languages import SUPPORTED
from compiler.wording.languages import ZEROS, language

DAY = datetime.date(2026, 11, 1)
ICU = [
    ("en", "1234567890", "November 1, 2026", "A, B, or C"),
    ("es", "1234567890", "1 de noviembre de 2026", "A, B o C"),
    ("ar", "1234567890", "1 نوفمبر 2026", "A أو B أو C"),
    ("ar-EG", "١٢٣٤٥٦٧٨٩٠", "١ نوفمبر ٢٠٢٦", "A أو B أو C"),
    ("zh-Hans", "1234567890", "2026年11月1日", "A、B或C"),
    ("zh-Hant", "1234567890", "2026年11月1日", "A、B或C"),
    ("hi", "1234567890", "1 नवंबर 2026", "A, B या C"),
    ("fr", "1234567890", "1 novembre 2026", "A, B ou C"),
    ("fa", "۱۲۳۴۵۶۷۸۹۰", "۱ نوامبر ۲۰۲۶", "A،‏ B، یا C"),
    ("ur", "1234567890", "1 نومبر، 2026", "A، B، یا C"),
    ("bn", "১২৩৪৫৬৭৮৯০", "১ নভেম্বর, ২০২৬", "A, B, বা C"),
    ("am", "1234567890", "1 ኖቬምበር 2026", "A፣ B ወይም C"),
    ("fil", "1234567890", "Nobyembre 1, 2026", "A, B, o C"),
    ("uk", "1234567890", "1 листопада 2026 р.", "A, B або C"),
    ("vi", "1234567890", "1 tháng 11, 2026", "A, B hoặc C"),
    ("th", "1234567890", "1 พฤศจิกายน ค.ศ. 2026", "A, B หรือ C"),
    ("so", "1234567890", "Noofeembar 1, 2026", "A, B ama C"),
    ("ko", "1234567890", "2026년 11월 1일", "A, B 또는 C"),
]


@pytest.mark.parametrize(("tag", "number", "date", "choice"), ICU, ids=[row[0] for row in ICU])
def test_agrees_with_icu(tag, number, date, choice):
    tongue = language(tag)

    assert tongue.number(1234567890) == number
    assert " ".join(tongue.date(DAY).split()) == date
    assert tongue.one_of(["A", "B", "C"]) == choice


# quotationStart and quotationEnd of CLDR 42, as `ulocdata_getDelimiter` of ICU 72.1 gives them.
DELIMITERS = {
    "en": "“”", "es": "«»", "es-419": "“”", "es-MX": "“”", "fr": "«»", "fr-CA": "«»", "pt": "“”",
    "pt-BR": "“”", "pt-PT": "«»", "pt-AO": "«»", "de": "„“", "de-AT": "„“", "pl": "„”", "uk": "«»",
    "ru": "«»", "ar": "”“", "ar-EG": "”“", "fa": "«»", "ur": "”“", "hi": "“”", "bn": "“”",
    "zh-Hans": "“”", "zh-Hant": "「」", "zh-Hant-HK": "「」", "vi": "“”", "tl": "“”", "so": "“”",
    "am": "«»", "th": "“”", "ko": "“”",
}  # fmt: skip


def test_quotation_marks_are_those_of_icu():
    assert set(SUPPORTED) <= set(DELIMITERS)
    for tag, marks in DELIMITERS.items():
        assert "".join(language(tag).quoted("x").split()) == f"{marks[0]}x{marks[1]}", tag


def test_french_marks_stand_apart_from_their_words_and_stay_with_them():
    """Typography of France, common practice, no source: « x », with spaces that forbid a break."""
    assert language("fr").quoted("x") == "«\u00a0x\u00a0»"
    assert [len(language(tag).quoted("x")) for tag in SUPPORTED if tag != "fr"] == [3] * 20


# ICU's DisplayNames, except for Chinese, where CLDR has a name of its own for the menu form.
NAMES = {
    "en": "English",
    "es": "español",
    "ar": "العربية",
    "zh-Hans": "简体中文",
    "zh-Hant": "繁體中文",
    "zh-TW": "繁體中文",
    "hi": "हिन्दी",
    "am": "አማርኛ",
    "tl": "Filipino",
    "uk": "українська",
}


@pytest.mark.parametrize("tag", NAMES)
def test_own_name(tag):
    assert language(tag).own_name == NAMES[tag]


def test_right_to_left_scripts_by_their_bidi_class():
    """Unicode's bidirectional class of the own name is a second witness of the direction."""
    for tag in ("en", "es", "ar", "fa", "ur", "he", "ps", "zh-Hans", "hi", "am", "th", "ko"):
        tongue = language(tag)
        letters = {unicodedata.bidirectional(sign) for sign in tongue.own_name}

        assert tongue.direction == ("rtl" if letters & {"R", "AL"} else "ltr"), tag


def test_digits_can_be_chosen_in_the_tag():
    """BCP 47 extension U, key nu (RFC 6067; UTS 35)."""
    assert language("ar-u-nu-arab").number(20) == "٢٠"
    assert language("hi-u-nu-deva").date(DAY) == "१ नवंबर २०२६"
    assert language("fa-u-nu-latn").number(20) == "20"


def test_fractions_have_the_sign_of_the_language():
    assert [language(tag).number(1.5) for tag in ("en", "es", "fa")] == ["1.5", "1,5", "۱٫۵"]


# ICU's zero for each numbering system (`en-u-nu-…`).
ICU_ZEROS = {
    "adlm": 0x1E950,
    "arab": 0x660,
    "arabext": 0x6F0,
    "beng": 0x9E6,
    "cakm": 0x11136,
    "deva": 0x966,
    "gujr": 0xAE6,
    "guru": 0xA66,
    "khmr": 0x17E0,
    "knda": 0xCE6,
    "laoo": 0xED0,
    "mlym": 0xD66,
    "mymr": 0x1040,
    "nkoo": 0x7C0,
    "olck": 0x1C50,
    "orya": 0xB66,
    "rohg": 0x10D30,
    "tamldec": 0xBE6,
    "telu": 0xC66,
    "thai": 0xE50,
    "tibt": 0xF20,
}


def test_digits_are_those_of_icu():
    assert set(ICU_ZEROS) == set(ZEROS)
    for system, zero in ICU_ZEROS.items():
        assert language(f"en-u-nu-{system}").digits == "".join(map(chr, range(zero, zero + 10)))


def test_the_digits_of_every_cldr_locale_are_known():
    # No Unicode Hmong or Meetei font is at hand; those three keep Latin digits.
    systems = {
        Locale.parse(name).default_numbering_system for name in localedata.locale_identifiers()
    }

    assert systems - set(ZEROS) - {"latn"} <= {"hmnp", "mtei"}


@pytest.mark.parametrize("tag", ["xx-none", "", "not a tag", "-", "zz"])
def test_an_unknown_language_still_prints_plainly(tag):
    tongue = language(tag)

    assert (tongue.number(20), tongue.date(DAY), tongue.direction) == (
        "20",
        "2026-11-01",
        "ltr",
    )
    assert tongue.all_of(["a", "b"]) == "a, b"
    assert (tongue.own_name, tongue.quoted("a")) == (tag, "“a”")
