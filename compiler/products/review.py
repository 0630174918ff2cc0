"""The review sheet: every text beside its translation and its picture, with room for a mark."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass, replace

from markupsafe import Markup

from compiler.layout.fonts import Faces, faces_for
from compiler.layout.legibility import type_size
from compiler.layout.letters import letter_height
from compiler.layout.paper import PAPERS, Paper, desk_paper, paper_named
from compiler.model.protocol import every_step
from compiler.model.texts import clinic_messages, messages
from compiler.products.html import fill, isolated, pictogram_rules, unbroken, with_values
from compiler.products.outcome import Outcome
from compiler.products.pages import Document, printed
from compiler.products.pictograms import PICTOGRAMS, mirrored, pictogram_for
from compiler.products.sheet import CAUTION, Imprint, Order, imprint
from compiler.products.sheet_rules import font_findings
from compiler.products.steps_margins import Margins
from compiler.products.theme import Theme, theme_named
from compiler.products.typesetting import taller
from compiler.wording.catalogue import read_catalogue
from compiler.wording.messages import Message
from compiler.wording.packaged import packaged
from compiler.wording.review import digest

COLUMNS = ("Place", "Text", "Translation", "Right", "Correction")
FIELDS = ("Reviewed by", "Role", "Date", "Signature")
NAMES, FIXED = "Names and contact", "Words that every sheet has"
SPOKEN = ("Review of a translation", *COLUMNS, *FIELDS, NAMES, FIXED, "Check code {code}")
"""Fixed words that this file asks the catalogue for, in the language of the source text."""


def review(orders: tuple[Order, ...]) -> Outcome:
    """The texts of a protocol: the first order's words beside the last one's, the source."""
    return _sheet(orders, False)


def words_review(orders: tuple[Order, ...]) -> Outcome:
    """What all sheets of a language share: the clinic's names, and the fixed words."""
    return _sheet(orders, True)


def _sheet(orders: tuple[Order, ...], shared: bool) -> Outcome:
    order, source = orders[0], orders[-1]
    theme = theme_named(order.theme)
    faces = faces_for(order.words.tag, source.words.tag)
    if faces.obstacles:
        return Outcome(findings=tuple(font_findings(faces, "", order.protocol.at)))
    sheet = ReviewSheet(order, source, theme, faces, shared)
    laid, pdf, blocked = printed(sheet.document())
    if blocked or laid is None:
        return Outcome(findings=blocked, layouts=1)
    told = f"{sheet.paper.name}, pages: {laid.pages}, texts: {sheet.count}"
    return Outcome({"pdf": pdf}, told, layouts=1)


@dataclass(frozen=True, slots=True)
class Pair:
    """One text and its translation, ready to print."""

    place: str
    picture: str
    """The file stem of the pictogram beside it; empty for none."""
    text: Markup
    translation: Markup
    strong: bool
    """Whether the sheets set it in bold."""


@dataclass(frozen=True, slots=True)
class ReviewSheet:
    """One review sheet, before it is laid out."""

    order: Order
    source: Order
    theme: Theme
    faces: Faces
    shared: bool
    """Whether it shows what all sheets share, instead of one protocol."""

    @property
    def paper(self) -> Paper:
        """Office paper on its side, for there are five columns."""
        wanted = paper_named(self.order.paper or self.order.clinic.paper) or PAPERS["A4"]
        return desk_paper(wanted).landscape

    @property
    def base(self) -> float:
        """Type size in millimetres."""
        return type_size(self.order.clinic.reading.card, letter_height(self.faces))

    @property
    def said(self) -> Imprint:
        """Heading and footer; what all sheets share is of no one protocol and edition."""
        said = imprint(self.source)
        if not self.shared:
            return said
        return replace(
            said, title=said.clinic, about="", edition="", valid_from="", review_by=""
        )

    @property
    def count(self) -> int:
        """How many texts there are to judge."""
        return sum(len(pairs) for _, pairs in self._groups())

    def document(self) -> Document:
        """The words and the style."""
        say, said = self.source.words.say, self.said
        margins = Margins(
            said, self.source.words, self.theme, self.paper, self.faces, self.base
        )
        turned = self.order.words.direction == "rtl"
        html = fill(
            self.theme,
            "review.html",
            said.direction,
            {
                "sheet": said,
                "name": say("Review of a translation"),
                "translated": imprint(self.order),
                "notices": self._notices(said),
                "columns": [say(column) for column in COLUMNS],
                "groups": self._groups(),
                "fields": [say(field) for field in FIELDS],
                "digests": self._digests(),
                "turned": {name for name in PICTOGRAMS if turned and mirrored(name)},
            },
        )
        css, title = self._css(margins), said.title if self.shared else ""
        return Document(self.order, self.theme, self.faces, html, css, margins.letters(), title)

    def _notices(self, said: Imprint) -> list[str]:
        """The caution in both languages, so that nobody takes this for an instruction."""
        return [said.caution, self.order.words.say(CAUTION)]

    def _groups(self) -> list[tuple[str, list[Pair]]]:
        """The texts by where they come from, each text once."""
        say = self.source.words.say
        source, order = self.source, self.order
        if not self.shared:
            both = zip(messages(source.protocol), messages(order.protocol), strict=True)
            return [(source.protocol.title, list(self._pairs(both, _pictures(source))))]
        clinic = zip(
            clinic_messages(source.clinic, source.kit),
            clinic_messages(order.clinic, order.kit),
            strict=True,
        )
        groups = [
            (say(NAMES), list(self._pairs(clinic, {}))),
            (say(FIXED), list(self._fixed())),
        ]
        return [(name, pairs) for name, pairs in groups if pairs]

    def _pairs(
        self, both: Iterable[tuple[Message, Message]], pictures: dict[tuple[str, str], str]
    ) -> Iterator[Pair]:
        seen: set[tuple[str, str]] = set()
        for text, translation in both:
            if text.key in seen:
                continue
            seen.add(text.key)
            strong = text.context in ("lead", "branch", "caution", "part", "title")
            picture = pictures.get(text.key, "")
            yield self._pair(text.place, picture, (text.text, translation.text), strong)

    def _fixed(self) -> Iterator[Pair]:
        """The fixed words of the sheets; English is their source."""
        catalogue = self.order.words.catalogue
        for entry in catalogue.entries.values() if catalogue else ():
            if entry.usable:
                english = self.source.words.say(entry.source)
                yield self._pair("", "", (english, entry.text), False)

    def _pair(self, place: str, picture: str, texts: tuple[str, str], strong: bool) -> Pair:
        shown = (isolated if self.source.words.direction == "rtl" else unbroken)(texts[0])
        turned = (isolated if self.order.words.direction == "rtl" else unbroken)(texts[1])
        return Pair(place, picture, shown, turned, strong)

    def _digests(self) -> list[str]:
        """What a review is recorded of: each translation file by its hash."""
        fixed = packaged(self.order.words.tag) if self.shared else None
        return [
            f"{file.path.rpartition('/')[2]}: {digest(read_catalogue(file)[0], fixed)}"
            for file in self.order.written_in
            if file.path.endswith(".po") and file.path.endswith("/clinic.po") == self.shared
        ]

    def _css(self, margins: Margins) -> Sequence[str]:
        css = self.theme.css("review.css")
        of = self.theme.number
        source, tag = self.source.words.tag, self.order.words.tag
        values: dict[str, str | float] = {
            **self.theme.colours,
            "family": self.faces.families,
            "line height": f"{of('type/lines/text') * taller(self.theme, source):.4f}",
            "translated height": f"{of('type/lines/text') * taller(self.theme, tag):.4f}",
            "title": of("steps/title"),
            "part": of("steps/part"),
        }
        return with_values(css, values) + pictogram_rules(PICTOGRAMS), margins.css()


def _pictures(order: Order) -> dict[tuple[str, str], str]:
    """The pictogram beside each lead, detail and caution, where it first stands."""
    found: dict[tuple[str, str], str] = {}
    for part in order.protocol.parts:
        for step in every_step(part.steps):
            name = pictogram_for(step, order.kit)
            for key in (("lead", step.lead), ("detail", step.detail)):
                found.setdefault(key, name)
            for caution in step.cautions:
                found.setdefault(("caution", caution), name)
    return found
