"""The clinic's own names for things: found in source texts, known again in translations.

The inflected forms are ordinary grammar of each language, from memory.
"""

import pytest

from compiler.source import Source
from compiler.wording.catalogue import read_catalogue
from compiler.wording.glossary import glossary


def names(tag, *pairs, note=""):
    text = "".join(
        f'{note}msgctxt "item"\nmsgid "{source}"\nmsgstr "{name}"\n\n' for source, name in pairs
    )
    return glossary(read_catalogue(Source("clinic.po", text))[0], tag)


def test_the_longest_name_is_meant():
    known = names("es", ("gloves", "guantes"), ("outer gloves", "guantes exteriores"))

    assert [t.source for t in known.named_in("Take off the outer gloves.")] == ["outer gloves"]
    assert [t.source for t in known.named_in("Outer gloves, then gloves.")] == [
        "outer gloves",
        "gloves",
    ]
    assert known.named_in("Glovesome things.") == ()


@pytest.mark.parametrize(
    ("tag", "name", "text"),
    [
        ("es", "mascarilla", "Las mascarillas están aquí."),
        ("ru", "перчатки", "Снимите перчатку. Две пары перчаток."),
        ("ru", "респиратор", "Проверьте посадку респиратора."),
        ("ar", "قفازات", "انزع القفّازين."),
        ("ar", "درع للوجه", "البس درع الوجه."),
        ("hi", "दस्ताने", "दस्तानों को उतारें।"),
        ("bn", "গ্লাভস", "গ্লাভসগুলো খুলুন।"),
        ("am", "ጓንት", "ጓንቶችን ያውልቁ።"),
        ("so", "galoofisyo", "Iska saar galoofisyada."),
        ("vi", "găng tay", "Tháo găng tay ra."),
        ("zh-Hans", "手套", "脱下手套。"),
        ("th", "ถุงมือ", "ถอดถุงมือออก"),
        ("de", "Handschuhe", "Legen Sie den Handschuh ab."),
        ("pl", "rękawice", "Zdejmij parę rękawic."),
        ("uk", "рукавички", "Зніміть пару рукавичок."),
    ],
)
def test_a_name_is_known_in_its_forms(tag, name, text):
    known = names(tag, ("thing", name))

    assert known.calls(known.terms[0], text)


@pytest.mark.parametrize(
    ("tag", "name", "text"),
    [
        ("es", "mascarilla", "El barbijo está aquí."),
        ("es", "guantes exteriores", "Quítese los guantes interiores."),
        ("ru", "респиратор", "Проверьте посадку маски."),
        ("ar", "كمامة", "البس القناع."),
        ("zh-Hans", "手套", "脱下口罩。"),
    ],
)
def test_another_name_is_another_name(tag, name, text):
    known = names(tag, ("thing", name))

    assert not known.calls(known.terms[0], text)


def test_a_translators_comment_gives_further_forms():
    """Arabic plurals may be built anew from the root, so their beginning differs."""
    plain = names("ar", ("bag", "كيس"))
    told = names("ar", ("bag", "كيس"), note="# also: أكياس, الأكياس\n")

    assert not plain.calls(plain.terms[0], "ضع الأكياس هنا.")
    assert told.calls(told.terms[0], "ضع الأكياس هنا.")


def test_what_is_not_fit_to_print_is_no_name():
    text = '#, fuzzy\nmsgctxt "item"\nmsgid "mask"\nmsgstr "máscara"\n\nmsgctxt "contact"\nmsgid "a"\nmsgstr "b"\n'

    assert glossary(read_catalogue(Source("clinic.po", text))[0], "es").terms == ()
    assert glossary(None, "es").terms == ()


def test_translators_are_offered_the_names():
    known = names("es", ("gown", "bata"), ("bin", "cubo"))

    assert known.hint("Put the gown into the bin.") == "bin = cubo; gown = bata" or (
        known.hint("Put the gown into the bin.") == "gown = bata; bin = cubo"
    )
    assert known.hint("Wait.") == ""
