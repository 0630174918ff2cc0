"""What is worth a look in translations: told where it stands, and silent about sound texts.

Sources stand beside the checks that have one; translations are our own, from memory.
"""

from __future__ import annotations

from pathlib import Path

import pytest

from compiler.findings import Level
from compiler.pipeline import open_set, validated
from compiler.rules.translations import RULES, checked
from compiler.source import Source
from compiler.storage import find_sets
from compiler.wording.catalogue import read_catalogue

TOP = Path(__file__).parent.parent.parent


def catalogue(*pairs: tuple[str, str], kind: str = "detail", path: str = "x.po"):
    text = "".join(
        f'msgctxt "{kind}"\nmsgid "{source}"\nmsgstr "{words}"\n\n' for source, words in pairs
    )
    return read_catalogue(Source(path, text))[0]


def told(tag: str, *pairs: tuple[str, str], names: tuple[tuple[str, str], ...] = ()):
    found = list(checked(catalogue(*pairs), catalogue(*names, kind="item"), None, tag))
    return [(f.rule.slug, f.at.span.text) for f in found]


def test_the_example_is_silent():
    for place, files in find_sets([TOP / "protocols"]):
        found = validated(open_set(place, files))
        assert [f for f in found if f.rule in RULES] == []


def test_nothing_here_stands_in_the_way_of_printing():
    assert {rule.level for rule in RULES} == {Level.MAY}


# ---- names


def test_a_thing_with_two_names_is_told_once_with_the_name_and_the_other_places():
    """Federal plain language guidelines (2011): use the same term for the same thing."""
    pairs = (
        ("Put on the gown.", "Póngase la bata."),
        ("Tie the gown.", "Ate el camisolín."),
        ("Take off the gown.", "Quítese el camisolín."),
    )
    (found,) = checked(
        catalogue(*pairs),
        catalogue(("gown", "bata"), kind="item", path="clinic.po"),
        None,
        "es",
    )

    assert (found.rule.slug, found.at.span.text) == (
        "item-renamed-in-translation",
        "Ate el camisolín.",
    )
    assert [mark.span.text for mark in found.path] == ["bata", "Quítese el camisolín."]
    assert found.path[0].span.source.path == "clinic.po"
    assert "# also: camisolín" in found.remedy


def test_without_names_nothing_is_told():
    assert told("es", ("Tie the gown.", "Ate el camisolín.")) == []


# ---- length


@pytest.mark.parametrize("tag", ["es", "zh-Hans"])
@pytest.mark.parametrize(("length", "expected"), [(8, 3.0), (15, 2.0), (40, 1.6), (100, 1.3)])
def test_half_as_long_again_as_is_expected_is_told(tag, length, expected):
    """W3C, Text size in translation (2007), with the averages of IBM, from memory."""
    sign = "手" if tag == "zh-Hans" else "a"
    most = int(1.5 * expected * length) // (2 if sign == "手" else 1)
    source = "x" * length

    lengthy = [slug for slug, _ in told(tag, (source, sign * (most + 1)))]
    assert "translation-much-longer" in lengthy
    assert "translation-much-longer" not in [s for s, _ in told(tag, (source, sign * most))]


# ---- directions


@pytest.mark.parametrize(
    ("tag", "text"),
    [
        ("ar", "افرك من 20 إلى 30 ثانية."),
        ("ar", "الكمامة N95 (مقاس M)، تحويلة 214."),
        ("ar", "اتصل على \u2066+44 20 7946 0000\u2069."),
        ("ur", "۲۰ سے ۳۰ سیکنڈ"),
        ("es", "Frote 20–30 segundos."),
        ("es", "Pregunte por \u2067نادية\u2069."),
        ("zh-Hans", "揉搓20–30秒。"),
    ],
)
def test_one_order_is_silent(tag, text):
    assert told(tag, ("x" * 40, text)) == []


@pytest.mark.parametrize(
    ("tag", "text"),
    [
        ("ar", "افرك 20–30 ثانية."),
        ("fa", "۲۰-۳۰ ثانیه"),
        ("es", "Pregunte por نادية."),
        ("es", "Pregunte por \u2067نادية."),
        ("ar", "الرقم \u2069 هنا"),
        ("en", "Take \u202eoff\u2069 this."),
    ],
)
def test_two_orders_are_told(tag, text):
    """Unicode Standard Annex 9: isolates end with U+2069, embeddings with U+202C."""
    assert told(tag, ("x" * 40, text)) == [("translation-mixes-directions", text)]


# ---- reading


@pytest.mark.parametrize(
    ("tag", "word", "most"), [("es", "uno ", 25), ("ru", "раз ", 25), ("zh-Hans", "手", 49)]
)
def test_a_sentence_may_be_so_long_and_no_longer(tag, word, most):
    """Government Digital Service (2014): 25 words; for Chinese common practice, no source."""
    stop = "。" if tag == "zh-Hans" else "."
    right = (word * most).strip().capitalize() + stop
    long = (word * (most + 1)).strip().capitalize() + stop
    source = "x" * 200

    assert told(tag, (source, right)) == []
    assert told(tag, (source, right + " " + right)) == []
    assert told(tag, (source, f"{right} {long}")) == [("translation-hard-to-read", long)]


@pytest.mark.parametrize(
    ("tag", "easy", "hard"),
    [
        (
            "pt",
            "Lave as mãos com água e sabão. Ponha as luvas. Feche a porta. ",
            "A descontaminação imediata posterior à eliminação do equipamento constitui a "
            "intervenção preventiva fundamental dos profissionais. ",
        ),
        (
            "ru",
            "Мойте руки. Бросьте халат в бак. Закройте дверь. Ждите тут. ",
            "Незамедлительная деконтаминация непосредственно после удаления оборудования "
            "представляет профилактическое мероприятие специалистов. ",
        ),
    ],
)
def test_plain_and_stilted_translations_fall_on_their_sides(tag, easy, hard):
    """Our own sentences: the same thing said to a person and to a committee."""
    source = "x" * 2000

    assert told(tag, (source, (easy * 15).strip())) == []
    assert [slug for slug, _ in told(tag, (source, (hard * 15).strip()))] == [
        "translation-hard-to-read"
    ]


def test_thai_is_not_counted():
    """Thai has no stop at the end of a sentence and no space between words."""
    assert told("th", ("x" * 400, "ล้างมือ" * 60)) == []
