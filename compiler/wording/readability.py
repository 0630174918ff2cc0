"""How hard a text is to read: sentences, words and syllables, and published formulas.

Every text counts as ending a sentence: a list without full stops is no endless sentence.
Scores are never cut off: short plain steps go below grade 0 and above 100.
Syllables are counted from the spelling, in each language in its own way.
"""

from __future__ import annotations

import re
from collections import Counter
from collections.abc import Callable, Iterable
from dataclasses import dataclass
from functools import lru_cache
from itertools import pairwise

# A stop inside "e.g. a hook" is followed by a small letter, one inside "1.5 m" by no space.
# Chinese and Japanese put no space after a stop.
_STOP = r"[.!?…।॥؟۔።][\"'”’»)]*\s(?![a-zß-ÿа-яё])|[。！？][”’」』）]*\s?"
_SENTENCE_END = re.compile(_STOP)
_END = re.compile(rf"{_STOP}|\n")


@dataclass(frozen=True, slots=True)
class Count:
    """What the formulas are made of."""

    words: int
    sentences: int
    syllables: int
    """0 for a language whose syllables are not counted."""

    @property
    def sentence(self) -> float:
        """Words in a sentence, on average."""
        return self.words / self.sentences

    @property
    def word(self) -> float:
        """Syllables in a word, on average."""
        return self.syllables / self.words


def words(text: str) -> list[str]:
    """What stands between spaces and holds a letter or digit; "single-use" is one word.

    >>> words("Rub until dry – 20 to 30 s.")
    ['Rub', 'until', 'dry', '20', 'to', '30', 's.']
    """
    return [run for run in text.split() if _is_word(run)]


@lru_cache(maxsize=4_096)
def word_count(text: str) -> int:
    """How many words a text has; protocols say the same things again and again."""
    return len(words(text))


def _is_word(run: str) -> bool:
    return run.isalnum() or any(map(str.isalnum, run))


def sentences(text: str) -> list[str]:
    """Its sentences; the end of the text ends one, stop or not.

    >>> sentences("Wait 1.5 min, e.g. at the door. Then go in")
    ['Wait 1.5 min, e.g. at the door.', 'Then go in']
    """
    ends = [0, *(found.end() for found in _SENTENCE_END.finditer(text)), len(text)]
    return [text[a:b].strip() for a, b in pairwise(ends) if text[a:b].strip()]


def counted(texts: Iterable[str], language: str) -> Count:
    """The sums over all texts, which are folded: none holds a line end."""
    joined = "\n".join(filter(None, texts)) + "\n"
    # one look at each different word: a protocol says the same things again and again
    runs = {run: number for run, number in Counter(joined.split()).items() if _is_word(run)}
    count = _SYLLABLES.get(language)
    return Count(
        sum(runs.values()),
        len(_END.findall(joined)),
        sum(count(run) * number for run, number in runs.items()) if count else 0,
    )


# --- formulas ---------------------------------------------------------------------------------


def flesch_kincaid(count: Count) -> float:
    """School grade for English (Kincaid and others, 1975); higher is harder."""
    return 0.39 * count.sentence + 11.8 * count.word - 15.59


def szigriszt_pazos(count: Count) -> float:
    """Perspicuity for Spanish (Szigriszt-Pazos, 1993); lower is harder.

    The older formula by Fernández Huerta (1959) is left alone: it was printed with an error,
    and copies disagree on whether its 0.60 goes with syllables a word or a hundred words.
    """
    return 206.835 - 62.3 * count.word - count.sentence


def kandel_moles(count: Count) -> float:
    """Reading ease for French (Kandel and Moles, 1958); lower is harder.

    Often printed with 0.736, which goes with syllables in a hundred words.
    """
    return 207 - 1.015 * count.sentence - 73.6 * count.word


def amstad(count: Count) -> float:
    """Reading ease for German (Amstad, 1978); lower is harder.

    It flatters hard texts, so a good score says little and a bad one much.
    """
    return 180 - count.sentence - 58.5 * count.word


def martins(count: Count) -> float:
    """Reading ease for Portuguese (Martins, Ghiraldelo, Nunes and Oliveira, 1996).

    Flesch's formula, moved up by the 42 points that longer Portuguese words cost; lower is
    harder. Some copies take the 42 away instead.
    """
    return 248.835 - 1.015 * count.sentence - 84.6 * count.word


def oborneva(count: Count) -> float:
    """Reading ease for Russian (Oborneva, 2006); lower is harder.

    Copies disagree: others print 1.52 and 65.14. These are the milder ones, so less is told.
    """
    return 206.835 - 1.3 * count.sentence - 60.1 * count.word


# --- syllables --------------------------------------------------------------------------------

# The letters in front are asked for, so that "the" and "free" keep their only vowel.
_EN_SILENT = re.compile(
    r"(?:[aeiouy][a-z]*?[^aeioulry]|[aeiouy]l?[lr])e$"  # use, care; not the, handle, free
    r"|(?:[aeiouy][a-z]*?[^aeioulrytd]|[aeiouy]l?[lr])ed$"  # soaked, filled; not folded
    r"|(?:[aeiouy][a-z]*?[^aeioulryszxcg](?<![csztw]h)|[aeiouy]l?[lr])es$"  # not bandages
    r"|[aeiouy][gq]ues?$"  # colleague, technique
)
_EN_INNER = re.compile(
    r"[aeiouy][a-z]*?[^aeiouy]e(?=(?:ly|ful|less|ment|ness|some|thing|body|day|where|wise|line|"
    r"fore|head|ty)s?$)"  # something, forehead
)
_EN_HIATUS = re.compile(
    r"(?<![cglstx])i[aou](?!us)"  # material; not special, region, million
    r"|(?<=[aeiouy])ing(?=s?$)"  # drying, going
    r"|(?<![aeiougq])u[ao]"  # manual
    r"|(?<=[aeiou][a-z])ea(?=s?$)"  # area
    r"|(?<=[rt])ier(?=s?$)"  # carrier
    # fluid, reuse, video, layer
    r"|(?<=fl)ui|^re[uo]|(?<=[dr])eo|(?<=[aeou])y[aeiou](?![ds]?$)"
)
_EN_VOWELS = re.compile(r"[aeiouy]+")
# Compiled when first used: most sets are written in one language.
_ES_NUCLEI = r"[iuü]*[aeoáéó](?:[iuü]|y(?![aeiouáéíóú]))*|[íú]|[iuü]+(?:y(?![aeiouáéíóú]))?"
_ES_MUTE_U = r"(?<=q)u|(?<=g)u(?=[eéií])"
_FR_NUCLEI = r"é(?=[aou])|[aeiouyàâäéèêëîïôöùûüœæ]+"
_FR_MUTE = r"(?<=[qg])u(?=[eéèêiy])|(?<=[^aeiouyàâäéèêëîïôöùûüœæ])es?$|(?<=[qg]u)es?$"
_PT_NUCLEI = r"[ãõ][eoi]|[iu]?[aeoáéóâêôàãõ][iu]?|[íú]|[iuü]+"
_PT_MUTE_U = r"(?<=q)u|(?<=g)u(?=[eéêií])"
_RU_VOWELS = re.compile(r"[аеёиоуыэюя]")
_DE_NUCLEI = r"aa|ee|oo|ie|ei|ai|au|äu|eu|[aeiouyäöü]"
_LONGEST = 60
"""Letters of a part that are looked at: no word is longer, and hostile text stays cheap."""
_PARTS = re.compile(r"[^\W\d_]+|\d")


def _english(word: str) -> int:
    """Vowel groups, less the silent e, and one more where two vowels are sounded."""
    found = len(_EN_VOWELS.findall(word)) + len(_EN_HIATUS.findall(word))
    found -= bool(_EN_SILENT.search(word)) + bool(_EN_INNER.search(word))
    return max(1, found)


def _spanish(word: str) -> int:
    """Strong vowels and accented weak ones carry a syllable each; the others lean on them."""
    return max(1, len(re.findall(_ES_NUCLEI, re.sub(_ES_MUTE_U, "", word))))


def _french(word: str) -> int:
    """Vowel groups; a last e is not sounded unless it is the only vowel."""
    return max(1, len(re.findall(_FR_NUCLEI, re.sub(_FR_MUTE, "", word))))


def _portuguese(word: str) -> int:
    """Strong vowels and accented weak ones carry a syllable each, and nasal diphthongs one."""
    return max(1, len(re.findall(_PT_NUCLEI, re.sub(_PT_MUTE_U, "", word))))


def _russian(word: str) -> int:
    """As many syllables as vowels."""
    return max(1, len(_RU_VOWELS.findall(word)))


def _german(word: str) -> int:
    """Vowels, the written diphthongs and long vowels as one."""
    return max(1, len(re.findall(_DE_NUCLEI, word.replace("qu", "q"))))


def _per_word(of_part: Callable[[str], int]) -> Callable[[str], int]:
    """Counts the parts of a word apart: those between hyphens, and each digit as one."""

    @lru_cache(maxsize=8_192)
    def count(word: str) -> int:
        bare = word.casefold().replace("’", "").replace("'", "")
        return sum(of_part(part[:_LONGEST]) for part in _PARTS.findall(bare)) or 1

    return count


_SYLLABLES = {
    "en": _per_word(_english),
    "es": _per_word(_spanish),
    "fr": _per_word(_french),
    "de": _per_word(_german),
    "pt": _per_word(_portuguese),
    "ru": _per_word(_russian),
}


def syllables(word: str, language: str) -> int:
    """How many syllables a word has by its spelling; 0 where they are not counted.

    >>> [syllables(word, "en") for word in ("respirator", "gloves", "20", "single-use")]
    [4, 1, 2, 3]
    """
    count = _SYLLABLES.get(language)
    return count(word) if count else 0
