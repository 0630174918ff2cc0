"""The wall poster as it lies on the page: looked at by pdfium, zxing and its own box positions."""

import io
from itertools import combinations

import pikepdf
import pypdfium2
import pytest
import zxingcpp

from compiler.layout.legibility import FLOOR
from compiler.layout.paper import PAPERS
from compiler.model.protocol import Discard, Hygiene, every_step
from compiler.products.poster import poster
from tests.printing.making import pdfium, plain
from tests.printing.posters import CODE, LINK, NAMES, made, order, sheet, small

POINT = 25.4 / 72
LANGUAGES = ("en", "ar", "zh-Hans", "hi")
SHEETS = [(name, language) for name in NAMES for language in LANGUAGES]
some_sheets = pytest.mark.parametrize(("name", "language"), SHEETS)
NEAR = 0.2
"""Millimetres: two edges this close are one to the eye; common practice, no source."""


def named(found):
    return {block.name: block for block in found.blocks if block.name}


def with_class(found, *wanted):
    return [block for block in found.blocks if set(wanted) <= set(block.classes)]


def ink(text):
    """Roughly where the letters of a text box are, as left, top, right, bottom.

    A box reaches from ascent to descent of its font, so boxes of neighbouring lines may overlap
    while letters do not.
    """
    middle, half = text.top + text.height / 2, 0.3 * text.size * POINT
    return text.left, middle - half, text.left + text.width, middle + half


def printed(found):
    return [text for text in found.texts if "draft" not in text.classes]


# --- the page ---------------------------------------------------------------------------------


@some_sheets
def test_one_page_of_the_paper_asked_for(name, language):
    found = sheet(name, language)
    with pikepdf.open(io.BytesIO(found.pdf)) as document:
        assert len(document.pages) == 1
        left, bottom, right, top = map(float, document.pages[0].MediaBox)
    paper = PAPERS["A2"]
    assert sorted(((right - left) * POINT, (top - bottom) * POINT)) == pytest.approx(
        [paper.width, paper.height], abs=0.1
    )


@some_sheets
def test_nothing_leaves_the_page_or_its_margin(name, language):
    found = sheet(name, language)
    paper, margin = found.plan.paper, found.plan.margin
    edges = [(ink(text), text) for text in printed(found)]
    edges += [
        ((box.left, box.top, box.left + box.width, box.bottom), box)
        for box in found.blocks
        if "draft" not in box.classes and box.element not in {"html", "body"}
    ]
    for (left, top, right, bottom), box in edges:
        assert left >= margin - NEAR, box
        assert right <= paper.width - margin + NEAR, box
        assert top >= margin - NEAR, box
        assert bottom <= paper.height - margin + NEAR, box


@some_sheets
def test_no_words_lie_on_others(name, language):
    texts = printed(sheet(name, language))
    for one, other in combinations(texts, 2):
        a, b = ink(one), ink(other)
        across = min(a[2], b[2]) - max(a[0], b[0])
        down = min(a[3], b[3]) - max(a[1], b[1])
        assert across < NEAR or down < NEAR, (one.text, other.text)


@some_sheets
def test_the_paths_end_above_the_foot_and_fill_the_page(name, language):
    found = sheet(name, language)
    boxes = named(found)
    ends = [box.bottom for key, box in boxes.items() if key.startswith("column-")]
    assert max(ends) <= boxes["foot"].top
    assert boxes["foot"].top - max(ends) < found.plan.paper.height / 30


def test_the_estimate_is_good_enough_to_lay_out_twice_at_most():
    layouts = [sheet(name, language).report.layouts for name, language in SHEETS]
    assert sum(layouts) / len(layouts) <= 2


# --- the words --------------------------------------------------------------------------------


@pytest.mark.parametrize("language", ["en", "zh-Hans"])
@pytest.mark.parametrize("name", NAMES)
def test_every_word_of_the_protocol_is_on_the_wall(name, language):
    """Read back by pdfium. That scripts with shaping read back is tested for the writer."""
    wanted = order(name, language)
    text = plain(pdfium(sheet(name, language).pdf))
    for part in wanted.protocol.parts:
        for step in every_step(part.steps):
            for words in (step.lead, step.detail, *step.cautions):
                assert plain(words) in text
            for branch in step.fork.branches if step.fork else ():
                assert plain(branch.lead) in text
    says = wanted.words.say
    footer = [
        says(
            "Follow your facility's policy. Training, fit testing and a trained observer come first."
        ),
        wanted.clinic.name,
        wanted.clinic.contact,
        wanted.protocol.title,
        wanted.protocol.valid_from.isoformat(),
        wanted.protocol.review_by.isoformat(),
        CODE,
        wanted.words.own_name,
        "A2",
    ]
    for words in footer:
        assert plain(words) in text


@some_sheets
def test_hand_hygiene_is_never_lost(name, language):
    """As many bands as the protocol has phrases for hand hygiene, counted apart."""
    parts = order(name, language).protocol.parts
    phrases = [p for part in parts for step in every_step(part.steps) for p in step.phrases]
    wanted = sum(isinstance(phrase, Hygiene) for phrase in phrases)
    assert len(with_class(sheet(name, language), "band")) == wanted


def test_draft_and_unreviewed_are_said_and_nothing_else_moves():
    final, draft = sheet("rapid-entry"), sheet("rapid-entry", draft=True, reviewed=False)
    assert "DRAFT" not in pdfium(final.pdf)
    assert "DRAFT" in pdfium(draft.pdf)
    assert "Draft: not approved for use" in pdfium(draft.pdf)
    assert "Translation not yet reviewed" in pdfium(draft.pdf)
    assert len([text for text in draft.texts if "draft" in text.classes]) == 1


def test_draft_lies_under_the_words():
    """The pale word covers much of the sheet, and everything else is painted over it."""
    draft = sheet("rapid-entry", draft=True)
    painted = pdfium(draft.pdf)
    assert painted.index("DRAFT") < painted.index("Tern Island")
    picture = pypdfium2.PdfDocument(draft.pdf)[0].render(scale=1).to_pil().convert("L")
    tones = picture.histogram()
    pale = sum(tones[230:245])
    assert pale > 0.03 * sum(tones)


@pytest.mark.parametrize("paper", ["A4", "A2"])
@pytest.mark.parametrize("language", ["en", "ar"])
def test_the_qr_code_reads(paper, language):
    """Read by zxing at the resolution of an office scanner."""
    found = sheet("spore-contact-room", language, paper=paper)
    picture = pypdfium2.PdfDocument(found.pdf)[0].render(scale=150 / 72).to_pil()
    assert [code.text for code in zxingcpp.read_barcodes(picture)] == [LINK]


def test_markup_in_a_protocol_is_only_words():
    body = (
        (
            "\n# Off `doffing in bay`\n\n1. **Put on {{ 7 * 7 }} & more.** Not <b>bold</b> {% if %}."
            " `wear gown`\n2. **Take off the gown.** `remove gown` `discard gown`\n"
        )
        .replace("<b>", "\\<b>")
        .replace("</b>", "\\</b>")
    )
    text = plain(pdfium(poster(small(body)).poster.pdf))
    assert plain("Put on {{ 7 * 7 }} & more.") in text
    assert plain("Not <b>bold</b> {% if %}.") in text


def test_a_word_wider_than_its_column_stays_inside():
    word = "Desinfektionsmittelunverträglichkeitsbescheinigungsverfahren"
    answers = "".join(
        f"   - **{word}.** `if {answer}`\n     1. **{word}.** {word}\n"
        for answer in ("yes", "no")
    )
    body = f"\n# Off `doffing in bay`\n\n1. **Is it?** `decide size`\n{answers}"
    body += "2. **Put on.** `wear gown`\n3. **Take off.** `remove gown` `discard gown`\n"
    found = poster(small(body, paper="A4")).poster
    frames = with_class(found, "way")
    assert len(frames) == 2
    inside = [t for t in printed(found) if t.text.strip() and t.text.strip("-\u2010. ") in word]
    assert len(inside) >= 6
    for text in inside:
        assert any(
            f.left - NEAR <= text.left and text.left + text.width <= f.left + f.width + NEAR
            for f in frames
        ), text


# --- the shape --------------------------------------------------------------------------------


@some_sheets
def test_bands_cross_the_whole_path(name, language):
    """From the rail to the far edge of the column, or across the whole answer of a fork."""
    found = sheet(name, language)
    columns = [box for key, box in named(found).items() if key.startswith("column-")]
    edge = 0.12 * found.plan.base + NEAR  # inside the frame of an answer
    edges = [(c.left, c.left + c.width) for c in columns]
    edges += [(w.left, w.left + w.width) for w in with_class(found, "way")]
    for band in with_class(found, "band"):
        assert any(
            abs(band.left - left) < edge and abs(band.left + band.width - right) < edge
            for left, right in edges
        ), band


@some_sheets
def test_one_path_down_each_column(name, language):
    """Numbers stand below one another, in order: never a zigzag."""
    found = sheet(name, language)
    for key, column in named(found).items():
        if not key.startswith("column-"):
            continue
        inside = [
            number
            for number in with_class(found, "number")
            if column.left - 1 <= number.left <= column.left + column.width
            and not any(_within(number, way) for way in with_class(found, "way"))
        ]
        assert len({round(number.left + number.width, 0) for number in inside}) <= 4
        tops = [number.top for number in inside]
        assert tops == sorted(tops)


def _within(box, frame):
    return (
        frame.left - NEAR <= box.left <= frame.left + frame.width
        and frame.top - NEAR <= box.top <= frame.bottom
    )


@some_sheets
def test_answers_stand_side_by_side_and_join_below(name, language):
    found = sheet(name, language)
    rows = with_class(found, "ways", "beside")
    for ways in rows:
        frames = [way for way in with_class(found, "way") if _within(way, ways)]
        outer = [f for f in frames if abs(f.top - ways.top) < NEAR]
        assert len(outer) >= 2
        assert max(f.bottom for f in outer) - min(f.bottom for f in outer) < NEAR
        for one, other in combinations(outer, 2):
            apart = max(one.left, other.left) - min(
                one.left + one.width, other.left + other.width
            )
            assert apart > 1
        below = [j for j in with_class(found, "join") if abs(j.top - ways.bottom) < NEAR]
        for join in below:
            assert join.left == pytest.approx(ways.left, abs=NEAR)
            assert join.width == pytest.approx(ways.width, abs=NEAR)
    assert rows or name == "high-consequence"


def test_arabic_is_the_mirror_image():
    """The order across the page, not only the letters: donning right, rail right, text left."""
    found = sheet("airborne-room", "ar")
    boxes = named(found)
    assert boxes["column-1"].left > boxes["column-2"].left + boxes["column-2"].width
    for rail in with_class(found, "rail"):
        column = next(
            c
            for c in (boxes["column-1"], boxes["column-2"])
            if c.left - 1 < rail.left < c.left + c.width
        )
        assert rail.left + rail.width == pytest.approx(column.left + column.width, abs=NEAR)
    english = sheet("airborne-room", "en")
    for each, sign in ((found, -1), (english, 1)):
        for step in with_class(each, "step"):
            parts = [b for b in each.blocks if _within(b, step) and b.top < step.bottom]
            number = next(b for b in parts if "number" in b.classes)
            text = next(b for b in parts if "text" in b.classes and b.left != number.left)
            assert (text.left - number.left) * sign > 0


def test_numbers_with_units_keep_their_order_in_arabic():
    found = sheet("airborne-room", "ar")
    text = "".join(t.text for t in found.texts)
    assert CODE in text
    assert "2026-11-01" in text


def test_rails_tell_every_area():
    """A rail for each stretch, its label in words, and a door wherever people cross."""
    found = sheet("airborne-room")
    rails, labels = with_class(found, "rail"), with_class(found, "area")
    assert len(rails) == len(labels)
    assert len(with_class(found, "door")) == sum(
        step_goes(step)
        for part in order("airborne-room").protocol.parts
        for step in every_step(part.steps)
    )
    for rail, label in zip(rails, labels, strict=True):
        zone = {"clean", "transition", "contaminated"} & set(rail.classes)
        assert zone <= set(label.classes)
        assert rail.top <= label.top <= rail.bottom
    words = " ".join(text.text for text in found.texts)
    for area in ("clean area", "transition area", "contaminated area"):
        assert area in words


def step_goes(step):
    return any(type(phrase).__name__ == "Go" for phrase in step.phrases)


def test_cautions_have_a_frame_and_a_sign():
    found = sheet("high-consequence")
    cautions = [
        words
        for part in order("high-consequence").protocol.parts
        for step in every_step(part.steps)
        for words in step.cautions
    ]
    frames = with_class(found, "caution")
    assert len(frames) == len(cautions)
    for frame in frames:
        assert any("sign" in b.classes and _within(b, frame) for b in found.blocks)


def test_three_sizes_and_two_weights():
    for name, language in SHEETS:
        texts = printed(sheet(name, language))
        assert len({round(text.size, 1) for text in texts}) == 3
        assert {text.weight for text in texts} == {400, 700}


# --- the size ---------------------------------------------------------------------------------


@pytest.mark.parametrize("language", ["en", "hi", "zh-Hans"])
def test_letters_are_as_tall_as_the_report_says(language):
    """Measured on the page by pdfium: the tight box of letters of the leads."""
    from compiler.layout.letters import CAPITALS, TYPICAL

    found = sheet("rapid-entry", language)
    wanted = {"en": CAPITALS, "hi": TYPICAL["Deva"], "zh-Hans": TYPICAL["Hans"]}[language]
    page = pypdfium2.PdfDocument(found.pdf)[0]
    text = page.get_textpage()
    size = found.report.leads.points
    heights = []
    for i in range(text.count_chars()):
        if text.get_text_range(i, 1) not in wanted:
            continue
        _, bottom, _, top = text.get_charbox(i)
        loose = text.get_charbox(i, loose=True)
        if abs((loose[3] - loose[1]) / size - _line(language)) < 0.08:
            heights.append((top - bottom) * POINT)
    assert len(heights) >= 5
    heights.sort()
    middle = heights[len(heights) // 2]
    assert middle == pytest.approx(
        found.report.leads.letter, rel=0.12 if language != "en" else 0.03
    )


def _line(language):
    """Ascent and descent of the main face, as the font file has them: what `loose` boxes span."""
    import uharfbuzz

    from compiler.layout.fonts import faces_for, opened

    face = opened(faces_for(language).order[0].bold)
    extents = uharfbuzz.Font(face).get_font_extents("ltr")
    return (extents.ascender - extents.descender) / face.upem


@some_sheets
def test_the_example_can_be_read_from_where_the_clinic_asks(name, language):
    report = sheet(name, language).report
    assert report.leads.minutes >= FLOOR - 1e-6
    assert report.details.minutes >= FLOOR - 1e-6
    assert made(name, language).findings == ()


def test_more_paper_means_larger_letters():
    sizes = [sheet("rapid-entry", paper=p).report.details.points for p in ("A4", "A3", "A2")]
    assert sizes == sorted(sizes)
    assert sizes[0] < sizes[-1]


def test_the_better_way_up_is_chosen():
    free = sheet("rapid-entry", paper="A3").report.details.points
    forced = [
        sheet("rapid-entry", paper="A3", orientation=way).report.details.points
        for way in ("portrait", "landscape")
    ]
    assert free >= max(forced) / 1.05


def test_too_small_is_found_and_the_larger_paper_cures_it():
    (finding,) = made("airborne-room", paper="A3").findings
    assert finding.rule.slug == "text-too-small"
    assert "print it on A2" in finding.remedy
    assert made("airborne-room", paper="A2").findings == ()


def test_a_sheet_for_each_part_cures_it():
    (finding,) = made("high-consequence", paper="A3").findings
    assert "putting on and taking off on a sheet each" in finding.remedy
    for part in ("donning", "doffing"):
        assert made("high-consequence", paper="A3", parts=part).findings == ()


def long_detail(words, steps):
    lines = ["\n# On `donning in change room`\n"]
    for i in range(1, steps + 1):
        detail = " ".join(["slowly"] * words)
        act = {1: "`wear gown`", 2: "`remove gown` `discard gown`"}.get(i, "")
        lines.append(f"{i}. **Do the thing.** {detail.capitalize()}. {act}")
    return "\n".join(lines) + "\n"


def test_doing_without_the_words_named_cures_it():
    found = poster(small(long_detail(30, 9), paper="A4"))
    (finding,) = found.findings
    assert "do without the details of these steps" in finding.remedy
    numbers = finding.remedy.rpartition("”")[2]
    gone = {int(number) for number in numbers.replace(",", " ").split()}
    lines = long_detail(30, 9).splitlines()
    shorter = []
    for line in lines:
        number = line.partition(".")[0]
        if number.isdigit() and int(number) in gone:
            head, _, tail = line.partition("Slowly")
            line = head + tail[tail.index(". ") + 2 :] if ". " in tail else head
        shorter.append(line)
    assert poster(small("\n".join(shorter) + "\n", paper="A4")).findings == ()


def test_what_cannot_be_read_even_in_the_hand_is_not_printed():
    found = poster(small(long_detail(160, 60), paper="A4"))
    assert found.poster is None
    (finding,) = found.findings
    assert finding.rule.slug == "sheet-overfull"
    assert finding.rule.level.value == "must fix"


def test_a_few_steps_on_a_large_sheet_stay_calm():
    """Words no larger than 45 minutes of arc (NUREG-0700), and enough of them to a line."""
    found = poster(small(long_detail(6, 3), paper="A1")).poster
    assert found.report.leads.minutes <= 45.01
    assert min(found.plan.widths) >= 25


# --- the file ---------------------------------------------------------------------------------


def test_the_same_order_gives_the_same_bytes():
    again = poster(order("rapid-entry", "ar")).poster
    assert again.pdf == sheet("rapid-entry", "ar").pdf


@pytest.mark.parametrize("language", ["en", "ar", "hi"])
def test_the_file_is_small(language):
    for name in NAMES:
        assert len(sheet(name, language).pdf) <= 120_000


def test_one_part_alone():
    found = sheet("rapid-entry", parts="doffing")
    text = pdfium(found.pdf)
    parts = {
        part.begin.activity.value: part.title for part in order("rapid-entry").protocol.parts
    }
    assert parts["doffing"] in text
    assert parts["donning"] not in text
    assert len(found.plan.widths) == 1
    assert any(
        isinstance(phrase, Discard)
        for part in order("rapid-entry").protocol.parts
        for step in every_step(part.steps)
        for phrase in step.phrases
    )


def test_a_letter_without_a_font_stops_the_sheet():
    """U+13000 is an Egyptian hieroglyph; no face of an English sheet draws it."""
    body = "\n# On `donning in bay`\n\n1. **Put on \U00013000.** `wear gown`\n"
    body += "2. **Take off.** `remove gown` `discard gown`\n"
    found = poster(small(body))
    assert found.poster is None
    assert [finding.rule.slug for finding in found.findings] == ["letter-without-font"]
    assert "U+13000" in found.findings[0].message
