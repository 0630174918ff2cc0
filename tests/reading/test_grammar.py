"""The grammar printed in the author's guide, and the parser, are the same language.

The judge is Lark's Earley parser (Lark 1.x, lark-parser.readthedocs.io), which knows nothing of
ours: the guide's block is turned into a Lark grammar rule by rule, and sentences are made from
that same block.
"""

import re
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from lark import Lark, Tree
from lark.exceptions import UnexpectedInput

from compiler.source import Source, Span
from compiler.syntax.phrase import read_phrase
from compiler.syntax.phrase_words import FORMS, GRIPS
from compiler.syntax.spelling import RESERVED
from compiler.syntax.tree import CodeSpan

GUIDE = Path(__file__).parents[2] / "protocols" / "README.md"
BLOCK = re.search(
    r"^```grammar\n(.*?)^```$", GUIDE.read_text("utf-8"), re.MULTILINE | re.DOTALL
)[1]
RULES = {
    name: body.split()
    for name, body in re.findall(r"^(\w+) *=((?:.|\n +\|)*)", BLOCK, re.MULTILINE)
}
JOINING = "|".join(RESERVED)
# Signs of many kinds, backticks and quotation marks too, but no white space.
SIGNS = st.characters(blacklist_categories=("Cc", "Cs", "Zs", "Zl", "Zp", "Cn"))
WORDS = st.one_of(
    st.text(SIGNS, min_size=1, max_size=8),
    st.sampled_from(
        ["gloves", "handrub", "s", "min", "45", "Inner", "assistant", "ties", "if"]
    ),
).filter(lambda word: word.casefold() not in RESERVED and not word.isspace())
NUMBERS = st.integers(0, 9999).map(str)


def literals():
    """Every quoted word of the grammar."""
    return sorted(set(re.findall(r'"(\w+)"', BLOCK)))


def lark_grammar():
    """The guide's rules in Lark's notation: only the brackets and quotation marks differ."""
    lines = []
    for name, body in RULES.items():
        text = " ".join(body)
        text = (
            re.sub(r'"(\w+)"', lambda word: f"KEY_{word[1].upper()}", text)
            .replace("{", "(")
            .replace("}", ")*")
        )
        text = re.sub(r"\bword\b", "WORD", re.sub(r"\bnumber\b", "NUMBER", text))
        lines.append(f"{name}: {text}")
    # A word ends at white space or at the end, wherever it stands.
    edge = r"(?<!\S){}(?!\S)"
    lines += [f"KEY_{word.upper()}: /{edge.format(f'(?i:{word})')}/" for word in literals()]
    word = rf"(?!(?i:{JOINING})(?!\S))\S+"
    lines.append(f"WORD: /{edge.format(word)}/")
    lines.append(f"NUMBER: /{edge.format('[0-9]{1,4}')}/")
    lines.append("%ignore /\\s+/")
    return "\n".join(lines)


JUDGE = Lark(lark_grammar(), start="phrase", parser="earley", lexer="dynamic")


class Sentences:
    """Strategies for sentences, made from the guide's rules."""

    def __init__(self):
        self.made = {"word": WORDS, "number": NUMBERS}

    def rule(self, name):
        """Sentences of one rule."""
        if name not in self.made:
            self.made[name] = st.deferred(lambda: self.choices(RULES[name]))
        return self.made[name]

    def choices(self, tokens):
        """One of the sequences between bars."""
        options = " ".join(tokens).split(" | ")
        return st.one_of([self.sequence(option) for option in options])

    def sequence(self, text):
        """One part after the other."""
        parts = re.findall(r"\[[^\]]*\]|\{[^}]*\}|\S+", text)
        return st.tuples(*map(self.part, parts)).map(
            lambda found: " ".join(filter(None, found))
        )

    def part(self, text):
        """A word, a rule, or something in brackets."""
        if text.startswith("["):
            return st.just("") | self.sequence(text[1:-1])
        if text.startswith("{"):
            return st.lists(self.sequence(text[1:-1]), max_size=2).map(" ".join)
        if text.startswith('"'):
            return st.sampled_from([text.strip('"'), text.strip('"').upper()])
        return self.rule(text)


SENTENCES = Sentences().rule("phrase")


def code(text):
    """A code span as the Markdown reader gives it."""
    source = Source("protocol.md", text)
    start = len(text) - len(text.lstrip())
    return CodeSpan(tuple(text.split()), Span(source, start, len(text.rstrip())))


def judged(text):
    """What Lark says: the verb, the names and the rest; or None."""
    try:
        tree = JUDGE.parse(text)
    except UnexpectedInput:
        return None
    # The walk begins at the leaves; by place is the reading order.
    names = [
        " ".join(map(str, node.children))
        for node in sorted(tree.find_data("name"), key=lambda node: node.children[0].start_pos)
    ]
    return rule_of(tree), names


def rule_of(tree):
    """The name of the phrase's own rule."""
    child = tree.children[0]
    assert isinstance(child, Tree)
    return child.data


def read(text):
    """What our parser says, in the judge's terms."""
    tree, findings = read_phrase(code(text))
    if findings:
        return None
    assert tree is not None
    places = [*tree.names, *filter(None, (tree.place, tree.agent))]
    for name in places:
        assert " ".join(name.at.text.split()) == name.text
    return RULE_OF_VERB[tree.verb], [name.text for name in places]


RULE_OF_VERB = {
    "donning in": "part",
    "doffing in": "part",
    "at work in": "part",
    "go to": "walk",
    "handrub": "hygiene",
    "handwash": "hygiene",
    "decide": "question",
    "if": "answer",
    "takes": "time",
    **{verb: verb for verb in FORMS if verb in RULES},
}


@settings(deadline=None)
@given(SENTENCES)
def test_sentences_of_the_grammar_are_read_by_both_alike(text):
    assert judged(text) is not None
    assert read(text) == judged(text)


@settings(max_examples=400, deadline=None)
@given(st.lists(st.sampled_from([*literals(), "inner", "7", "Own", "hook"]), max_size=9))
def test_words_in_any_order_are_accepted_by_both_or_by_neither(words):
    text = " ".join(words)

    assert read(text) == judged(text)


@settings(deadline=None)
@given(SENTENCES, st.data())
def test_a_sentence_with_one_word_changed_is_judged_alike(text, data):
    words = text.split()
    place = data.draw(st.integers(0, len(words) - 1))
    change = data.draw(st.sampled_from(["drop", "double", "swap"]))
    if change == "drop":
        del words[place]
    elif change == "double":
        words.insert(place, words[place])
    else:
        words[place] = data.draw(st.sampled_from(literals()))
    text = " ".join(words)

    assert read(text) == judged(text)


@settings(deadline=None)
@given(SENTENCES)
def test_white_space_between_words_makes_no_difference(text):
    spread = "  " + "  \n ".join(text.split()) + " "

    assert read(spread) == read(text)


def test_grammar_names_every_verb_and_every_grip():
    assert set(RULE_OF_VERB) == set(FORMS)
    assert tuple(RULES["grip"][::2]) == tuple(f'"{grip}"' for grip in GRIPS)


@pytest.mark.parametrize("verb", FORMS)
def test_usual_forms_are_sentences_of_the_language(verb):
    form = FORMS[verb].replace("[", "").replace("]", "").replace("NUMBER", "7")
    form = re.sub(r"(\w+)(?:\|\w+)+", r"\1", form)

    assert read(form) == judged(form)
    assert read(form) is not None
