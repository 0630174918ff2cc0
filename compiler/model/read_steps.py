"""Steps and forks: list items to the values that are checked and printed."""

from __future__ import annotations

from collections.abc import Iterable

from compiler.model import step_faults
from compiler.model.protocol import Branch, Fork, Phrase, Step
from compiler.model.read_phrases import ACTIVITIES, Lookup
from compiler.syntax.markdown import unprinted
from compiler.syntax.phrase import read_phrase
from compiler.syntax.spelling import alike
from compiler.syntax.tree import (
    Bullets,
    CodeSpan,
    Item,
    Name,
    PhraseTree,
    Quote,
    Steps,
    code_spans,
)

RULES = step_faults.RULES


class StepReader:
    """Reads list items of one protocol; names that it meets first set the spelling."""

    def __init__(self, look: Lookup) -> None:
        self.look = look
        self.findings = look.findings
        self.questions: dict[str, str] = {}
        self.answers: dict[str, str] = {}

    def trees(self, codes: Iterable[CodeSpan]) -> list[PhraseTree]:
        """The phrases of some code spans; what cannot be read is reported and left out."""
        found: list[PhraseTree] = []
        for code in codes:
            tree, wrong = read_phrase(code)
            self.findings.extend(wrong)
            if tree:
                found.append(tree)
        return found

    def asks(self, item: Item) -> bool:
        """Whether an item asks a question."""
        return any(
            code.words and code.words[0].casefold() == "decide"
            for code in code_spans(item.paragraphs)
        )

    def steps(self, items: Iterable[Item], before: int = 0) -> list[Step]:
        """Numbered steps, counted on from `before`."""
        return [self._step(item, before + count) for count, item in enumerate(items, 1)]

    def stray_bullets(self, bullets: Bullets) -> None:
        """Reports bullets that answer nothing, and reads what stands in them."""
        self.findings.append(step_faults.stray_bullets(bullets))
        for item in bullets.items:
            self._bullet(item, None)

    def _misplaced(self, tree: PhraseTree, where: str, remedy: str) -> None:
        self.findings.append(step_faults.misplaced(tree, where, remedy))

    def _step(self, item: Item, number: int) -> Step:
        phrases: list[Phrase] = []
        question: PhraseTree | None = None
        for tree in self.trees(code_spans(item.paragraphs)):
            if tree.verb in ACTIVITIES:
                self._misplaced(tree, "in a step", "move it into a heading")
            elif tree.verb == "if":
                self.findings.append(step_faults.stray_answer(tree))
            elif question is not None:
                remedy = "move it before `decide`, or into a step of its own"
                self._misplaced(tree, "after a question", remedy)
            elif tree.verb == "decide":
                question = tree
            elif phrase := self.look.phrase(tree):
                phrases.append(phrase)
        lead = item.paragraphs[0].lead if item.paragraphs else ""
        if not lead:
            self.findings.append(step_faults.lead_missing(item))
        return Step(
            number=number,
            lead=lead,
            detail=self._detail(item),
            cautions=self._cautions(item.quotes),
            phrases=tuple(phrases),
            fork=self._fork(question, item),
            at=item.at,
        )

    def _detail(self, item: Item) -> str:
        texts = [prose.rest for prose in item.paragraphs[:1]]
        for prose in item.paragraphs[1:]:
            texts += [prose.lead, prose.rest]
            if any(prose.at.start > each.at.start for each in item.lists):
                self.findings.append(
                    unprinted(
                        "Text stands after the answers of a step.",
                        prose.at,
                        "move it before the answers, or into a step of its own",
                    )
                )
        return " ".join(text for text in texts if text)

    def _cautions(self, quotes: Iterable[Quote]) -> tuple[str, ...]:
        found: list[str] = []
        for quote in quotes:
            for prose in quote.paragraphs:
                for tree in self.trees(prose.codes):
                    self._misplaced(tree, "in a caution", "delete it, or make a step of it")
                found.append(" ".join(text for text in (prose.lead, prose.rest) if text))
        return tuple(text for text in found if text)

    def _fork(self, question: PhraseTree | None, item: Item) -> Fork | None:
        branches: list[Branch] = []
        for block in item.lists:
            if isinstance(block, Steps):
                self._lost_steps(block)
            elif question is None:
                self.stray_bullets(block)
            else:
                for bullet in block.items:
                    self._bullet(bullet, branches)
        if question is None:
            return None
        if len(branches) < 2 and not self._reported(item, branches):
            self.findings.append(step_faults.too_few_answers(question, len(branches)))
        if not branches:
            return None
        return Fork(spelling(self.questions, question.names[0]), tuple(branches), question.at)

    def _reported(self, item: Item, branches: list[Branch]) -> bool:
        """Whether there are bullets enough, and each that is no branch was reported."""
        bullets = [len(block.items) for block in item.lists if isinstance(block, Bullets)]
        return sum(bullets) > 1 and len(branches) != sum(bullets)

    def _bullet(self, item: Item, branches: list[Branch] | None) -> None:
        """One bullet; becomes a branch if there is a fork and it gives a new answer."""
        answer: PhraseTree | None = None
        failed = False
        for code in code_spans(item.paragraphs):
            trees = self.trees((code,))
            failed = failed or not trees
            for tree in trees:
                if tree.verb == "if" and answer is None:
                    answer = tree
                else:
                    remedy = "move it into a numbered step below the answer"
                    self._misplaced(tree, "beside an answer", remedy)
        steps = self._branch_steps(item)
        if branches is None:
            return
        if answer is None:
            if not failed:
                self.findings.append(step_faults.bullet_without_answer(item))
            return
        first = next(
            (b for b in branches if alike(b.answer) == alike(answer.names[0].text)), None
        )
        if first is not None:
            self.findings.append(step_faults.repeated_answer(answer, first))
            return
        paragraphs = item.paragraphs
        branches.append(
            Branch(
                answer=spelling(self.answers, answer.names[0]),
                lead=paragraphs[0].lead,
                detail=self._detail(item),
                steps=tuple(steps),
                at=answer.at,
            )
        )

    def _branch_steps(self, item: Item) -> list[Step]:
        steps: list[Step] = []
        for quote in item.quotes:
            self._cautions((quote,))
            self.findings.append(
                unprinted("A caution stands beside an answer.", quote.at, "put it below a step")
            )
        for block in item.lists:
            if isinstance(block, Steps):
                steps += self.steps(block.items, len(steps))
            else:
                self.stray_bullets(block)
        return steps

    def _lost_steps(self, block: Steps) -> None:
        self.findings.append(
            unprinted(
                "Numbered steps stand directly below a step.",
                block.at,
                "give them the indentation of the other steps, or put them below an answer",
            )
        )
        self.steps(block.items)


def spelling(known: dict[str, str], word: Name) -> str:
    """The name as it was first written in this protocol."""
    return known.setdefault(alike(word.text), word.text)
