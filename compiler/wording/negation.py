"""Whether a prohibition survived translation: "do not touch" must not become "touch"."""

from __future__ import annotations

import re
import unicodedata

FORBIDDING = {
    "en": re.compile(
        r"\b(?:do not|don[’']t|never|must not|may not|cannot|can[’']t)\b", re.IGNORECASE
    ),
    "es": re.compile(r"\b(?:no|nunca|jamás|prohibido)\b"),
    "fr": re.compile(r"\b(?:ne|jamais|interdit)\b|\bn[’']"),
    "pt": re.compile(r"\b(?:não|nunca|jamais|proibido)\b"),
    "de": re.compile(r"\b(?:nicht|nie|niemals|keine?[nmrs]?|verboten)\b"),
}
"""Plain prohibitions in the languages that a source text may be in."""


def _words(words: str) -> re.Pattern[str]:
    """Whole words between spaces, marks and ends; `…` at its end leaves a word open.

    Vowel signs of Indian scripts are no word characters, so words end at spaces and stops.
    """
    words = unicodedata.normalize("NFC", words)
    shapes = "|".join(word.replace("…", r"[^\s.,;:!?।۔،؛]*") for word in words.split())
    return re.compile(rf"(?:^|[\s(\"'“«„¡¿,،;؛:.!?।۔–—])(?:{shapes})(?=$|[\s.,;:!?)”»।۔،؛–—])")


NEGATION = {
    "en": re.compile(
        r"\b(?:not|\w+n[’']t|never|no|nothing|without|cannot|avoid)\b", re.IGNORECASE
    ),
    "es": _words("no nunca jamás sin ni nada nadie ning… tampoco evit… prohib…"),
    # "un pas" is a step
    "fr": re.compile(
        r"\b(?:ne|(?<!un )pas|jamais|sans|ni|rien|aucun\w*|interdi\w+|évit\w+)\b|\bn[’']"
    ),
    "pt": _words("não nunca jamais sem nem nada ninguém nenhum… evit… proibi… tampouco"),
    "de": _words("nicht… nie niemals kein… ohne weder niemand… vermeid… verboten… unterlass…"),
    "pl": _words("nie nigdy bez ani żad… nic nikt… unik… zakaz… zabron…"),
    "uk": _words("не ні ніколи без жодн… нічого ніхто немає уник… заборон… ані"),
    "ru": _words("не нет ни никогда без нельзя ничего никто никак… запре… избега…"),
    # Prefixes "and", "then" and "with" are written together with the word.
    "ar": re.compile(
        r"(?:^|[\s،؛.:(«])[وفب]?(?:لا|ألا|ألّا|لن|لم|ليس\w*|دون|غير|عدم|تجنب\w*|تجنّب\w*|احذر\w*|"
        r"ممنوع|يمنع|يُمنع|يحظر|يُحظر|إياك)(?=$|[\s،؛.:!)»])"
    ),
    # A verb is denied by its first letter; "do", "keep", "sit", "drink", "write" begin so too
    "fa": re.compile(
        r"(?:^|[\s،؛.:(«])(?:ن(?!مای|گه|شین|وش|ویس)\w+(?:ید|یم|ند|شود|کن)|نباید|نیست\w*|هرگز|بدون|"
        r"هیچ\w*|نه|ممنوع|خودداری|پرهیز|اجتناب)(?=$|[\s،؛.:!)»\u200c])"
    ),
    "ur": _words("نہ نہیں مت بغیر بنا ناں ممنوع منع بچیں گریز پرہیز اجتناب"),
    "hi": _words("न ना नहीं मत बिना बग़ैर मना वर्जित बचें बचाएँ"),
    "bn": _words("না নয় নেই নি নাই ছাড়া বিনা নিষেধ নিষিদ্ধ এড়… বিরত …েননা"),
    "zh": re.compile(r"[不勿别別未无無没沒莫免禁]|避"),
    "vi": _words("không đừng chớ chưa tránh cấm chẳng"),
    "tl": _words("huwag hindi wala… bawal… iwas… di ipinagbabawal"),
    # "ha" before a verb forbids; "adigoon" and its like are "without your …ing"
    "so": _words(
        "ha hana ma aan aanad aanay waligaa weligaa marnaba la['’]aan… bilaa mamnuuc… yaan… "
        "anigoon adigoon isagoon iyadoon innagoon annagoon idinkoon iyagoon"
    ),
    # A verb is denied by its first letters; alcohol, bed, eye, kind and handling begin so too.
    "am": re.compile(
        r"(?:^|[\s፣፡።(])(?:አት(?!ክልት)|አይ(?!ነት|ን(?![ከ-ኮ]))|አያ(?!ያዝ)|አል(?!ኮ|ጋ)|ሳይ|ሳት|የማይ|የማያ|"
        r"እንዳይ|እንዳት|እንዳያ|የለ|ያለ(?=[\s])|ፈጽሞ|በፍጹም|ክልክል|የተከለከ|ከመ\w+ ይቆጠ)"
    ),
    "th": re.compile(r"ห้าม|อย่า|ไม่|ปราศจาก|หลีกเลี่ยง|ไร้|งด"),
    "ko": re.compile(r"마십시오|마세요|마시오|말고|말 것|않|없|못|금지|아니|피하"),
}
"""How each language says no: wide, because a false alarm costs trust.

The words are the negative particles, verbs and prefixes of ordinary grammars, from memory, with
the verbs for avoiding and forbidding; no published list was copied.
"""


CONTINUING = {
    "es": _words("ni tampoco"),
    "fr": _words("ni"),
    "pt": _words("nem tampouco"),
    "pl": _words("ani"),
    "uk": _words("ані ні"),
    "ru": _words("ни"),
    "so": _words("hana"),
}
"""Words that carry a denial on: where a sentence begins with one, they are too little."""

WITHOUT = {
    "en": re.compile(r"\bwithout\b", re.IGNORECASE),
    "es": re.compile(r"\bsin\b", re.IGNORECASE),
    "fr": re.compile(r"\bsans\b", re.IGNORECASE),
    "pt": re.compile(r"\bsem\b", re.IGNORECASE),
    "de": re.compile(r"\bohne\b", re.IGNORECASE),
}
"""In a source text: "do not go in without it" takes two words of denial in every language."""

EXCEPT = {
    "es": _words("salvo excepto menos"),
    "fr": _words("sauf qu… que hormis"),
    "pt": _words("salvo exceto menos"),
    "de": _words("außer nur"),
    "pl": _words("chyba oprócz wyjątkiem tylko"),
    "uk": _words("крім хіба тільки лише"),
    "ru": _words("кроме разве только лишь"),
    "ar": _words("إلا إلّا سوى"),
    "fa": _words("مگر جز به‌جز"),
    "ur": _words("سوائے علاوہ صرف"),
    "hi": _words("सिवाय अलावा केवल सिर्फ़"),
    "bn": _words("ব্যতীত বাদে শুধু কেবল"),
    "zh": re.compile("除非|除了|只有|仅|僅"),
    "vi": _words("trừ chỉ nếu"),
    "tl": _words("maliban kung"),
    "so": _words("mooyee marka haddii"),
    "am": re.compile(r"በስተቀር|ካል|ካላ"),
    "th": re.compile("เว้นแต่|ยกเว้น|นอกจาก"),
    "ko": re.compile("제외|외에"),
}
"""What may stand for "without" after "do not": "except with", "unless". From memory."""

SENTENCE = re.compile(r"(?<=[.!?;])\s+")


def prohibitions(source: str, source_tag: str, text: str, tag: str) -> tuple[int, int]:
    """How many words of denial the source asks for at least, and how many the translation has.

    One for each sentence that forbids, and one more for each "without" in it. A translation
    may have more: many languages deny with two words. Of languages without a table nothing is
    asked.

    >>> prohibitions("Do not go in without it.", "en", "Entre sin ello.", "es")
    (2, 1)
    """
    forbidding, negation = FORBIDDING.get(_base(source_tag)), NEGATION.get(_base(tag))
    if not (forbidding and negation and forbidding.search(source.casefold())):
        return 0, 0
    forbid = [each for each in SENTENCE.split(source) if forbidding.search(each.casefold())]
    without = sum(len(WITHOUT[_base(source_tag)].findall(each)) for each in forbid)
    # composed: Vietnamese and Bengali letters are written in two ways
    plain = unicodedata.normalize("NFC", text).casefold()
    denied = [found[0] for found in negation.finditer(plain)]
    continuing, instead = CONTINUING.get(_base(tag)), EXCEPT.get(_base(tag))
    begins = any(forbidding.match(each.casefold()) for each in forbid)
    if continuing and begins and all(map(continuing.search, denied)):
        return len(forbid) + without, 0
    excepted = len(instead.findall(plain)) if without and instead else 0
    return len(forbid) + without, len(denied) + min(without, excepted)


def loses_a_negation(source: str, source_tag: str, text: str, tag: str) -> bool:
    """Whether the source forbids and the translation has fewer words that could.

    Languages without a table are not judged.

    >>> loses_a_negation("Do not touch it.", "en", "Toque el borde.", "es")
    True
    >>> loses_a_negation("Do not touch it.", "en", "No lo toque.", "es")
    False
    """
    asked, kept = prohibitions(source, source_tag, text, tag)
    return kept < asked


def _base(tag: str) -> str:
    """The language of a tag, without script and region."""
    return tag.partition("-")[0].casefold()
