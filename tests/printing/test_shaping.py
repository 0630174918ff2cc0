"""Widths and line counts that we reckon are those that the layout engine (Pango) comes to."""

from __future__ import annotations

import pytest
import uharfbuzz

from compiler.layout.breaking import pieces
from compiler.layout.fonts import Faces, faces_for
from compiler.layout.shaping import Shaper
from compiler.products.boxes import TextBox
from compiler.products.pdf import Laid, Press, word_ends
from tests.printing.making import HERE, SENTENCES, cut_for, lay, page, style

POINT = 25.4 / 72
"""Millimetres."""


def share_out_of_width(language: str, laid: Laid) -> float:
    """The part of the text boxes that are not as wide as HarfBuzz makes them, within 0.5 %.

    HarfBuzz sets them in the fonts as installed, not in the cuts that the sheet is made with.
    """
    shaper = Shaper(faces_for(language))

    def wrong(box: TextBox) -> bool:
        own = shaper.width(box.text, box.size, box.weight) * POINT
        return abs(own - box.width) > 0.005 * own

    return sum(map(wrong, laid.texts)) / len(laid.texts)


@pytest.mark.parametrize("weight", [400, 700])
@pytest.mark.parametrize("language", SENTENCES)
def test_every_text_box_is_as_wide_as_harfbuzz_makes_it(language: str, weight: int) -> None:
    more = f"@page {{ size: 70mm 900mm }} body {{ font-weight: {weight} }}"
    _, laid = lay(language, SENTENCES[language], more)
    assert len(laid.texts) >= 2
    assert share_out_of_width(language, laid) == 0


def test_letters_that_do_not_join_are_found() -> None:
    """A style sheet can part Arabic letters, and the text still reads back right."""
    parted = 'body { font-feature-settings: "init" 0, "medi" 0, "fina" 0 }'
    _, laid = lay("ar", SENTENCES["ar"], parted)
    assert laid.obstacles == ()
    assert share_out_of_width("ar", laid) > 0.5


@pytest.mark.parametrize(
    ("language", "word"),
    [("en", "office"), ("ar", "الإبهام"), ("hi", "स्वच्छ"), ("zh-Hans", "清洁")],
)
def test_a_word_is_as_wide_as_the_font_file_says(language: str, word: str) -> None:
    """By HarfBuzz directly on the file that Debian installs, past all of our own choices."""
    face = faces_for(language).order[0]
    blob = uharfbuzz.Blob.from_file_path(str(face.regular.path))
    font = uharfbuzz.Font(uharfbuzz.Face(blob, face.regular.index))
    buffer = uharfbuzz.Buffer()
    buffer.add_str(word)
    buffer.guess_segment_properties()
    uharfbuzz.shape(font, buffer)
    width = sum(place.x_advance for place in buffer.glyph_positions) / font.face.upem
    assert Shaper(faces_for(language)).width(word, 10) == pytest.approx(10 * width)


def test_the_order_of_the_font_list_does_not_matter() -> None:
    """No character is in two cuts, so the engine has no choice; shaping knows the same."""
    sentence = "ضع الكمامة N95 (مقاس M) ثم افحص → ✓ 3.5 %"
    faces, cuts = cut_for("ar", sentence)
    turned = Faces("ar", faces.order[::-1])
    assert turned.families != faces.families
    first, second = (
        Press(cuts, {"theme": HERE}).layout(page("ar", f"<p>{sentence}</p>"), [style(order)])
        for order in (faces, turned)
    )
    assert first.obstacles == second.obstacles == ()
    assert [(b.text, b.left, b.width) for b in first.texts] == [
        (b.text, b.left, b.width) for b in second.texts
    ]


@pytest.mark.parametrize("language", SENTENCES)
def test_line_counts_are_those_of_the_engine(language: str) -> None:
    """At ten widths of column; Thai words are those of Pango's own list."""
    shaper = Shaper(faces_for(language), word_ends)
    text = " ".join(SENTENCES[language] * 2)
    for width in range(24, 84, 6):
        more = f"@page {{ size: {width + 20}mm 2000mm }} p {{ margin: 0 }}"
        _, laid = lay(language, [text], more)
        (paragraph,) = [block for block in laid.blocks if block.element == "p"]
        lines = round(paragraph.height / (12 * 1.6 * POINT))
        reckoned = shaper.line_count(text, 12, 400, width / POINT, language)
        assert lines == reckoned, width


HARD = [
    "self-check, well-known",
    "20-30 seconds",
    "and/or, he/she",
    "20–30 Sekunden – fertig",
    "hand—rub",
    "on\u00a0gloves, 5\u00a0min",
    "戴好N95口罩（两层）。",
    "“口罩”戴好，‘手套’也好",
    "37℃以上，50%的人；5…6层",
    "手套、面罩・ゴーグルをつけてください。",
    "버린다(쓰레기통). 20~30초",
]


@pytest.mark.parametrize("text", HARD)
def test_lines_break_only_where_the_engine_breaks_them(text: str) -> None:
    """In a column of no width every line is one piece; the lines are Pango's."""
    language = "zh-Hans" if any(c >= "\u3000" for c in text) else "en"
    _, laid = lay(language, [text], "@page { size: 21mm 900mm }")
    ours = [piece for piece, _ in pieces(text, language)]
    assert ours == [box.text.strip() for box in laid.texts]


def test_no_white_space_is_lost_between_pieces() -> None:
    text = "Clean  your\nhands,\tthen wait"
    assert "".join(word + space for word, space in pieces(text, "en")) == " ".join(text.split())
    assert list(pieces("  ", "en")) == []
