"""Reads a line that Pango has shaped: clusters of glyphs with their text and place."""

from __future__ import annotations

import unicodedata
from collections.abc import Iterator, Sequence
from itertools import accumulate, groupby, pairwise

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
    item, count = run.item, run.glyphs.num_glyphs
    glyphs = [run.glyphs.glyphs[i] for i in range(count)]
    stretch = text[item.offset : item.offset + item.length]
    starts = base_starts(stretch, [run.glyphs.log_clusters[i] for i in range(count)])
    ends = dict(pairwise([*sorted(set(starts)), item.length]))
    edges = list(accumulate((g.geometry.width / UNITS for g in glyphs), initial=left))
    clusters = []
    for start, several in groupby(range(count), key=starts.__getitem__):
        places = list(several)
        drawn = tuple(_placed(glyphs[i], edges[i]) for i in places if glyphs[i].glyph != EMPTY)
        if drawn:
            letters = stretch[start : ends[start]].decode("utf-8")
            left, right = edges[places[0]], edges[places[-1] + 1]
            leftward = bool(item.analysis.level % 2)
            clusters.append(Cluster(letters, drawn, left, right - left, leftward))
    return clusters, edges[-1]


def _placed(glyph: Engine, edge: float) -> Glyph:
    if glyph.glyph & UNKNOWN:
        raise MissingLetterError(chr(glyph.glyph - UNKNOWN))
    place = glyph.geometry
    return Glyph(glyph.glyph, edge + place.x_offset / UNITS, -place.y_offset / UNITS)


def base_starts(text: bytes, starts: Sequence[int]) -> list[int]:
    """For the start of each glyph's text, that of the letter it belongs to if it is a mark.

    A shadda is read with its letter, and not as a line of its own a little higher.
    """
    base, bases = 0, {}
    for start in sorted(set(starts)):
        letter = text[start : start + 4].decode("utf-8", "ignore")[:1]
        if not unicodedata.category(letter).startswith("M"):
            base = start
        bases[start] = base
    return [bases[start] for start in starts]
