"""The clinic: its areas, places, agents, languages, policy and reading distances."""

from __future__ import annotations

from dataclasses import dataclass, field
from enum import Enum

from compiler.model.sign_offs import Proof
from compiler.source import Span


class Zone(Enum):
    """How clean an area is meant to be."""

    CLEAN = "clean"
    TRANSITION = "transition"
    CONTAMINATED = "contaminated"


class Policy(Enum):
    """When hands are cleaned while taking off. Published sequences differ, so a clinic says."""

    EVERY_ITEM = "after every item"
    AFTER_GLOVES = "after gloves and at the end"
    WHEN_CONTAMINATED = "when contaminated and at the end"


class Purpose(Enum):
    """What a place is for."""

    KEEPING = "keeping"
    WASTE = "waste"
    SENDING = "sending"
    USE = "use"


@dataclass(frozen=True, slots=True)
class Area:
    """Where people stand."""

    name: str
    zone: Zone
    at: Span


@dataclass(frozen=True, slots=True)
class Place:
    """A hook, a bag, a bin, a chair, a piece of equipment: something with a spot in an area."""

    name: str
    area: str
    purpose: Purpose
    at: Span
    holds: int = 1
    """How many kept items may be there at once without touching."""


@dataclass(frozen=True, slots=True)
class Agent:
    """A disinfectant."""

    name: str
    at: Span
    wet_time: int
    """Seconds a surface must stay visibly wet, from the product's label."""
    kills_spores: bool = False


@dataclass(frozen=True, slots=True)
class ReadingDistance:
    """From how far each kind of text is read, in metres."""

    leads: float = 1.0
    details: float = 0.6
    card: float = 0.35


@dataclass(frozen=True, slots=True)
class LabelSheet:
    """A sheet of labels for the tags of kept items: size and grid, in millimetres."""

    across: int = 2
    down: int = 4
    width: float = 92.0
    height: float = 66.0
    left: float = 10.0
    """From the left edge of the paper to the first label."""
    top: float = 10.0
    between_columns: float = 6.0
    between_rows: float = 3.0
    at: Span | None = None
    """Nothing for our own grid, which is printed with lines to cut along."""


@dataclass(frozen=True, slots=True)
class Clinic:
    """All of `clinic.yaml`."""

    name: str
    contact: str
    languages: tuple[str, ...]
    """BCP 47 tags; the first is the source language."""
    areas: dict[str, Area]
    places: dict[str, Place]
    agents: dict[str, Agent]
    policy: Policy
    hygiene_on_gloves: bool
    """Whether hand hygiene on gloved hands is allowed."""
    at: Span
    rub_seconds: tuple[int, int] = (20, 30)
    wash_seconds: tuple[int, int] = (40, 60)
    paper: str = "A4"
    reading: ReadingDistance = field(default_factory=ReadingDistance)
    answers: dict[str, str] = field(default_factory=dict)
    """Standing answers: forks printed as already resolved. Checking covers every answer."""
    observer: bool = True
    """Whether a trained observer is available."""
    assistant: bool = True
    card: str = "A7"
    """The size of a pocket card's panels."""
    labels: LabelSheet = field(default_factory=LabelSheet)
    products: tuple[str, ...] = ()
    """The kinds of sheets that are made; empty for the usual ones."""
    link: str = ""
    """A web address put before the check code in the QR code; empty for the code alone."""
    reviewers: int = 1
    """How many different people must have approved a text before it is published."""
    signature: Proof = Proof.NONE
    """What has to show that a sign-off was written by the person it names."""
    theme: str = ""
    """The look: a theme that comes with the compiler, or a folder of the set; empty for the
    default."""
    theme_at: Span | None = None
    languages_at: tuple[Span, ...] = ()
    """Where each language is written; nothing where none is."""
