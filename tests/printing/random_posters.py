"""Random protocols to be printed: any length, any words, any paper; sense is not asked for.

What is asked for is what a page can be asked: long words, no words, forks in forks, doors.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass, field
from random import Random
from typing import TypeVar

from compiler.layout.paper import PAPERS
from compiler.products.sheet import Order
from tests.printing.making import SENTENCES
from tests.printing.posters import KIT, order_for

Choose = Callable[[int, int], int]
"""Chooses a number from the first to the last of two."""
Value = TypeVar("Value")

LANGUAGES = ("en", "en", "ar", "zh-Hans", "hi", "es", "ru", "ur", "th")
MORE_WORDS = {
    "en": "Unfasten the apron at waist and neck in one slow movement a I",
    "es": "Desabroche el delantal por la cintura y el cuello con un movimiento lento",
    "zh-Hans": "解开围裙的系带慢慢向下卷动丢弃",
    "ru": "Развяжите фартук и медленно снимите его одним движением",
}
"""Beside those of `hand-hygiene.yaml`."""
LONG = {
    "en": "electroencephalographically",
    "es": "electroencefalografista",
    "ar": "فأسقيناكموها",
    "zh-Hans": "ABCDEFGHIJKLMNOPQRSTUVWXYZ",
    "hi": "अन्तर्राष्ट्रीयकरणपरियोजना",
    "ru": "превысокомногорассмотрительствующий",
    "ur": "بینالاقوامیتسازی",
    "th": "กรุงเทพมหานครอมรรัตนโกสินทร์",
}
"""Unbroken words, wider than a narrow column in large type."""
JOINED = {"zh-Hans", "th"}
"""Languages without spaces between words."""
LEAST_STEPS, MOST_STEPS, MOST_FORKS = 8, 60, 6
ZONES = ("clean", "transition", "contaminated")
ACTS = (
    "`wear gown`",
    "`wear respirator` `observed`",
    "`remove gown` `discard gown in bin`",
    "`remove gloves` `discard gloves`",
    "`keep respirator on hook`",
    "`check respirator` `takes 20 s`",
    "`handrub`",
    "`handrub`",
    "`handwash`",
    "`handrub on gloves`",
    "`remove respirator` `handrub`",
    "`handrub` `wear gloves`",
    "",
)


def one_of(choose: Choose, values: Sequence[Value]) -> Value:
    """Any of them."""
    return values[choose(0, len(values) - 1)]


def random_order(number: int) -> Order:
    """An order for one poster; the same one for the same number."""
    return _Author(Random(f"poster {number}").randint).order()


@dataclass
class _Author:
    """Writes one protocol, choosing as it goes."""

    choose: Choose
    language: str = ""
    lines: list[str] = field(default_factory=list)
    areas: tuple[str, ...] = ()
    forks: int = 0
    questions: int = 0
    verbose: int = 0
    """The most words of a detail in this protocol."""

    def order(self) -> Order:
        choose = self.choose
        self.language = one_of(choose, LANGUAGES)
        self.areas = tuple(f"{self.words(1, 3)} {letter}" for letter in "ABCD"[: choose(2, 4)])
        self.forks = choose(0, MOST_FORKS)
        self.verbose = one_of(choose, (4, 12, 12, 25))
        left = choose(LEAST_STEPS, MOST_STEPS)
        for activity, share in one_of(choose, SHAPES):
            self.part(activity, max(1, left * share // 10))
        return order_for(
            {"clinic.yaml": self.clinic(), "kit.yaml": KIT, "trial.md": self.protocol()},
            self.language,
            draft=bool(choose(0, 1)),
            reviewed=bool(choose(0, 1)),
            paper=one_of(choose, tuple(PAPERS)),
            orientation=one_of(choose, ("", "", "portrait", "landscape")),
            parts=one_of(choose, ("both", "both", "donning", "doffing")),
        )

    def clinic(self) -> str:
        areas = ", ".join(
            f"{name}: {ZONES[(i + self.choose(0, 1)) % 3]}" for i, name in enumerate(self.areas)
        )
        reading = one_of(
            self.choose, ("", "reading distance: {leads: 1.5 m, details: 0.5 m}\n")
        )
        return (
            f"clinic: {self.words(1, 6)}\ncontact: {self.words(1, 9)}\n"
            f"languages: [{self.language}]\nareas: {{{areas}}}\n"
            f"places: {{bin: {{in: {self.areas[0]}, for: waste}}, "
            f"hook: {{in: {self.areas[0]}, for: keeping}}}}\n{reading}"
            "hand hygiene: {policy: after gloves and at the end, on gloves: allowed}\n"
            "agents: {wipe: {wet time: 2 min}}\n"
        )

    def protocol(self) -> str:
        head = (
            f"---\ntitle: {self.words(1, 9)}\nprecautions: [contact, airborne]\n"
            f"hazard: {self.words(1, 6)}\nedition: 1\nvalid from: 2026-11-01\n"
            "review by: 2027-05-01\nowner: x\n---\n"
        )
        return head + "\n".join(self.lines) + "\n"

    def part(self, activity: str, steps: int) -> None:
        area = one_of(self.choose, self.areas)
        self.lines += ["", f"# {self.words(1, 5)} `{activity} in {area}`", ""]
        if self.choose(0, 4) == 0:
            self.lines += [self.sentence(self.verbose), ""]
        self.steps(steps, "", 2)

    def steps(self, count: int, indent: str, deep: int) -> None:
        """So many steps, those inside forks counted; forks as deep as given."""
        number = 0
        while count > 0:
            number, count = number + 1, count - 1
            marker = f"{indent}{number}. "
            below = " " * len(marker)
            asks = self.forks > 0 and deep > 0 and self.choose(0, 4) == 0
            act = self.question() if asks else self.act()
            self.lines.append(f"{marker}**{self.lead()}** {self.detail()} {act}".rstrip())
            for _ in range(one_of(self.choose, (0, 0, 0, 0, 0, 1, 1, 2))):
                self.lines.append(f"{below}> {self.sentence(12)}")
            if asks:
                count -= self.answers(below, max(count, 0), deep)

    def answers(self, indent: str, most: int, deep: int) -> int:
        """The answers of a question; how many steps went into them."""
        self.forks -= 1
        used = 0
        for i in range(one_of(self.choose, (2, 2, 2, 3, 4))):
            inside = min(self.choose(0, 4), most - used)
            detail = self.detail() if self.choose(0, 3) == 0 else ""
            self.lines.append(f"{indent}- **{self.lead()}** {detail} `if answer {i}`")
            self.steps(inside, indent + "  ", deep - 1)
            used += inside
        return used

    def question(self) -> str:
        self.questions += 1
        return f"`decide question {self.questions}`"

    def act(self) -> str:
        if self.choose(0, 7) == 0:
            door = f"`go to {one_of(self.choose, self.areas)}`"
            return one_of(self.choose, (door, f"{door} `wear gown`"))
        return one_of(self.choose, ACTS)

    def lead(self) -> str:
        """Very short, ordinary, very long, or one unbroken word."""
        low, high = one_of(self.choose, ((1, 1), (2, 5), (2, 5), (2, 5), (8, 14)))
        word = LONG[self.language]
        return word if self.choose(0, 24) == 0 else self.words(low, high)

    def detail(self) -> str:
        if self.choose(0, 3) == 0:
            return ""
        long = f" {LONG[self.language]}" if self.choose(0, 15) == 0 else ""
        return self.sentence(self.verbose) + long

    def sentence(self, most: int) -> str:
        full_stop = "。" if self.language == "zh-Hans" else "."
        return self.words(1, most) + full_stop

    def words(self, least: int, most: int) -> str:
        between = "" if self.language in JOINED else " "
        stock = STOCK[self.language]
        return between.join(one_of(self.choose, stock) for _ in range(self.choose(least, most)))


SHAPES = (
    (("donning", 4), ("doffing", 6)),
    (("donning", 4), ("at work", 2), ("doffing", 4)),
    (("donning", 2), ("doffing", 8)),
    (("donning", 10),),
    (("doffing", 10),),
    (("donning", 5), ("doffing", 3), ("doffing", 2)),
)
"""The parts of a protocol, and tenths of its steps."""


def _stock(language: str) -> Iterator[str]:
    text = " ".join([*SENTENCES[language], MORE_WORDS.get(language, "")])
    letters = "".join(c if c.isalpha() or c in MARKS else " " for c in text)
    for word in letters.split():
        if word.lower() not in {"in", "on", "from", "by", "with", "and", "to"}:
            yield from word if language == "zh-Hans" and not word.isascii() else (word,)


MARKS = {c for s in SENTENCES.values() for text in s for c in text if not c.isascii()} - set(
    "–।。，、；：？！“”（）→✓°؟،؛۔～"
)
"""Vowel signs and the like, which are no letters by themselves."""
STOCK = {language: tuple(dict.fromkeys(_stock(language))) for language in set(LANGUAGES)}
"""The words of each language."""
