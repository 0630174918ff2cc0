"""Doing what a finding's remedy says removes that finding."""

import re

from hypothesis import assume, given, settings
from hypothesis import strategies as st

from compiler.syntax.spelling import RESERVED
from tests.reading.cases import SOUND, read_set

# Names, keys and fixed values of the sound set.
WORDS = [
    "own hook", "paper bag", "waste bin", "laundry bag", "stethoscope", "surface wipe",
    "respirator", "gown", "gloves", "change room", "transition bay", "isolation room", "keeping",
    "sending", "after every item", "allowed", "precautions", "hazard", "edition", "review by",
    "airborne", "languages", "disinfect with", "after use", "handwash", "observed", "remove",
    "discard", "touch", "discard", "inside", "straps",
]  # fmt: skip


def with_instead(name, start, word, other):
    """The sound set with another word in one place."""
    text = SOUND[name]
    return {**SOUND, name: text[:start] + other + text[start + len(word) :]}


def found_at(files, name, start, length):
    """The findings that point at a stretch of a file."""
    return [
        finding
        for finding in read_set(files).findings
        if finding.at.span.source.path == name
        and start <= finding.at.span.start < start + length
    ]


def uses():
    """Every place where a word means something: nonsense in its stead is found right there."""
    for word in WORDS:
        for name, text in SOUND.items():
            for match in re.finditer(rf"(?<![\w-]){word}(?![\w-])", text):
                if found_at(
                    with_instead(name, match.start(), word, "zzqx"), name, match.start(), 4
                ):
                    yield name, match.start(), word


USES = list(uses())


def slips(word):
    """Every way to lose, double or swap one letter inside a word."""
    for at in range(1, len(word) - 1):
        if " " not in word[at : at + 2]:
            yield word[:at] + word[at + 1 :]
            yield word[:at] + word[at] + word[at:]
            yield word[:at] + word[at + 1] + word[at] + word[at + 2 :]


def test_most_words_of_the_sound_set_are_used():
    assert len(USES) > 50
    assert {word for _, _, word in USES} == set(WORDS)


@settings(max_examples=250, deadline=None)
@given(st.sampled_from(USES), st.data())
def test_a_misspelt_word_is_found_where_it_stands_and_the_right_one_is_suggested(use, data):
    name, start, word = use
    wrong = data.draw(st.sampled_from(list(slips(word))))
    # "own hook" may become "on hook", which is two words to the phrase language.
    assume(wrong != word)
    assume(not set(wrong.split()) & set(RESERVED) - set(word.split()))
    finding, *others = found_at(with_instead(name, start, word, wrong), name, start, len(wrong))
    suggested = re.findall(r'"([^"]+)"', finding.remedy)

    assert others == []
    assert any(each == word or each.split()[0] == word for each in suggested)


def test_indenting_a_caution_as_told_cures_it():
    text = SOUND["protocol.md"].replace("\n   > Do not", "\n> Do not")
    (finding,) = read_set({**SOUND, "protocol.md": text}).findings
    spaces = " " * int(re.search(r"(\d+) spaces", finding.remedy)[1])
    cured = read_set(
        {**SOUND, "protocol.md": text.replace("\n> Do not", f"\n{spaces}> Do not")}
    )

    assert finding.rule.slug == "unprinted-text"
    assert cured.findings == []
    assert cured.protocol.parts[0].steps[1].cautions == ("Do not go in with an open gown.",)


def test_reading_goes_on_after_a_mistake_as_if_it_had_been_written_right():
    """The later checks then say what else is wrong, not what follows from the slip."""
    slips = {
        "wear gloves": "wear glovs",
        "in waste bin": "in wast bin",
        "donning in": "donning",
        "check": "chek",
        "by inside": "by insid",
        "with assistant": "with asistant",
    }
    text = SOUND["protocol.md"]
    for right, wrong in slips.items():
        text = text.replace(right, wrong, 1)
    slipped, sound = read_set({**SOUND, "protocol.md": text}), read_set(SOUND)

    assert len(slipped.findings) == len(slips)
    assert outline(slipped.protocol) == outline(sound.protocol)


def outline(protocol):
    """What a protocol does, without places."""
    return [
        (
            part.title,
            part.begin.area,
            [[type(p).__name__ for p in s.phrases] for s in part.steps],
        )
        for part in protocol.parts
    ]
