"""The body of a protocol: which blocks make a part, a step, a caution; what would be lost."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import replace

from compiler.findings import Finding, Level, Mark, Rule
from compiler.model.clinic import Zone
from compiler.model.protocol import Activity, Begin, Part, Step
from compiler.model.read_phrases import ACTIVITIES, Lookup
from compiler.model.read_steps import MISPLACED_PHRASE, StepReader, misplaced
from compiler.source import Span
from compiler.syntax.markdown import unprinted
from compiler.syntax.phrase import read_phrase
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
)
EMPTY_PART = Rule("empty-part", Level.MUST, "A part has no steps, or a protocol has no parts.")

RULES = (PART_MISSING, EMPTY_PART)

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
        self.orphaned = False

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
                        "put it below the step it belongs to, indented by three spaces",
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
                    "indent it by three spaces, so that it stands below the step's words",
                )
            )
            item = replace(last, quotes=(*last.quotes, block))
        elif isinstance(block, Bullets) and not last.lists and self.steps.asks(last):
            self.findings.append(
                unprinted(
                    "The answers are not indented, so they belong to no step.",
                    block.at,
                    "indent them by three spaces, so that they stand below the question",
                )
            )
            item = replace(last, lists=(block,))
        else:
            return None
        return Steps((*steps.items[:-1], item), steps.at)

    def _open(self, prose: Prose) -> None:
        self.heading = prose
        self.introduction, self.found, self.orphaned = [], [], False
        trees = self.steps.trees(prose.codes)
        begins = [tree for tree in trees if tree.verb in ACTIVITIES]
        for tree in trees:
            if tree.verb not in ACTIVITIES:
                misplaced(self.findings, tree, "in a heading", "move it into a step")
        for tree in begins[1:]:
            message = "A heading has a second part phrase."
            mark = Mark(tree.at, "second")
            path = (Mark(begins[0].at, "first"),)
            self.findings.append(
                Finding(MISPLACED_PHRASE, message, mark, path, "give each part a heading")
            )
        self.begin = self._begin(begins[0]) if begins else None
        if not begins and not self._any_part_phrase_failed(prose):
            self.findings.append(
                Finding(
                    PART_MISSING,
                    "The heading has no phrase that says which part begins here.",
                    Mark(prose.at, "this heading"),
                    remedy="add `donning in AREA`, `doffing in AREA` or `at work in AREA`",
                )
            )

    def _any_part_phrase_failed(self, prose: Prose) -> bool:
        """Whether a part phrase was meant, and was reported already for what is wrong in it."""
        return any(read_phrase(code)[0] is None for code in prose.codes)

    def _begin(self, tree: PhraseTree) -> Begin | None:
        begin = self.look.phrase(tree)
        if isinstance(begin, Begin):
            return begin
        # The area was reported; the part is read on as if it were where such a part usually is.
        activity = ACTIVITIES[tree.verb]
        areas = self.look.clinic.areas.values()
        usual = [area.name for area in areas if area.zone is _USUAL_ZONE[activity]]
        name = next(iter([*usual, *self.look.clinic.areas]), None)
        return Begin(activity, name, tree.at) if name is not None else None

    def _paragraph(self, prose: Prose) -> None:
        self._refuse_phrases((prose,))
        if self.heading is None:
            self.findings.append(
                unprinted("Text stands before the first part.", prose.at, "move it into a part")
            )
        elif self.found or self.orphaned:
            self.findings.append(
                unprinted(
                    "Text stands after the steps of a part.",
                    prose.at,
                    "indent it by three spaces if it belongs to the step above, or move it "
                    "before the first step",
                )
            )
        elif text := joined((prose,)):
            self.introduction.append(text)

    def _refuse_phrases(self, paragraphs: tuple[Prose, ...]) -> None:
        for prose in paragraphs:
            for tree in self.steps.trees(prose.codes):
                misplaced(self.findings, tree, "outside a step", "move it into a step")

    def _steps(self, block: Steps) -> None:
        if self.heading is None:
            self.orphaned = True
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


def joined(paragraphs: Iterable[Prose]) -> str:
    """Bold and other words of some paragraphs as one text."""
    return " ".join(text for prose in paragraphs for text in (prose.lead, prose.rest) if text)
