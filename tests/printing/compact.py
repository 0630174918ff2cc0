"""A short protocol with one of everything, and every kind of sheet made of it in every language."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from unittest.mock import patch

from compiler.model.protocol import every_step
from compiler.products.boxes import BlockBox, TextBox
from compiler.products.pdf import About, Laid, Press, Written
from compiler.products.pictograms import PICTOGRAMS
from compiler.products.poster import Poster
from compiler.products.sheet import Order
from compiler.wording.words import SLOT
from compiler.workshop import MAKERS
from tests.printing.foreign import in_words_of
from tests.printing.posters import CLINIC, HEAD, KIT, order_for

GOGGLES = "goggles: {kind: goggles, after use: keep, keep on: hook, disinfect with: wipe, at most: 5 wearings}\n"
TEXT = """
# Putting on `donning in change room`

1. **Clean your hands.** Rub until dry, 20 to 30 seconds. `handrub`
2. **Put on the gown.** Tie it at the back, first at the neck and then at the waist. `wear gown`
   > Do not let the sleeves touch the floor.
3. **Put on the goggles.** Set the strap above your ears. `wear goggles`
4. **Put on gloves.** Pull the cuffs over your sleeves. `wear gloves`
5. **Go in.** Close the door behind you. `go to room`

# Taking off `doffing in bay`

1. **Take off the gloves.** Peel each one off. `remove gloves by cuffs` `discard gloves in bin`
2. **Clean your hands.** Rub until dry, 20 to 30 seconds. `handrub`
3. **Is the gown soaked?** Look at both sleeves and at the front of it. `decide gown state`
   - **Soaked through.** `if soaked`
     1. **Throw away the gown.** Roll the outside inwards. `remove gown by ties` `discard gown in bin`
   - **Not soaked.** `if dry`
     1. **Take off the gown.** Untie the gown and roll it. `remove gown by ties` `discard gown in bin`
4. **Clean your hands.** Rub until dry, 20 to 30 seconds. `handrub`
5. **Take off the goggles.** Lift the strap from behind. `remove goggles by strap`
6. **Wipe the goggles.** Hang them up wet. `disinfect goggles with wipe` `keep goggles on hook`
7. **Clean your hands.** Rub until dry, 20 to 30 seconds. `handrub`
8. **Go out.** `go to change room`
"""
TEXTS = {"clinic.yaml": CLINIC, "kit.yaml": KIT + GOGGLES, "trial.md": HEAD + TEXT}
REVIEWED = ("review", "words")
"""Kinds of sheets that hold the source text too."""


@dataclass(frozen=True, slots=True)
class Sheet:
    """One sheet as it was ordered, made and laid out."""

    kind: str
    order: Order
    source: Order
    """The same in English."""
    files: dict[str, bytes]
    texts: tuple[TextBox, ...]
    blocks: tuple[BlockBox, ...]

    @property
    def pdf(self) -> bytes:
        """The file to read on a screen."""
        return self.files["pdf"]

    @property
    def language(self) -> str:
        """A BCP 47 tag."""
        return self.order.words.tag

    @property
    def tags(self) -> tuple[str, ...]:
        """The languages whose letters stand on it."""
        both = (self.language, self.source.words.tag)
        return both if self.kind in REVIEWED else both[:1]


def compact(language: str) -> Order:
    """The protocol in the words of a language."""
    return in_words_of(language, order_for(TEXTS, "en", paper=""))


def sheet(kind: str, language: str) -> Sheet:
    """One sheet, and what the layout engine was last asked to write."""
    orders = (compact(language), compact("en"))
    given = orders if kind in REVIEWED else orders[:1]
    written: list[Laid] = []
    write = Press.write

    def noted(press: Press, laid: Laid, about: About) -> Written:
        written.append(laid)
        return write(press, laid, about)

    with patch.object(Press, "write", noted):
        outcome = MAKERS[kind](given)
    assert "pdf" in outcome.files, [finding.message for finding in outcome.findings]
    return Sheet(kind, *orders, outcome.files, written[-1].texts, written[-1].blocks)


def poster_sheet(order: Order, found: Poster) -> Sheet:
    """A poster that is there already."""
    return Sheet("poster", order, order, {"pdf": found.pdf}, found.texts, found.blocks)


def wanted(found: Sheet) -> Iterator[str]:
    """The texts of catalogues that this kind of sheet prints."""
    order = found.order
    steps = [step for part in order.protocol.parts for step in every_step(part.steps)]
    leads = [step.lead for step in steps]
    rest = [text for step in steps for text in (step.detail, *step.cautions) if text]
    ways = [way for step in steps if step.fork for way in step.fork.branches]
    leads += [way.lead for way in ways]
    rest += [way.detail for way in ways if way.detail]
    match found.kind:
        case "card" | "observer":
            yield from leads
        case "poster" | "steps":
            yield from leads + rest
        case "review":
            yield from leads + rest
            yield from (
                step.lead for part in found.source.protocol.parts for step in part.steps
            )
        case "tags":
            yield from _names(order)
        case "words":
            yield from _names(order)
            catalogue = order.words.catalogue
            for entry in catalogue.entries.values() if catalogue else ():
                yield from (text.strip() for text in SLOT.sub("\n", entry.text).split("\n"))
        case "pictograms":
            yield order.words.say(PICTOGRAMS["handrub"].meaning)


def _names(order: Order) -> Iterator[str]:
    """Of what is kept, and of what it is wiped with."""
    yield order.kit.items["goggles"].name
    yield order.clinic.agents["wipe"].name
