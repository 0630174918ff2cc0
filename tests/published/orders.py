"""What published lists agree on, and what they order either way, as tables over the data."""

from __future__ import annotations

from dataclasses import dataclass

from tests.published.mutations import BODY_COVERS, EYES, FACE_COVERS
from tests.published.sequences import Act, Sequence

Items = tuple[str, ...]
SLEEVED = ("gown", "coverall")
CAPS = ("hood", "cap")


@dataclass(frozen=True, slots=True)
class Always:
    """Every published list that names both has `before` first."""

    part: str
    """`putting on` or `taking off`."""
    before: Items
    after: Items


@dataclass(frozen=True, slots=True)
class Either:
    """Published lists disagree about the order of two items."""

    part: str
    one: Items
    other: Items
    one_first: str
    """A list that has `one` first."""
    other_first: str
    """A list that has `other` first, or both in one movement."""

    @property
    def name(self) -> str:
        """Readable, for test names."""
        return f"{self.part}: {' or '.join(self.one)} and {' or '.join(self.other)}"


OFF, ON = "taking off", "putting on"

ALWAYS = (
    Always(OFF, EYES, FACE_COVERS),
    Always(OFF, BODY_COVERS, FACE_COVERS),
    Always(OFF, ("apron",), SLEEVED),
    Always(OFF, ("hood",), SLEEVED),
    Always(ON, ("eye protection",), ("gloves",)),
)

EITHER = (
    Either(ON, EYES, ("outer gloves",), "who-filovirus-2016-gown", "cdc-ebola-2014-n95"),
    Either(ON, ("inner gloves",), SLEEVED, "cdc-ebola-2014-n95", "msf-2014"),
    Either(
        ON, ("inner gloves",), ("coverall",), "who-filovirus-2016-coverall", "uk-vhf-slides"
    ),
    Either(ON, ("hood",), EYES, "cdc-ebola-2014-n95", "who-filovirus-2016-gown"),
    Either(ON, ("gown",), FACE_COVERS, "cdc-covid-ppe-2020", "uk-vhf-slides"),
    Either(ON, ("boot covers", "boots"), SLEEVED, "cdc-ebola-2014-n95", "msf-2014"),
    Either(ON, ("inner gloves",), FACE_COVERS, "cdc-ebola-2014-n95", "zhejiang-handbook-2020"),
    Either(OFF, ("gloves",), ("gown",), "wrha-ppe", "cdc-ppe-sequence-2014-example-2"),
    Either(OFF, ("outer gloves",), ("gown",), "who-filovirus-2016-gown", "iss-covid-2020"),
    Either(
        OFF, ("outer gloves",), SLEEVED, "cdc-ebola-2014-n95", "who-filovirus-2016-coverall"
    ),
    Either(OFF, ("outer gloves",), ("gown",), "msf-2014", "va-helper-2014"),
    Either(OFF, EYES, SLEEVED, "cdc-ppe-sequence-2014-example-1", "nipcm-appendix-6"),
    Either(OFF, EYES, SLEEVED, "cdc-ebola-2015-n95", "who-filovirus-2016-gown"),
    Either(OFF, EYES, ("hood",), "cdc-ebola-2014-n95", "who-filovirus-2016-gown"),
    Either(OFF, ("boot covers",), SLEEVED, "cdc-ebola-2014-n95", "cdc-ebola-2015-n95"),
    Either(
        OFF, ("boot covers",), ("outer gloves",), "cdc-ebola-2014-n95", "cdc-ebola-2015-n95"
    ),
    Either(OFF, ("inner gloves",), EYES, "msf-2014", "who-filovirus-2016-gown"),
    Either(OFF, ("inner gloves",), FACE_COVERS, "msf-2014", "cdc-ebola-2014-n95"),
    Either(OFF, ("apron",), ("outer gloves",), "who-filovirus-2016-gown", "msf-2014"),
    Either(OFF, ("cap",), FACE_COVERS, "msf-2014", "zhejiang-handbook-2020"),
    Either(
        OFF, ("powered respirator",), SLEEVED, "cdc-ebola-2014-papr", "sg-papr-theatre-2020"
    ),
)


def place(sequence: Sequence, part: str, items: Items) -> int | None:
    """Where the last of `items` comes off, or goes on; only where the list itself says so."""
    verb = "take off" if part == OFF else "put on"
    acts = sequence.doffing if part == OFF else sequence.donning
    met = [i for i, act in enumerate(acts) if act.verb == verb and set(act.things) & set(items)]
    return met[-1] if met and not acts[met[-1]].added else None


def order(sequence: Sequence, part: str, one: Items, other: Items) -> int | None:
    """Below zero: `one` is first; above: `other`; zero: together; nothing: not both named."""
    first, second = place(sequence, part, one), place(sequence, part, other)
    return None if first is None or second is None else first - second


def exchanged(acts: tuple[Act, ...], first: int, second: int) -> tuple[Act, ...]:
    """The two acts in each other's places; everything between stays, hand hygiene too."""
    swapped = list(acts)
    swapped[first], swapped[second] = swapped[second], swapped[first]
    return tuple(swapped)
