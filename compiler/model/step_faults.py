"""What can be wrong with a step, an answer or a bullet, and what is said of it."""

from __future__ import annotations

from compiler.findings import Finding, Level, Mark, Rule
from compiler.model.protocol import Branch
from compiler.syntax.phrase_words import FORMS
from compiler.syntax.spelling import quoted
from compiler.syntax.tree import Bullets, Item, PhraseTree

MISPLACED_PHRASE = Rule(
    "misplaced-phrase",
    Level.MUST,
    "A phrase stands where it has no meaning, such as a part phrase in a step.",
    waivable=False,
)
LEAD_MISSING = Rule(
    "lead-missing",
    Level.SHOULD,
    "A step has no bold words; a pocket card, which prints only those, would be blank there.",
    waivable=False,
)
FORK_WITHOUT_ANSWERS = Rule(
    "fork-without-answers",
    Level.MUST,
    "A question is asked that has no answer, or only one.",
    waivable=False,
)
ANSWER_WITHOUT_QUESTION = Rule(
    "answer-without-question",
    Level.MUST,
    "An answer or a bullet stands where nothing is asked, or a bullet gives no answer.",
    waivable=False,
)
REPEATED_ANSWER = Rule(
    "repeated-answer",
    Level.MUST,
    "A fork has the same answer twice.",
    waivable=False,
)

RULES = (
    MISPLACED_PHRASE,
    LEAD_MISSING,
    FORK_WITHOUT_ANSWERS,
    ANSWER_WITHOUT_QUESTION,
    REPEATED_ANSWER,
)


def misplaced(tree: PhraseTree, where: str, remedy: str) -> Finding:
    """A phrase that has no meaning where it stands."""
    form = FORMS[tree.verb].split(" [")[0]
    message = f"The phrase {quoted(form)} has no meaning {where}."
    return Finding(MISPLACED_PHRASE, message, Mark(tree.at, "here"), remedy=remedy)


def second_part_phrase(tree: PhraseTree, first: PhraseTree) -> Finding:
    """A heading that begins two parts."""
    return Finding(
        MISPLACED_PHRASE,
        "A heading has a second part phrase.",
        Mark(tree.at, "second"),
        (Mark(first.at, "first"),),
        remedy="give each part a heading",
    )


def lead_missing(item: Item) -> Finding:
    """A step without bold words."""
    return Finding(
        LEAD_MISSING,
        "The step does not begin with bold words.",
        Mark(item.at, "this step"),
        remedy="begin with the instruction between double asterisks, "
        "for example **Clean your hands.**",
    )


def too_few_answers(question: PhraseTree, answers: int) -> Finding:
    """A question that leaves nothing to decide."""
    count = "only one answer" if answers else "no answers"
    return Finding(
        FORK_WITHOUT_ANSWERS,
        f"The question {quoted(question.names[0].text)} has {count}.",
        Mark(question.at, "asked here"),
        remedy="write each answer as an indented bullet with `if ANSWER`",
    )


def stray_bullets(bullets: Bullets) -> Finding:
    """Bullets below a step that asks nothing."""
    return Finding(
        ANSWER_WITHOUT_QUESTION,
        "The bullets answer no question.",
        Mark(bullets.at, "here"),
        remedy="add `decide QUESTION` to the step above and indent the bullets, "
        "or write numbered steps",
    )


def bullet_without_answer(item: Item) -> Finding:
    """A bullet of a fork without its `if`."""
    return Finding(
        ANSWER_WITHOUT_QUESTION,
        "The bullet does not say which answer it is.",
        Mark(item.at, "this bullet"),
        remedy="add `if ANSWER` to it",
    )


def stray_answer(tree: PhraseTree) -> Finding:
    """An `if` in a numbered step."""
    return Finding(
        ANSWER_WITHOUT_QUESTION,
        f"The answer {quoted(tree.names[0].text)} stands outside a fork.",
        Mark(tree.at, "here"),
        remedy="write it in a bullet below a step with `decide QUESTION`",
    )


def repeated_answer(answer: PhraseTree, first: Branch) -> Finding:
    """An answer that the same fork gave before."""
    return Finding(
        REPEATED_ANSWER,
        f"The answer {quoted(first.answer)} is given twice.",
        Mark(answer.at, "again here"),
        (Mark(first.at, "first here"),),
        remedy="join the two, or give one of them another answer",
    )
