"""Published sequences built as protocols and held against published lists."""

from __future__ import annotations

import functools

from compiler.comparing.against import Comparison, compared
from compiler.comparing.published import published
from compiler.pipeline import read_texts
from compiler.source import Source
from tests.published.build import texts
from tests.published.sequences import Sequence


def against(sequence: Sequence, key: str) -> Comparison:
    """The sequence, built as a protocol, against the list of that name."""
    return compared_texts(texts(sequence), key)


def compared_texts(files: dict[str, str], key: str) -> Comparison:
    """A set of one protocol, given as texts, against the list of that name."""
    read = read_texts({name: Source(name, text) for name, text in files.items()})
    [protocol] = read.protocols
    assert read.clinic
    assert read.kit
    return compared(protocol, read.clinic, read.kit, published()[key])


@functools.cache
def against_known(sequence: Sequence, key: str) -> Comparison:
    """The same for unchanged sequences, once."""
    return against(sequence, key)


def sentences(comparison: Comparison) -> list[str]:
    """All that is told, in order."""
    return [told.difference.sentence for told in comparison.differences]
