"""Prohibitions in every language for which words of denial are listed.

The sentences are our own, from memory; that a lost "not" is the gravest fault of a medical
translation is common practice, no source.
"""

import pytest

from compiler.model.languages import SUPPORTED
from compiler.wording.negation import (
    FORBIDDING,
    NEGATION,
    loses_a_negation,
    prohibitions,
)

SOURCE = "Do not touch your face."
KEPT = [
    ("es", "No se toque la cara."),
    ("es", "Evite tocarse la cara."),
    ("fr", "Ne touchez pas votre visage."),
    ("fr", "N’entrez jamais seul."),
    ("pt", "Não toque no rosto."),
    ("de", "Berühren Sie nicht Ihr Gesicht."),
    ("de", "Fassen Sie kein Teil der Maske an."),
    ("pl", "Nie dotykaj twarzy."),
    ("uk", "Не торкайтеся обличчя."),
    ("ru", "Не прикасайтесь к лицу."),
    ("ru", "Избегайте прикосновений к лицу."),
    ("ar", "لا تلمس وجهك."),
    ("ar", "امشِ ولا تلمس وجهك."),
    ("ar", "تجنب لمس وجهك."),
    ("ar", "احرص على عدم لمس وجهك."),
    ("fa", "به صورت خود دست نزنید."),
    ("fa", "صورت خود را نباید لمس کنید."),
    ("ur", "اپنے چہرے کو نہ چھوئیں۔"),
    ("zh-Hans", "不要触摸面部。"),
    ("zh-Hans", "切勿触摸面部。"),
    ("zh-Hant", "請勿觸摸臉部。"),
    ("hi", "अपने चेहरे को न छुएँ।"),
    ("hi", "चेहरा मत छुएँ।"),
    ("hi", "चेहरे को छूना नहीं।"),
    ("bn", "মুখ স্পর্শ করবেন না।"),
    ("vi", "Không chạm vào mặt."),
    ("vi", "Đừng sờ lên mặt."),
    ("tl", "Huwag hawakan ang mukha."),
    ("so", "Ha taaban wejigaaga."),
    ("am", "ፊትዎን አይንኩ።"),
    ("am", "ብቻዎን አትግቡ።"),
    ("th", "ห้ามสัมผัสใบหน้า"),
    ("th", "อย่าจับใบหน้า"),
    ("ko", "얼굴을 만지지 마십시오."),
]
LOST = [
    ("es", "Tóquese la cara con el norte."),
    ("fr", "Reculez d’un pas et touchez le visage."),
    ("pt", "Toque no rosto com a mão nova."),
    ("de", "Berühren Sie das Gesicht, nachdem Sie die Niere sehen."),
    ("pl", "Dotykaj twarzy, niebieska strona na górze."),
    ("uk", "Торкайтеся обличчя у небі."),
    ("ru", "Прикасайтесь к лицу небольшой салфеткой."),
    ("ar", "المس وجهك بسلام خلال العمل."),
    ("fa", "صورت خود را نگه دارید و لمس نمایید."),
    ("ur", "اپنے چہرے کو نہایت احتیاط سے چھوئیں۔"),
    ("zh-Hans", "触摸面部。"),
    ("zh-Hant", "觸摸臉部。"),
    ("hi", "अपने नए चेहरे को छूना।"),
    ("bn", "নাক ও মুখ স্পর্শ করবেন।"),
    ("vi", "Chạm vào mặt."),
    ("tl", "Hawakan ang mukha sa kaliwa."),
    ("so", "Taabo wejigaaga hadda."),
    ("am", "አይንዎን ይንኩ፤ በአልኮል ያጽዱ።"),
    ("th", "สัมผัสใบหน้า"),
    ("ko", "얼굴을 만지십시오."),
]


@pytest.mark.parametrize(("tag", "text"), KEPT)
def test_kept(tag, text):
    assert not loses_a_negation(SOURCE, "en", text, tag)


@pytest.mark.parametrize(("tag", "text"), LOST)
def test_lost(tag, text):
    assert loses_a_negation(SOURCE, "en", text, tag)


WITHOUT = "Do not go in without the full set."
TWICE = [
    ("es", "No entre sin el equipo completo."),
    ("fr", "N’entrez pas sans la tenue complète."),
    ("fr", "N’entrez qu’avec la tenue complète."),
    ("pt", "Não entre sem o equipamento completo."),
    ("de", "Betreten Sie den Raum nicht ohne die ganze Ausrüstung."),
    ("pl", "Nie wchodź bez pełnego zestawu."),
    ("uk", "Не заходьте без повного комплекту."),
    ("ru", "Не входите без полного комплекта."),
    ("ru", "Не входите, кроме как в полном комплекте."),
    ("ar", "لا تدخل من دون الطقم الكامل."),
    ("ar", "لا تدخل إلا بالطقم الكامل."),
    ("fa", "بدون پوشش کامل وارد نشوید."),
    ("ur", "مکمل سیٹ کے بغیر اندر نہ جائیں۔"),
    ("hi", "पूरा सेट पहने बिना अंदर न जाएँ।"),
    ("bn", "পুরো সেট ছাড়া ভেতরে যাবেন না।"),
    ("zh-Hans", "未穿戴全套防护用品，不得进入。"),
    ("zh-Hans", "除非穿戴全套防护用品，不得进入。"),
    ("zh-Hant", "未穿戴全套防護裝備，請勿進入。"),
    ("vi", "Không vào khi chưa mang đủ bộ."),
    ("tl", "Huwag pumasok nang walang kumpletong suot."),
    ("so", "Ha gelin adigoon xiran xirmada oo dhan."),
    ("am", "ሙሉ ስብስቡን ሳይለብሱ አይግቡ።"),
    ("am", "ሙሉ ስብስቡን ካልለበሱ አይግቡ።"),
    ("th", "ห้ามเข้าโดยไม่สวมชุดครบ"),
    ("ko", "모두 착용하지 않고 들어가지 마십시오."),
]


@pytest.mark.parametrize(("tag", "text"), TWICE)
def test_not_without_takes_two_words_of_denial(tag, text):
    """And a translation that kept only its word for "without" lost the prohibition."""
    assert not loses_a_negation(WITHOUT, "en", text, tag)
    assert prohibitions(WITHOUT, "en", text, tag)[0] == 2


@pytest.mark.parametrize(
    ("tag", "text"),
    [
        ("es", "Entre sin el equipo completo."),
        ("fr", "Entrez sans la tenue complète."),
        ("ru", "Входите без полного комплекта."),
        ("ar", "ادخل من دون الطقم الكامل."),
        ("hi", "पूरा सेट पहने बिना अंदर जाएँ।"),
        ("zh-Hans", "未穿戴全套防护用品，进入。"),
        ("am", "ሙሉ ስብስቡን ሳይለብሱ ይግቡ።"),
        ("so", "Gal adigoon xiran xirmada oo dhan."),
        ("ko", "모두 착용하지 않고 들어가십시오."),
    ],
)
def test_without_alone_forbids_nothing(tag, text):
    assert loses_a_negation(WITHOUT, "en", text, tag)


@pytest.mark.parametrize(
    ("tag", "kept", "lost"),
    [
        ("es", "No toque la cara ni la mascarilla.", "Toque la cara ni la mascarilla."),
        ("pt", "Não toque no rosto nem na máscara.", "Toque no rosto nem na máscara."),
        ("fr", "Ne touchez ni le visage ni le masque.", "Touchez ni le visage ni le masque."),
        ("so", "Ha taaban wejiga, hana taaban.", "Taaban wejiga, hana taaban."),
    ],
)
def test_a_word_that_carries_on_needs_one_before_it(tag, kept, lost):
    source = "Do not touch the face or the mask."

    assert not loses_a_negation(source, "en", kept, tag)
    assert loses_a_negation(source, "en", lost, tag)
    assert not loses_a_negation("Wait, and do not touch it.", "en", "Sug, hana taaban.", "so")


def test_each_sentence_that_forbids_needs_a_word():
    source = "Do not shake it. Never put it down."

    assert not loses_a_negation(source, "en", "No lo sacuda. Nunca lo deje.", "es")
    assert not loses_a_negation(source, "en", "No lo sacuda ni lo deje.", "es")
    assert loses_a_negation(source, "en", "No lo sacuda. Déjelo.", "es")
    assert not loses_a_negation("Do not shake it. Put it down.", "en", "No lo sacuda.", "es")


def test_every_language_is_judged():
    bases = {tag.partition("-")[0] for tag in SUPPORTED}

    assert bases <= set(NEGATION)
    assert bases - {"en"} <= {tag.partition("-")[0] for tag, _ in KEPT}
    assert bases - {"en"} <= {tag.partition("-")[0] for tag, _ in LOST}
    assert bases - {"en"} <= {tag.partition("-")[0] for tag, _ in TWICE}


@pytest.mark.parametrize(
    ("written_in", "order", "description"),
    [
        ("en", "Never shake it out.", "Rub until no soap is left."),
        ("es", "No lo sacuda.", "Frote bien."),
        ("fr", "Ne la secouez pas.", "Frottez bien."),
        ("pt", "Não a sacuda.", "Esfregue bem."),
        ("de", "Schütteln Sie ihn nicht.", "Reiben Sie gut."),
    ],
)
def test_only_prohibitions_are_judged(written_in, order, description):
    assert set(FORBIDDING) >= {written_in}
    assert loses_a_negation(order, written_in, "Потрясите его.", "ru")
    assert not loses_a_negation(description, written_in, "Потрясите его.", "ru")


def test_a_language_without_a_list_is_not_judged():
    assert not loses_a_negation(SOURCE, "en", "Touch.", "xx")
    assert not loses_a_negation("Usiguse uso.", "sw", "Touch.", "es")


def test_letters_written_in_two_ways_are_the_same():
    """Unicode Standard Annex 15: composed and decomposed letters are canonically equivalent."""
    assert not loses_a_negation(
        SOURCE, "en", "Kho\u0302ng cha\u0323m va\u0300o ma\u0306\u0323t.", "vi"
    )
    assert not loses_a_negation(SOURCE, "en", "স্পর্শ করা নিষেধ।", "bn")
    assert not loses_a_negation(SOURCE, "en", "এড়িয়ে চলুন।", "bn")
