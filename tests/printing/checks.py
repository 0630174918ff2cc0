"""What may be wrong with a sheet in any language, told in words: nothing, or a list."""

from __future__ import annotations

import io
import unicodedata
from collections import Counter
from collections.abc import Iterator
from dataclasses import replace
from functools import lru_cache
from itertools import pairwise

import pikepdf
import uharfbuzz

from compiler.layout.font_files import FontFile
from compiler.layout.fonts import faces_for
from compiler.layout.shaping import Shaper
from compiler.model.protocol import every_step
from compiler.products.boxes import BlockBox, TextBox
from tests.printing.compact import REVIEWED, Sheet, wanted
from tests.printing.foreign import TEMPERATURE, phone_in
from tests.printing.making import LEFTWARD, pdfium, plain, poppler
from tests.printing.seen import seen_lines

POINT = 25.4 / 72
AS_PRINTED = str.maketrans({"\ufffe": "-", **dict.fromkeys("(){}", "|")})
"""pdfium has a sign of its own for a hyphen that ends a line; readers disagree on which way a
bracket faces from right to left."""


# --- letters


def missing_glyphs(found: Sheet) -> Iterator[str]:
    """Glyph 0, which every font draws for what it lacks, is in none of the lines of the PDF.

    ISO 32000-1, 9.7: with the encoding Identity-H a text is a row of glyph numbers of two bytes.
    """
    with pikepdf.open(io.BytesIO(found.pdf)) as pdf:
        streams = list(pdf.pages)
        forms = [o for o in pdf.objects if isinstance(o, pikepdf.Stream)]
        streams += [form for form in forms if form.get("/Subtype") == "/Form"]
        encodings = {str(o.Encoding) for o in pdf.objects if _is_font(o)}
        numbers = [number for stream in streams for number in _glyphs(stream)]
    if encodings != {"/Identity-H"} or len(numbers) < 100:
        yield f"no glyphs to look at: {encodings}, {len(numbers)}"
    if 0 in numbers:
        yield f"{numbers.count(0)} glyphs are missing"


def _is_font(thing: pikepdf.Object) -> bool:
    return isinstance(thing, pikepdf.Dictionary) and thing.get("/Subtype") == "/Type0"


def _glyphs(stream) -> Iterator[int]:
    for operands, operator in pikepdf.parse_content_stream(stream):
        if str(operator) not in ("Tj", "TJ"):
            continue
        shown = operands[0] if str(operator) == "TJ" else [operands[0]]
        for piece in shown:
            if isinstance(piece, pikepdf.String):
                data = bytes(piece)
                yield from (data[i] << 8 | data[i + 1] for i in range(0, len(data), 2))


def unread(found: Sheet) -> Iterator[str]:
    """All catalogues' texts read back from the PDF, and every sign that was laid out.

    In the normal form of `plain`: NFKC, no white space, no format characters. From right to left
    the readers put several numbers of one line in an order of their own, so there letters are
    compared in order, and all signs as a bag.
    """
    read = pdfium(found.pdf)
    # pdfium swaps lines of Nastaliq that reach into each other; poppler may vouch for them
    both = read + poppler(found.pdf)
    for text in wanted(found):
        if not reads(text, both, found.language) and not _by_lines(text, both, found):
            yield text
    laid = "".join(box.text for box in found.texts)
    there, due = (Counter(plain(text.translate(AS_PRINTED))) for text in (read, laid))
    if there != due:
        yield f"read {there - due}, laid out {due - there}"


def _by_lines(text: str, read: str, found: Sheet) -> bool:
    """Beside other columns a reader may take the columns line by line."""
    if found.kind not in REVIEWED:
        return False
    if found.language in LEFTWARD:  # and line by line in either direction
        return all(letters(word) in letters(read) for word in text.split())
    lines = lines_of(found.texts, text)
    return bool(lines) and all(reads(line.text, read, found.language) for line in lines)


def reads(text: str, whole: str, language: str) -> bool:
    """Whether a text stands in a text that was read back."""
    if language not in LEFTWARD:
        return plain(text.translate(AS_PRINTED)) in _plain(whole)
    return letters(text) in letters(whole)


@lru_cache(maxsize=8)
def _plain(whole: str) -> str:
    return plain(whole.translate(AS_PRINTED))


@lru_cache(maxsize=64)
def letters(text: str) -> str:
    return "".join(sign for sign in plain(text) if sign.isalpha())


def out_of_width(found: Sheet) -> Iterator[str]:
    """Every text box is as wide as HarfBuzz makes it in the fonts as installed, within 0.5 %.

    A space between letters of two fonts may come from either, and one that forbids a break may
    be drawn as a plain one: it is as wide as any of these.
    """
    faces = faces_for(*found.tags)
    shaper = Shaper(faces)
    spaces = [width for face in faces.order for width in _spaces(face.regular)]
    for box in found.texts:
        own = shaper.width(box.text, box.size, box.weight) * POINT
        either = (max(spaces) - min(spaces)) * box.size * POINT
        if abs(own - box.width) > 0.005 * own + either * sum(map(str.isspace, box.text)):
            yield f"{box.text!r}: {box.width:.2f} mm, HarfBuzz {own:.2f} mm"


def _spaces(file: FontFile) -> Iterator[float]:
    """How wide a font has its spaces, in ems: as they come, and as Korean has them."""
    face = uharfbuzz.Face(uharfbuzz.Blob.from_file_path(str(file.path)), file.index)
    font = uharfbuzz.Font(face)
    for sign in " \u00a0":
        yield font.get_glyph_h_advance(font.get_nominal_glyph(ord(sign)) or 0) / face.upem
    buffer = uharfbuzz.Buffer()
    buffer.add_str("a ")
    buffer.guess_segment_properties()
    buffer.language = "ko"
    uharfbuzz.shape(font, buffer)
    yield buffer.glyph_positions[1].x_advance / face.upem


# --- lines

NOT_FIRST = frozenset("、。，．：；？！）〕】》」』〉”’…%,.:;?!)]។៕።፣፤፡।॥؟،؛۔ๆฯะาำ")
"""Closing marks, and Thai signs that follow their consonant: none begins a line.

W3C, Requirements for Chinese Text Layout, section 3.1.9; Unicode Standard Annex 14, classes CL,
CP, EX, IS and CM; from memory.
"""
NOT_LAST = frozenset("（〔【《「『〈“‘([¿¡เแโใไ")
"""Opening marks, and Thai vowels written before their consonant: none ends a line."""
UNDIVIDED = ("zh", "th", "ko")


def ill_broken(found: Sheet) -> Iterator[str]:
    """Lines end between words where words are divided; a word that fits a line is not broken."""
    shaper = Shaper(faces_for(*found.tags))
    for text in wanted(found):
        for before, after in pairwise(lines_of(found.texts, text)):
            if _ill(before, after, text, found.language, shaper):
                yield f"{before.text} | {after.text}"


def _ill(before: TextBox, after: TextBox, text: str, language: str, shaper: Shaper) -> bool:
    if after.text[0] in NOT_FIRST or before.text[-1] in NOT_LAST:
        return True
    if unicodedata.category(after.text[0]).startswith("M"):
        return True
    word = before.text.split()[-1]
    if language.partition("-")[0] in UNDIVIDED:
        return False
    if word in {*text.split(), *text.replace("-", "- ").split()}:
        return False
    whole = next(each for each in text.split() if word in each)
    return shaper.width(whole, before.size, before.weight) * POINT <= before.width * 0.95


def lines_of(texts, text: str) -> list[TextBox]:
    """The lines that a text is set in, from its boxes, which come in reading order."""
    wanted_text = plain(text)
    boxes = [box for box in texts if box.text.strip()]
    for first in range(len(boxes)):
        lines: list[TextBox] = []
        if not wanted_text.startswith(plain(boxes[first].text)):
            continue
        for box in boxes[first:]:
            if lines and abs(lines[-1].top - box.top) < box.height / 3:
                joined = lines[-1].text + box.text
                lines[-1] = replace(box, text=joined, width=lines[-1].width + box.width)
            else:
                lines.append(box)
            so_far = plain("".join(line.text for line in lines))
            if so_far == wanted_text:
                return [replace(line, text=line.text.strip()) for line in lines]
            if not wanted_text.startswith(so_far):
                break
    return []


# --- order

CONTACT = ("poster", "card", "steps", "observer", "tags", "words")
"""Kinds of sheets that print how the clinic is reached, in the language of the sheet."""


def turned(found: Sheet) -> Iterator[str]:
    """Telephone number and unit stand with their letters in order, read from left to right."""
    if found.kind not in CONTACT:
        return
    lines = seen_lines(found.pdf)
    for number in (phone_in(found.language), TEMPERATURE):
        if not any("".join(number.split()) in line for line in lines):
            yield number


def misplaced(found: Sheet) -> Iterator[str]:
    """Numbers before texts, rails before columns, answers in their order, as the script runs."""
    rtl = found.language in LEFTWARD and found.kind not in REVIEWED
    blocks = found.blocks
    for name, first, second in PAIRS.get(found.kind, ()):
        rows = [box for box in blocks if name in box.classes]
        if not rows:
            yield f"no {name}"
        for row in rows:
            inside = [box for box in blocks if _within(box, row)]
            one = next((box for box in inside if first in box.classes), None)
            other = next((box for box in inside if second in box.classes), None)
            if one and other and (one.left > other.left) != rtl:
                yield f"{name}: {first} and {second}"
    yield from _answers(found, rtl)
    yield from _rails(found, rtl)


PAIRS = {
    "poster": (
        ("step", "number", "text"),
        ("band", "sign", "text"),
        ("caution", "sign", "text"),
    ),
    "steps": (("step", "number", "text"), ("step", "number", "sign"), ("band", "sign", "text")),
    "observer": (("row", "number", "what"), ("row", "what", "done"), ("beat", "what", "done")),
    "tags": (("title", "sign", "what"), ("own", "words", "code")),
    "review": (("strong", "place", "text"), ("strong", "text", "translated")),
}
"""A kind's boxes, and two boxes inside of which the first is read first."""


def _answers(found: Sheet, rtl: bool) -> Iterator[str]:
    """Answers that stand side by side are read in the order of the protocol."""
    for ways in (box for box in found.blocks if {"ways", "beside"} <= set(box.classes)):
        answers = [b for b in found.blocks if "answer" in b.classes and _within(b, ways)]
        top = min(box.top for box in answers)
        answers = [box for box in answers if box.top - top < 0.2]
        across = sorted(answers, key=lambda box: box.left, reverse=rtl)
        said = [
            letters("".join(t.text for t in found.texts if _holds(box, t))) for box in across
        ]
        parts = found.order.protocol.parts
        steps = [step for part in parts for step in every_step(part.steps)]
        leads = [[letters(w.lead) for w in s.fork.branches] for s in steps if s.fork]
        if len(said) < 2 or not any(
            all(map(str.startswith, said, each)) for each in leads if len(each) == len(said)
        ):
            yield f"answers {said}"


def _rails(found: Sheet, rtl: bool) -> Iterator[str]:
    """On posters the rails are boxes, at the edge of their column where reading begins."""
    columns = [box for box in found.blocks if box.name.startswith("column-")]
    for rail in (box for box in found.blocks if "rail" in box.classes):
        home = next(box for box in columns if _within(rail, box))
        near = home.left + home.width - rail.left - rail.width if rtl else rail.left - home.left
        if abs(near) > 0.2:
            yield f"rail {near:.1f} mm inside its column"
    lefts = [box.left for box in columns]
    if lefts != sorted(lefts, reverse=rtl):
        yield "columns"


def _within(box: BlockBox, frame: BlockBox) -> bool:
    return (
        box.page == frame.page
        and frame.left - 0.2 <= box.left <= frame.left + frame.width
        and frame.top - 0.2 <= box.top <= frame.bottom
        and box is not frame
    )


def _holds(frame: BlockBox, text: TextBox) -> bool:
    """By the middle of the letters: boxes of tall scripts reach over their lines."""
    middle = text.top + text.height / 2
    return (
        text.page == frame.page
        and frame.left - 0.2 <= text.left <= frame.left + frame.width
        and frame.top <= middle <= frame.bottom
    )


CHECKS = (missing_glyphs, unread, out_of_width, ill_broken, turned, misplaced)


def faults(found: Sheet) -> list[str]:
    """All that is wrong with a sheet."""
    return [f"{check.__name__}: {fault}" for check in CHECKS for fault in check(found)]
