"""Reads a line that Pango has shaped: clusters of glyphs with their text and place."""

from __future__ import annotations

import unicodedata
from collections.abc import Iterator
from itertools import pairwise

from compiler.products.bare_fontconfig import Engine
from compiler.products.glyphs import Cluster, Glyph

UNITS = 1024
"""Pango units in one pixel (PANGO_SCALE)."""
EMPTY = 0x0FFFFFFF
"""Stands for a glyph that is not drawn (PANGO_GLYPH_EMPTY)."""
UNKNOWN = 0x10000000
"""Set if no font has the glyph; the rest is the code point (PANGO_GLYPH_UNKNOWN_FLAG)."""


class MissingLetterError(Exception):
    """A letter that none of the fonts has; the only argument is the letter."""


def runs_of(line: Engine) -> Iterator[Engine]:
    """The glyph runs of a Pango line, from left to right."""
    link = line.runs[0]
    while link:  # the null pointer is false
        yield link.data
        link = link.next


def clusters_of(run: Engine, text: bytes, left: float) -> tuple[list[Cluster], float]:
    """The drawn clusters of a run that starts at `left`, and where it ends.

    Raises:
        MissingLetterError: no font has a letter.
    """
    item, string = run.item, run.glyphs
    stretch = text[item.offset : item.offset + item.length]
    count = string.num_glyphs
    starts = base_starts(stretch, [string.log_clusters[i] for i in range(count)])
    ends = dict(pairwise([*sorted(set(starts)), item.length]))
    leftward = item.analysis.level % 2 == 1
    clusters: list[Cluster] = []
    at = 0
    while at < count:
        start, begin = starts[at], left
        drawn = []
        while at < count and starts[at] == start:
            glyph = string.glyphs[at]
            place = glyph.geometry
            if glyph.glyph != EMPTY:
                drawn.append(_placed(glyph.glyph, left, place))
            left += place.width / UNITS
            at += 1
        if drawn:
            letters = stretch[start : ends[start]].decode("utf-8")
            clusters.append(Cluster(letters, tuple(drawn), begin, left - begin, leftward))
    return clusters, left


def _placed(code: int, edge: float, place: Engine) -> Glyph:
    if code & UNKNOWN:
        raise MissingLetterError(chr(code - UNKNOWN))
    return Glyph(code, edge + place.x_offset / UNITS, -place.y_offset / UNITS)


def base_starts(text: bytes, starts: list[int]) -> list[int]:
    """For the start of each glyph's text, that of the letter it belongs to if it is a mark.

    A shadda is read with its letter, and not as a line of its own a little higher.
    """
    if text.isascii():
        return starts
    base, bases = 0, {}
    for start in sorted(set(starts)):
        letter = text[start : start + 4].decode("utf-8", "ignore")[:1]
        if not unicodedata.category(letter).startswith("M"):
            base = start
        bases[start] = base
    return [bases[start] for start in starts]
