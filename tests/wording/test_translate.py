"""A protocol in another language, and all that makes a translated sheet unsafe."""

import pytest

from compiler.findings import Level
from compiler.model.protocol import every_step
from compiler.model.texts import clinic_messages, messages
from compiler.model.translate import translated, translated_clinic
from compiler.source import Source
from compiler.wording.catalogue import read_catalogue
from compiler.wording.update import update_catalogue
from tests.wording.samples import clinic, filled, protocol

RUB = 'msgstr "ES Rub until dry, 20 to 30 seconds."'


def complete():
    return filled(update_catalogue(None, messages(protocol()), "sw", "x")[0].text)


def judged(text, tag="sw"):
    """In Swahili unless said otherwise: a language whose words of denial are not known."""
    path = f"translations/{tag}/airborne-room.po"
    catalogue, damages = read_catalogue(Source(path, text))
    assert damages == []
    whole, findings = translated(protocol(), catalogue, tag)
    return whole, [(f.rule.slug, f.at.span.text) for f in findings], findings


def test_every_text_is_replaced_and_nothing_else():
    whole, found, _ = judged(complete())

    assert found == []
    before, after = list(messages(protocol())), list(messages(whole))
    assert [m.text for m in after] == [f"ES {m.text}" for m in before]
    assert [m.at for m in after] == [m.at for m in before]
    for first, second in zip(protocol().parts, whole.parts, strict=True):
        for old, new in zip(every_step(first.steps), every_step(second.steps), strict=True):
            assert (old.phrases, old.number, old.at) == (new.phrases, new.number, new.at)
        assert first.begin == second.begin
    assert (whole.name, whole.precautions, whole.source) == (
        protocol().name,
        protocol().precautions,
        protocol().source,
    )


def test_an_empty_translation_stands_in_the_way_of_printing():
    text = complete().replace('msgstr "ES Close the flap."', 'msgstr ""')

    whole, found, findings = judged(text)

    assert found == [("translation-missing", '""')]
    assert findings[0].rule.level is Level.MUST
    assert findings[0].at.span.source.path == "translations/sw/airborne-room.po"
    assert findings[0].path[0].span.source.path == "protocols/airborne-room.md"
    assert whole.parts[0].steps[2].fork.branches[1].detail == "Close the flap."


def test_an_absent_entry_is_found_at_the_text_itself():
    text = complete()
    start = text.index("#. Putting on, step 2")
    text = text[:start] + text[text.index("#. Putting on, step 2", start + 5) :]

    _, found, _ = judged(text)

    assert found == [("translation-missing", "Put on the coverall.")]


def test_no_file_is_one_finding():
    whole, findings = translated(protocol(), None, "ar")

    assert whole == protocol()
    assert [f.message for f in findings] == [
        "“Airborne isolation room” has no ar translation file; 17 texts are missing."
    ]


def test_an_uncertain_translation_is_not_used():
    entry = 'msgctxt "branch detail"\nmsgid "Close the flap."'

    whole, found, _ = judged(complete().replace(entry, f"#, fuzzy\n{entry}"))

    assert found == [("translation-fuzzy", "ES Close the flap.")]
    assert whole.parts[0].steps[2].fork.branches[1].detail == "Close the flap."


@pytest.mark.parametrize(
    ("translation", "said"),
    [
        ("افرك حتى الجفاف، من ٢٠ إلى ٣٠ ثانية.", None),
        ("सूखने तक रगड़ें, २० से ३० सेकंड।", None),
        ("افرك حتى الجفاف، من ٢٠ إلى ٤٠ ثانية.", "lacks 30 and adds 40"),
        ("सूखने तक रगड़ें, २० सेकंड।", "lacks 30"),
        ("Frote de 20 a 30 segundos, 2 veces.", "adds 2"),
    ],
)
def test_numbers_in_any_digits(translation, said):
    """WHO, Guidelines on Hand Hygiene in Health Care, 2009: handrub takes 20 to 30 seconds."""
    _, found, findings = judged(complete().replace(RUB, f'msgstr "{translation}"'))

    assert found == ([("translation-changes-a-number", translation)] if said else [])
    assert [f.at.label for f in findings] == ([said] if said else [])


@pytest.mark.parametrize(
    ("tag", "translation", "told"),
    [
        ("es", "Frote de 20 a 30 segundos.", False),
        ("es", "Frote de 20 a 30 minutos.", True),
        ("ar", "افرك من ٢٠ إلى ٣٠ دقيقة.", True),
        ("ar", "افرك من ٢٠ إلى ٣٠ ثانية.", False),
        ("zh-Hans", "揉搓20至30分钟。", True),
        ("zh-Hans", "揉搓20至30秒。", False),
        ("am", "ከ20 እስከ 30 ደቂቃ ያሹ።", True),
        ("sw", "Sugua dakika 20 hadi 30.", False),
    ],
)
def test_a_time_must_keep_its_unit(tag, translation, told):
    """Unicode CLDR, unit patterns, names the units; Swahili is not in the table."""
    text = complete().replace("Language: sw", f"Language: {tag}")
    _, found, _ = judged(text.replace(RUB, f'msgstr "{translation}"'), tag)

    assert [f for f in found if "unit" in f[0]] == (
        [("translation-changes-a-unit", translation)] if told else []
    )


def test_the_source_text_again_is_worth_a_look():
    _, found, findings = judged(complete().replace('"ES Close the flap."', '"Close the flap."'))

    assert found == [("translation-untranslated", "Close the flap.")]
    assert findings[0].rule.level is Level.MAY


def test_an_entry_for_no_text_is_worth_a_look():
    text = complete() + '\nmsgctxt "lead"\nmsgid "Put on a cape."\nmsgstr "Capa"\n'

    _, found, _ = judged(text)

    assert found == [("translation-unused", "Capa")]


def test_a_retired_entry_is_nothing():
    text = complete() + '\n#~ msgctxt "lead"\n#~ msgid "Put on a cape."\n#~ msgstr "Capa"\n'

    assert judged(text)[1] == []


def test_two_answers_must_not_read_alike():
    """Common practice, no source: a fork whose answers read alike has no answer."""
    text = (
        complete()
        .replace('"ES Torn: take another."', '"Sí"')
        .replace('"ES Sound: go on."', '"sí"')
    )

    _, found, findings = judged(text)

    assert found == [("translation-answers-alike", "sí")]
    assert [mark.span.text for mark in findings[0].path] == ["Sí", "if sound"]


def test_a_file_in_the_wrong_folder():
    _, found, _ = judged(complete().replace("Language: sw", "Language: fa"))

    assert found == [("translation-in-another-language", "Language: fa")]
    assert judged(complete().replace("Language: sw", "Language: sw_KE"))[1] == []
    assert judged(complete().replace("Language: sw", "Language: "))[1] == []


def test_clinic_and_kit_keep_their_keys():
    post, kit = clinic()
    text = filled(update_catalogue(None, clinic_messages(post, kit), "ar", "x")[0].text)
    catalogue, _ = read_catalogue(Source("translations/ar/clinic.po", text))

    said, worn, findings = translated_clinic(post, kit, catalogue, "ar")

    assert findings == []
    assert said.areas["change room"].name == "ES change room"
    assert said.places["own hook"].name == "ES own hook"
    assert said.places["own hook"].area == "change room"
    assert said.agents["surface wipe"].name == "ES surface wipe"
    assert said.agents["surface wipe"].wet_time == 120
    assert worn.items["coverall"].name == "ES coverall"
    assert said.contact == "ES extension 214"
    assert said.name == post.name


def test_a_prohibition_must_stay_one():
    text = complete().replace("Language: sw", "Language: ar")
    said = 'msgstr "ES Do not let the legs touch the floor."'

    _, found, _ = judged(text.replace(said, 'msgstr "دع الساقين تلمسان الأرض."'), "ar")
    _, sound, _ = judged(text.replace(said, 'msgstr "لا تدع الساقين تلمسان الأرض."'), "ar")

    assert found == [("translation-loses-a-negation", "دع الساقين تلمسان الأرض.")]
    assert sound == []
