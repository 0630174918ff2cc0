"""The body of a protocol: which blocks make a part, a step, a caution; what would be lost."""

from __future__ import annotations

import re
from collections.abc import Iterable
from dataclasses import replace

from compiler.findings import Finding, Level, Mark, Rule
from compiler.model.clinic import Zone
from compiler.model.protocol import Activity, Begin, Part, Step
from compiler.model.read_phrases import ACTIVITIES, Lookup
from compiler.model.read_steps import StepReader
from compiler.model.step_faults import misplaced, second_part_phrase
from compiler.source import Span
from compiler.syntax.markdown import unprinted
from compiler.syntax.spelling import quoted
from compiler.syntax.tree import (
    Block,
    Bullets,
    Heading,
    Item,
    Paragraph,
    PhraseTree,
    Prose,
    Quote,
    Steps,
)

PART_MISSING = Rule(
    "part-missing",
    Level.MUST,
    "A heading or a step belongs to no part: no phrase says what is done there, and where.",
    waivable=False,
)
EMPTY_PART = Rule(
    "empty-part",
    Level.MUST,
    "A part has no steps, or a protocol has no parts.",
    waivable=False,
)

RULES = (PART_MISSING, EMPTY_PART)

_MARKER = re.compile(r"\s*[0-9]+[.)]\s+")

_USUAL_ZONE = {
    Activity.DONNING: Zone.CLEAN,
    Activity.DOFFING: Zone.TRANSITION,
    Activity.WORK: Zone.CONTAMINATED,
}


class PartReader:
    """Reads the blocks of one body in order."""

    def __init__(self, look: Lookup) -> None:
        self.look = look
        self.findings = look.findings
        self.steps = StepReader(look)
        self.parts: list[Part] = []
        self.heading: Prose | None = None
        self.begin: Begin | None = None
        self.introduction: list[str] = []
        self.found: list[Step] = []
        self.lost = False
        """Whether steps belong to no part, so that the rest cannot be judged."""

    def read(self, blocks: Iterable[Block]) -> tuple[Part, ...]:
        """All parts; what belongs to none is reported, and read for its own mistakes."""
        for block in self._mended(blocks):
            if isinstance(block, Heading):
                self._finish()
                self._open(block.prose)
            elif isinstance(block, Paragraph):
                self._paragraph(block.prose)
            elif isinstance(block, Steps):
                self._steps(block)
            elif isinstance(block, Quote):
                self._refuse_phrases(block.paragraphs)
                self.findings.append(
                    unprinted(
                        "A caution stands outside every step.",
                        block.at,
                        "put it below its step, in the column of the step's words",
                    )
                )
            else:
                self.steps.stray_bullets(block)
        self._finish()
        return tuple(self.parts)

    def _mended(self, blocks: Iterable[Block]) -> list[Block]:
        """Lists, answers and cautions that an indentation tore apart, put together again."""
        mended: list[Block] = []
        for block in blocks:
            last = mended[-1] if mended else None
            if isinstance(last, Steps) and last.items:
                whole = self._joined(last, block)
                if whole is not None:
                    mended[-1] = whole
                    continue
            mended.append(block)
        return mended

    def _joined(self, steps: Steps, block: Block) -> Steps | None:
        last = steps.items[-1]
        if isinstance(block, Steps):
            return Steps((*steps.items, *block.items), steps.at)
        if isinstance(block, Quote):
            self.findings.append(
                unprinted(
                    "The caution is not indented, so it belongs to no step.",
                    block.at,
                    _indent(last),
                )
            )
            item = replace(last, quotes=(*last.quotes, block))
        elif isinstance(block, Bullets) and not last.lists and self.steps.asks(last):
            self.findings.append(
                unprinted(
                    "The answers are not indented, so they belong to no step.",
                    block.at,
                    _indent(last),
                )
            )
            item = replace(last, lists=(block,))
        else:
            return None
        return Steps((*steps.items[:-1], item), steps.at)

    def _open(self, prose: Prose) -> None:
        self.heading = prose
        self.introduction, self.found = [], []
        trees = self.steps.trees(prose.codes)
        begins = [tree for tree in trees if tree.verb in ACTIVITIES]
        for tree in trees:
            if tree.verb not in ACTIVITIES:
                self.findings.append(misplaced(tree, "in a heading", "move it into a step"))
        for tree in begins[1:]:
            self.findings.append(second_part_phrase(tree, begins[0]))
        self.begin = self._begin(begins[0]) if begins else self._meant(prose)
        if self.begin is None:
            self.findings.append(
                Finding(
                    PART_MISSING,
                    "The heading has no phrase that says which part begins here.",
                    Mark(prose.at, "this heading"),
                    remedy="add `donning in AREA`, `doffing in AREA` or `at work in AREA`",
                )
            )

    def _meant(self, prose: Prose) -> Begin | None:
        """The part that a broken phrase was meant to begin; the phrase was reported already."""
        for code in prose.codes:
            for verb, activity in ACTIVITIES.items():
                if code.words and code.words[0].casefold() == verb.split()[0]:
                    return self._usual(activity, code.at)
        return None

    def _begin(self, tree: PhraseTree) -> Begin:
        begin = self.look.phrase(tree)
        # Where the area is unknown, that was reported.
        return (
            begin if isinstance(begin, Begin) else self._usual(ACTIVITIES[tree.verb], tree.at)
        )

    def _usual(self, activity: Activity, at: Span) -> Begin:
        """A part in the area where such a part usually is."""
        areas = self.look.clinic.areas if self.look.clinic else {}
        usual = [area.name for area in areas.values() if area.zone is _USUAL_ZONE[activity]]
        return Begin(activity, next(iter([*usual, *areas]), ""), at)

    def _paragraph(self, prose: Prose) -> None:
        self._refuse_phrases((prose,))
        if self.heading is None:
            self.findings.append(
                unprinted("Text stands before the first part.", prose.at, "move it into a part")
            )
        elif self.found:
            self.findings.append(
                unprinted(
                    "Text stands after the steps of a part.",
                    prose.at,
                    "move it before the first step; or, if the step above goes on, begin it in "
                    "the column of that step's words",
                )
            )
        elif text := joined((prose,)):
            self.introduction.append(text)

    def _refuse_phrases(self, paragraphs: tuple[Prose, ...]) -> None:
        for prose in paragraphs:
            for tree in self.steps.trees(prose.codes):
                self.findings.append(misplaced(tree, "outside a step", "move it into a step"))

    def _steps(self, block: Steps) -> None:
        self.lost = self.lost or self.begin is None
        if self.heading is None:
            first: Item = block.items[0]
            self.findings.append(
                Finding(
                    PART_MISSING,
                    "The step stands before the first heading, so it belongs to no part.",
                    Mark(first.at, "this step"),
                    remedy="write a heading with a part phrase above it",
                )
            )
        self.found.extend(self.steps.steps(block.items, len(self.found)))

    def _finish(self) -> None:
        """Closes the part that is open."""
        if self.heading is None:
            return
        heading = self.heading
        if not self.found and self.begin is not None:
            message = f"The part {quoted(joined((heading,)))} has no steps."
            at: Span = heading.at
            self.findings.append(
                Finding(
                    EMPTY_PART,
                    message,
                    Mark(at, "this part"),
                    remedy="write its steps as a numbered list, or delete the heading",
                )
            )
        if self.begin is not None:
            self.parts.append(
                Part(
                    title=joined((heading,)),
                    begin=self.begin,
                    introduction=tuple(self.introduction),
                    steps=tuple(self.found),
                    at=heading.at,
                )
            )


def _indent(item: Item) -> str:
    """How far text must be indented to belong to an item."""
    line = item.at.source.line(item.at.line)
    marker = _MARKER.match(line)
    spaces = marker.end() if marker else 3
    return f"begin each of its lines with {spaces} spaces, below the words of the step"


def joined(paragraphs: Iterable[Prose]) -> str:
    """Bold and other words of some paragraphs as one text."""
    return " ".join(text for prose in paragraphs for text in (prose.lead, prose.rest) if text)
