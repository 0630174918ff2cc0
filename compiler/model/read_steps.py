"""Steps and forks: list items to the values that are checked and printed."""

from __future__ import annotations

from collections.abc import Iterable

from compiler.findings import Finding, Level, Mark, Rule
from compiler.model.protocol import Branch, Fork, Phrase, Step
from compiler.model.read_phrases import ACTIVITIES, Lookup
from compiler.syntax.markdown import unprinted
from compiler.syntax.phrase import FORMS, read_phrase
from compiler.syntax.spelling import alike, quoted
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

MISPLACED_PHRASE = Rule(
    "misplaced-phrase",
    Level.MUST,
    "A phrase stands where it has no meaning, such as a part phrase in a step.",
)
LEAD_MISSING = Rule(
    "lead-missing",
    Level.SHOULD,
    "A step has no bold words; a pocket card, which prints only those, would be blank there.",
)
FORK_WITHOUT_ANSWERS = Rule(
    "fork-without-answers",
    Level.MUST,
    "A question is asked that has no answer, or only one.",
)
ANSWER_WITHOUT_QUESTION = Rule(
    "answer-without-question",
    Level.MUST,
    "An answer or a bullet stands where nothing is asked, or a bullet gives no answer.",
)
REPEATED_ANSWER = Rule("repeated-answer", Level.MUST, "A fork has the same answer twice.")

RULES = (
    MISPLACED_PHRASE,
    LEAD_MISSING,
    FORK_WITHOUT_ANSWERS,
    ANSWER_WITHOUT_QUESTION,
    REPEATED_ANSWER,
)


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
        self.findings.append(
            Finding(
                ANSWER_WITHOUT_QUESTION,
                "The bullets answer no question.",
                Mark(bullets.at, "here"),
                remedy="add `decide QUESTION` to the step above and indent the bullets, "
                "or write numbered steps",
            )
        )
        for item in bullets.items:
            self._bullet(item, None)

    def _step(self, item: Item, number: int) -> Step:
        phrases: list[Phrase] = []
        question: PhraseTree | None = None
        for tree in self.trees(code_spans(item.paragraphs)):
            if tree.verb in ACTIVITIES:
                misplaced(self.findings, tree, "in a step", "move it into a heading")
            elif tree.verb == "if":
                self._stray_answer(tree)
            elif question is not None:
                remedy = "move it before `decide`, or into a step of its own"
                misplaced(self.findings, tree, "after a question", remedy)
            elif tree.verb == "decide":
                question = tree
            elif phrase := self.look.phrase(tree):
                phrases.append(phrase)
        lead = item.paragraphs[0].lead if item.paragraphs else ""
        if not lead:
            self._lead_missing(item)
        return Step(
            number=number,
            lead=lead,
            detail=self._detail(item),
            cautions=self._cautions(item.quotes),
            phrases=tuple(phrases),
            fork=self._fork(question, item),
            at=item.at,
        )

    def _lead_missing(self, item: Item) -> None:
        self.findings.append(
            Finding(
                LEAD_MISSING,
                "The step does not begin with bold words.",
                Mark(item.at, "this step"),
                remedy="begin with the instruction between double asterisks, "
                "for example **Clean your hands.**",
            )
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
                    misplaced(self.findings, tree, "in a caution", "move it into the step")
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
            count = "only one answer" if branches else "no answers"
            self.findings.append(
                Finding(
                    FORK_WITHOUT_ANSWERS,
                    f"The question {quoted(question.names[0].text)} has {count}.",
                    Mark(question.at, "asked here"),
                    remedy="write each answer as an indented bullet with `if ANSWER`",
                )
            )
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
                    misplaced(self.findings, tree, "beside an answer", remedy)
        steps = self._branch_steps(item)
        if branches is None:
            return
        if answer is None:
            if not failed:
                self._bullet_without_answer(item)
            return
        first = next(
            (b for b in branches if alike(b.answer) == alike(answer.names[0].text)), None
        )
        if first is not None:
            self.findings.append(
                Finding(
                    REPEATED_ANSWER,
                    f"The answer {quoted(first.answer)} is given twice.",
                    Mark(answer.at, "again here"),
                    (Mark(first.at, "first here"),),
                    remedy="join the two, or give one of them another answer",
                )
            )
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

    def _bullet_without_answer(self, item: Item) -> None:
        self.findings.append(
            Finding(
                ANSWER_WITHOUT_QUESTION,
                "The bullet does not say which answer it is.",
                Mark(item.at, "this bullet"),
                remedy="add `if ANSWER` to it",
            )
        )

    def _stray_answer(self, tree: PhraseTree) -> None:
        self.findings.append(
            Finding(
                ANSWER_WITHOUT_QUESTION,
                f"The answer {quoted(tree.names[0].text)} stands outside a fork.",
                Mark(tree.at, "here"),
                remedy="write it in a bullet below a step with `decide QUESTION`",
            )
        )

    def _lost_steps(self, block: Steps) -> None:
        self.findings.append(
            unprinted(
                "Numbered steps stand directly below a step.",
                block.at,
                "give them the indentation of the other steps, or put them below an answer",
            )
        )
        self.steps(block.items)


def misplaced(findings: list[Finding], tree: PhraseTree, where: str, remedy: str) -> None:
    """Reports a phrase that has no meaning where it stands."""
    form = FORMS[tree.verb].split(" [")[0]
    message = f"The phrase {quoted(form)} has no meaning {where}."
    findings.append(Finding(MISPLACED_PHRASE, message, Mark(tree.at, "here"), remedy=remedy))


def spelling(known: dict[str, str], word: Name) -> str:
    """The name as it was first written in this protocol."""
    return known.setdefault(alike(word.text), word.text)
