"""The words for units of time against Unicode's CLDR, as Babel brings it."""

import pytest
from babel import Locale

from compiler.model.languages import SUPPORTED
from compiler.wording.units import UNITS, units

LEFT_OUT = {("hi", "second", "short"), ("hi", "minute", "short"), ("hi", "hour", "short")}
"""Hindi's short form of "second" is also its word for "to": 20 to 30."""


def patterns(tag, unit, width):
    """Every form of "20 seconds" in a language: one for each plural."""
    known = Locale.parse(tag, sep="-")._data["unit_patterns"]
    forms = known[f"duration-{unit}"].get(width, {})
    return [v for k, v in forms.items() if isinstance(v, str) and "{0}" in v and k != "per"]


@pytest.mark.parametrize("tag", SUPPORTED)
def test_every_form_of_cldr_is_known_and_only_as_its_unit(tag):
    for unit in UNITS:
        for width in ("long", "short"):
            for pattern in patterns(tag, unit, width):
                wanted = set() if (tag, unit, width) in LEFT_OUT else {unit}
                assert units(pattern.format("20"), tag) == wanted, pattern


@pytest.mark.parametrize(
    ("tag", "text"),
    [
        ("en", "Ask a second person; wait in area 2 minding the door; 5 sections, 3 hooks."),
        ("es", "Los 2 segmentos, 3 diarios."),
        ("hi", "20 से 30 तक"),
        ("ru", "2 сектора, 3 части"),
        ("fr", "2 secteurs, 3 minces feuilles"),
        ("xx", "20 seconds"),
    ],
)
def test_words_that_only_begin_alike_are_none(tag, text):
    assert units(text, tag) == set()
