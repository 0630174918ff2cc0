"""Units of time after a number, in every language: 20 seconds must not become 20 minutes."""

from __future__ import annotations

import re
from collections.abc import Iterator
from functools import lru_cache

UNITS = ("second", "minute", "hour", "day", "week")
# How the words begin, one row a language, the units in the order above. From the unit patterns
# of CLDR, long and short forms; three letters or fewer are a whole word.
# Hindi's short form of "second" is left out: it is also the word for "to" in "20 to 30".
WRITTEN = """
en  second sec secs s | minute min mins | hour hr hrs h | day days d | week wk wks
es  segundo seg s | minuto min | hora h | día días d | semana sem
fr  seconde sec s | minute min | heure h | jour j | semaine sem
pt  segundo seg s | minuto min | hora h | dia dias | semana sem
de  sekunde sek s | minute min | stunde std | tage tag tg | woche wo
pl  sekund sek s | minut min | godz | dzień dni dnia doba dobę | tydz tyg tygod
uk  секунд сек с | хвилин хв | годин год | день дн дні днів дня | тиж тижд тижн
ru  секунд сек с | минут мин | часа часов час ч | день дней дня дн | недел нед
ar  ثاني ثوان ث | دقيق دقائق د | ساعة ساعات س | يوم يوما أيام | أسبوع أسابيع
fa  ثانی | دقیق | ساعت | روز | هفته
ur  سیکنڈ | منٹ | گھنٹ | دن | ہفتہ ہفتے
hi  सेकंड सेकेंड सेकण्ड | मिनट मिनिट | घंटा घंटे घण्ट | दिन दिनों | सप्ताह हफ़्त हफ्त
bn  সেকেন্ড | মিনিট | ঘন্টা ঘণ্টা | দিন দিনের | সপ্তাহ
zh  秒 | 分钟 分鐘 分 | 小时 小時 | 天 日 | 周 週
vi  giây | phút | giờ | ngày | tuần
tl  segundo seg s | minuto min | oras | araw | linggo
so  ilbiriqsi ilbrqsi sekan | daqiiq dqqd miridh | saac scd | maalin maalm mln | toddobaad tdbd
am  ሰከ | ደቂ | ሰዓ | ቀን ቀና | ሳምን
th  วินาที วิ | นาที | ชั่วโมง ชม | วัน | สัปดาห์
ko  초 | 분 | 시간 | 일 | 주
"""
TERSE = ("zh", "th", "ko", "am")
"""Languages whose signs stand for syllables or words: even one of them is no accident."""
MARKS = r"[\u0300-\u036f\u0900-\u0dff\u0e30-\u0e4e]"
AFTER = re.compile(rf"\d[ \u00a0\u202f\-]?(?:na )?([^\W\d_](?:[^\W\d_]|{MARKS})*)")
"""A word right after a number; vowel signs of some scripts are no word characters."""


@lru_cache(maxsize=64)
def _beginnings(language: str) -> tuple[tuple[str, str], ...]:
    """Beginnings with their units, the longest first."""
    for row in WRITTEN.strip().splitlines():
        tag, _, words = row.partition("  ")
        if tag == language:
            columns = zip(UNITS, words.split("|"), strict=True)
            pairs = [(start, unit) for unit, column in columns for start in column.split()]
            return tuple(sorted(pairs, key=lambda pair: -len(pair[0])))
    return ()


def units(text: str, tag: str) -> set[str]:
    """The units of time that directly follow a number; empty for languages not in the table.

    >>> units("Rub for 20 to 30 seconds, within 2 min.", "en") == {"second", "minute"}
    True
    >>> units("Ask a second person, 5 steps away.", "en"), units("20至30秒", "zh-Hans")
    (set(), {'second'})
    """
    language = tag.partition("-")[0].casefold()
    return set(_found(text, language))


def _found(text: str, language: str) -> Iterator[str]:
    for match in AFTER.finditer(text):
        word = match[1].casefold()
        for start, unit in _beginnings(language):
            whole = len(start) <= 3 and language not in TERSE
            if word == start if whole else word.startswith(start):
                yield unit
                break
