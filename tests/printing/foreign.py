"""Sheets in every language: from the example's translations, or from made-up ones.

A made-up translation puts stretches of one well-known text in the place of each text, as long as
the source text is, and keeps its numbers: nonsense to read, but real words in real sentences.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from functools import cache

import yaml

from compiler.model.languages import SUPPORTED
from compiler.model.texts import reworded, reworded_clinic, reworded_kit
from compiler.products.poster import Made, poster
from compiler.products.sheet import Order
from compiler.wording.cells import cells
from compiler.wording.languages import language as described
from compiler.wording.messages import Message
from compiler.wording.numbers import numbers
from compiler.wording.words import words
from tests.printing.making import HERE
from tests.printing.posters import example, of

ARTICLE: dict[str, str] = yaml.safe_load(
    (HERE / "human-rights.yaml").read_text(encoding="utf-8")
)
LANGUAGES = SUPPORTED
NAME = "airborne-room"
"""The example with forks, doors, kept items and cautions in both halves."""
PHONE, TEMPERATURE = "+44\u00a020\u00a07946\u00a00000", "37.5\u00a0°C"
"""Within the telephone numbers that the regulator Ofcom keeps for drama; and a number with a unit."""
UNDIVIDED = ("zh", "th")


def translated_into(language: str, name: str = NAME) -> bool:
    """Whether the example has a protocol in a language."""
    return language == "en" or (language, name) in example().translations


def made_up(language: str) -> Callable[[Message], str]:
    """What stands for each text of a protocol in a language: the same for the same text."""
    whole = ARTICLE[language]
    divided = language.partition("-")[0] not in UNDIVIDED
    parts = whole.split() if divided else list(whole)
    glue = " " if divided else ""
    given: dict[tuple[str, str], str] = {}

    def say(message: Message) -> str:
        if message.key in given:
            return given[message.key]
        start = 3 * len(given) % len(parts)
        turned = (parts[start:] + parts[:start]) * 4
        said = ""
        for part in turned:
            if said and cells(said + part) > max(4, len(message.text)):
                break
            said += (glue if said else "") + part
        tail = " ".join(numbers(message.text).elements())
        said = f"{said} {described(language).localised(tail)}".strip()
        given[message.key] = _starting_well(said)
        return given[message.key]

    return say


def _starting_well(text: str) -> str:
    """Without marks that may not begin a text."""
    return text.lstrip(
        "，。、,.;:!?።፣।۔، \u0e30\u0e31\u0e32\u0e33\u0e34\u0e35\u0e36\u0e37\u0e38\u0e39\u0e47\u0e48\u0e49\u0e4a\u0e4b\u0e4c\u0e4d"
    )


def order_in(language: str, name: str = NAME, **wishes) -> Order:
    """A protocol of the example in a language."""
    protocol = next(p for p in example().protocols if p.name == name)
    if translated_into(language, name):
        order = of(example(), protocol, language, **wishes)
    else:
        order = _reworded(language, of(example(), protocol, "en", **wishes))
    return _with_numbers(order)


def in_words_of(language: str, source: Order) -> Order:
    """An English order, with made-up words of another language in the place of its own."""
    return _with_numbers(source if language == "en" else _reworded(language, source))


def _reworded(language: str, source: Order) -> Order:
    say = made_up(language)
    return replace(
        source,
        protocol=reworded(source.protocol, say),
        clinic=reworded_clinic(source.clinic, say),
        kit=reworded_kit(source.kit, say),
        words=words(language),
    )


def _with_numbers(order: Order) -> Order:
    """With a telephone number and a number with a unit in the line of the clinic's contact."""
    contact = f"{order.clinic.contact}, {phone_in(order.words.tag)}, {TEMPERATURE}"
    return replace(order, clinic=replace(order.clinic, contact=contact))


def phone_in(language: str) -> str:
    """The telephone number in the digits of a language."""
    return described(language).localised(PHONE)


def contact_of(language: str) -> str:
    """The line with telephone number and unit that the sheets of a language show."""
    return order_in(language).clinic.contact


@cache
def made_in(language: str) -> tuple[Order, Made]:
    """The order and what became of it; each is laid out once in a test run."""
    order = order_in(language)
    return order, poster(order)
