"""How protocols differ from a published list: for people, as data, and the lists by name."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from textwrap import wrap
from typing import Any

from compiler.comparing.against import Comparison, Told
from compiler.comparing.difference import Difference, Pair
from compiler.comparing.evidence import Evidence, evidence
from compiler.comparing.garments import listed as joined
from compiler.comparing.published import SEEN, Published, published
from compiler.report.style import Style
from compiler.report.text import WIDTH
from compiler.wording.cells import cells

CAUTION = (
    "A difference is not a fault, and a published order is not a rule to follow: the lists are "
    "of different years and for different risks, and differ among themselves. Follow your "
    "facility's policy. Training, fit testing and a trained observer come first."
)
SCOPE = (
    "Compared are the garments, their order, hand hygiene between them, fresh gloves, the side "
    "of the door, the seal check and the observer; not handrub against soap and water, nor how "
    "a thing is held, wiped, kept or thrown away."
)


def against_text(comparisons: Iterable[Comparison], style: Style, width: int = WIDTH) -> str:
    """All comparisons, ending in the caution."""
    comparisons = list(comparisons)
    if not comparisons:
        return f"No protocol could be read, so none is compared.\n\n{_closing(width)}\n"
    about = "\n".join(_heading(comparisons[0].listed, style, width))
    blocks = ["\n".join(_comparison(each, style, width)) for each in comparisons]
    return "\n\n".join([about, *blocks, _closing(width)]) + "\n"


def _closing(width: int) -> str:
    lists = published().values()
    remembered = sum(listed.seen == "memory" for listed in lists)
    counts = (
        f"Counts are over the {len(lists)} lists kept here, {remembered} of them from memory"
    )
    return "\n".join(_folded(words, width) for words in (f"{counts}. {SCOPE}", CAUTION))


def _heading(listed: Published, style: Style, width: int) -> Iterator[str]:
    """The list itself, once for all protocols: whose it is and how sure its order is."""
    yield style.paint("slug", f"Published list {listed.key}, here {listed.short}")
    yield ""
    yield _folded(f"{cited(listed)}.", width, "  ", "  ")
    yield ""
    yield _note("page", listed.address, width)
    yield _note("sure", listed.sure, width)
    yield _note("hands", f"cleaned {listed.hygiene}, while taking off", width)
    if listed.notes:
        yield _note("note", listed.notes, width)
    for steps, reason in listed.left_out:
        words = f"{reason} Added here, and not compared: {steps}."
        yield _note("left out", words, width)


def _comparison(told: Comparison, style: Style, width: int) -> Iterator[str]:
    short, path = told.listed.short, told.protocol.source.path
    title = f"{told.protocol.name} against {short}"
    room = width - cells(f"{title} {style.dot} information{path}")
    space = " " * room if room > 1 else "\n" + " " * max(width - cells(path), 0)
    yield f"{style.paint('slug', title)} {style.dot} information{space}{path}"
    notes = [_note(name, words, width) for name, words in _about(told)]
    yield from ["", *notes] if notes else []
    part = ""
    for each in told.differences:
        if each.difference.part != part:
            part = each.difference.part
            yield ""
            yield style.paint("slug", f"  {part.capitalize()}")
        yield ""
        yield from _block(each, told.listed, style, width)
    yield ""
    yield _folded(counted(told), width, "  ", "  ")


def cited(listed: Published) -> str:
    """Body, title, document and year."""
    year = "" if listed.year in listed.document or listed.year == "undated" else listed.year
    return ", ".join(x for x in (listed.body, listed.title, listed.document, year) if x)


def _about(told: Comparison) -> Iterator[tuple[str, str]]:
    if told.form.choice:
        yield "form", f"compared as the list reads with {' and '.join(told.form.choice)}"
    ours, theirs = told.protocol.precautions, told.form.precautions
    if set(ours) != set(theirs):
        yield "for", f"{joined(ours)} precautions; the list is for {joined(theirs)}"
    if told.policy != told.listed.hygiene:
        yield "hands", f"cleaned {told.policy}, by the clinic's policy"
    for words in told.not_compared:
        yield "missing", words


def _block(told: Told, listed: Published, style: Style, width: int) -> Iterator[str]:
    yield _folded(told.difference.sentence, width, "  ", "  ")
    shown: dict[int, str] = {}
    for deed in told.difference.deeds:
        if deed.at:
            shown.setdefault(deed.at.line, deed.lead or deed.at.text)
    gutter = max(3, *(len(str(line)) for line in shown)) if shown else 3
    bar = style.paint("quiet", style.bar)
    for line, lead in sorted(shown.items()):
        room = width - gutter - 5
        cut = lead if cells(lead) <= room else wrap(lead, room - 1)[0] + style.cut
        yield f"  {line:>{gutter}} {bar} {cut}"
    for question, answers in told.when:
        yield _note("answer", f"{question}: {' or '.join(answers)}", width)
    for pair in told.difference.pairs:
        yield _note("lists", evidence_words(pair, listed), width)


def evidence_words(pair: Pair, listed: Published) -> str:
    """What all published lists say about an order, so that no difference passes for a fault."""
    found = evidence(pair)
    one, other = found.one, found.other
    both = f"{one} and {other}"
    groups = [
        (found.one_first, f"{one} first"),
        (found.other_first, f"{other} first"),
        (found.together, "both in one movement"),
        (found.changed, "one of them changed for a fresh one between"),
    ]
    met = [(keys, words) for keys, words in groups if keys]
    if not met:
        return f"no published list kept here orders {both}"
    if len(found.keys) == 1:
        return f"only one published list orders {both}, {found.keys[0]}: {met[0][1]}"
    if len(met) == 1:
        words = f"all {len(found.keys)} published lists that order {both}: {met[0][1]}"
        if listed.key not in found.keys:
            words += f"; {listed.short} orders {' and '.join(pair.theirs)} instead"
        return words
    said = ", ".join(f"{words} in {_some(keys)}" for keys, words in met)
    return f"published lists differ: {said}{_none_alike(pair, found)}"


def _some(keys: tuple[str, ...]) -> str:
    return f"{len(keys)} ({keys[0]})" if len(keys) == 1 else f"{len(keys)} (such as {keys[0]})"


def _none_alike(pair: Pair, found: Evidence) -> str:
    alike = {-1: found.one_first, 0: found.together, 1: found.other_first}[pair.here]
    return "" if alike else "; none as here"


def counted(told: Comparison) -> str:
    """The count in words."""
    count, short = len(told.differences), told.listed.short
    if not count:
        return f"No difference from {short} was found in what could be compared."
    those = "It is" if count == 1 else "They are"
    return (
        f"{count} difference{'s' * (count > 1)} from {short}. {those} information; nothing "
        "has to be fixed for this."
    )


def _note(name: str, words: str, width: int) -> str:
    return _folded(words, width, f"  {name:<8} ", " " * 11)


def _folded(text: str, width: int, first: str = "", indent: str = "") -> str:
    lines = wrap(
        text,
        width,
        initial_indent=first,
        subsequent_indent=indent,
        break_on_hyphens=False,
        break_long_words=False,  # an address is copied whole
    )
    return "\n".join(lines)


def names_of_lists(style: Style, width: int = WIDTH) -> str:
    """Every list by name, with its title, year and how sure its order is."""
    blocks = []
    for key, listed in published().items():
        about = f"{listed.body}: {listed.title}, {listed.year}."
        lines = [style.paint("slug", key), _folded(about, width, "  ", "  ")]
        sure = _folded(listed.sure, width, "  ", "  ")
        blocks.append("\n".join([*lines, f"  {listed.address}", sure]))
    return "\n".join([*blocks, "", _folded(CAUTION, width), ""])


def against_data(comparisons: Iterable[Comparison]) -> list[dict[str, Any]]:
    """The same for other programs, keys in a fixed order."""
    return [
        {
            "protocol": told.protocol.name,
            "file": told.protocol.source.path,
            "list": _list(told),
            "not compared": list(told.not_compared),
            "differences": [_difference(each) for each in told.differences],
        }
        for told in comparisons
    ]


def _list(told: Comparison) -> dict[str, Any]:
    listed = told.listed
    return {
        "name": listed.key,
        "title": listed.title,
        "body": listed.body,
        "year": listed.year,
        "document": listed.document,
        "address": listed.address,
        "seen": listed.seen,
        "sure": SEEN[listed.seen],
        "unsure": listed.unsure,
        "notes": listed.notes,
        "hand hygiene": listed.hygiene,
        "precautions": list(told.form.precautions),
        "form": list(told.form.choice),
        "left out": [{"steps": steps, "reason": why} for steps, why in listed.left_out],
    }


def _difference(told: Told) -> dict[str, Any]:
    difference: Difference = told.difference
    return {
        "part": difference.part,
        "about": difference.about,
        "message": difference.sentence,
        "places": [
            {
                "file": deed.at.source.path,
                "line": deed.at.line,
                "column": deed.at.column,
                "words": deed.at.text,
                "lead": deed.lead,
            }
            for deed in difference.deeds
            if deed.at
        ],
        "answers": {question: list(answers) for question, answers in told.when},
        "published orders": [_evidence(pair) for pair in difference.pairs],
    }


def _evidence(pair: Pair) -> dict[str, Any]:
    found = evidence(pair)
    return {
        "one": found.one,
        "other": found.other,
        "differ": found.differ,
        "one first": list(found.one_first),
        "other first": list(found.other_first),
        "one movement": list(found.together),
        "fresh one between": list(found.changed),
    }
