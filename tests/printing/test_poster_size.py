"""The type size of the wall poster: measured, reported, and cured when it is too small."""

import pypdfium2
import pytest
import uharfbuzz

from compiler.layout.fonts import faces_for, opened
from compiler.layout.legibility import FLOOR
from compiler.layout.letters import CAPITALS, TYPICAL
from compiler.products.poster import poster
from tests.printing.making import pdfium
from tests.printing.posters import (
    NAMES,
    POINT,
    made,
    order,
    sheet,
    small,
    some_sheets,
)


@pytest.mark.parametrize("language", ["en", "hi", "zh-Hans"])
def test_letters_are_as_tall_as_the_report_says(language):
    """Measured on the page by pdfium: the tight box of letters of the leads."""
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


def test_the_paper_named_cures_it():
    (finding,) = made("high-consequence", paper="A3").findings
    assert finding.remedy == "print it on A2 (420 × 594 mm)"
    assert made("high-consequence", paper="A2").findings == ()


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


def test_a_letter_without_a_font_stops_the_sheet():
    """U+13000 is an Egyptian hieroglyph; no face of an English sheet draws it."""
    body = "\n# On `donning in bay`\n\n1. **Put on \U00013000.** `wear gown`\n"
    body += "2. **Take off.** `remove gown` `discard gown`\n"
    found = poster(small(body))
    assert found.poster is None
    assert [finding.rule.slug for finding in found.findings] == ["letter-without-font"]
    assert "U+13000" in found.findings[0].message
