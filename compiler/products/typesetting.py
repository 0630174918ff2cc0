"""The type of a sheet and its texts measured in it, in units of the detail size."""

from __future__ import annotations

from dataclasses import dataclass, field

from compiler.layout.breaking import pieces
from compiler.layout.fitting import Run, Text
from compiler.layout.fonts import Faces, script_of
from compiler.layout.shaping import Shaper
from compiler.model.clinic import ReadingDistance
from compiler.products.theme import Theme

REGULAR, BOLD = 400, 700


@dataclass(frozen=True, slots=True)
class Scale:
    """Three sizes, two weights: the type of a sheet as shares of the detail size."""

    lead: float
    """Size of leads, numbers and questions."""
    title: float
    """Size of the sheet's and the parts' titles."""
    text_line: float
    """Height of a line of detail text."""
    lead_line: float
    title_line: float


def scale_for(theme: Theme, language: str, reading: ReadingDistance) -> Scale:
    """The scale at which leads and details become legible together.

    Leads are read from further away than details, so they are larger in that proportion, within
    what the theme finds good. Scripts with tall marks get taller lines.
    """
    ratio = reading.leads / reading.details if reading.details > 0 else 1.0
    lead = min(max(ratio, theme.number("type/lead/least")), theme.number("type/lead/most"))
    title = lead * theme.number("type/title")
    tall = taller(theme, language)
    return Scale(
        lead=lead,
        title=title,
        text_line=theme.number("type/lines/text") * tall,
        lead_line=lead * theme.number("type/lines/lead") * tall,
        title_line=title * theme.number("type/lines/title") * tall,
    )


def taller(theme: Theme, language: str) -> float:
    """By how much lines are taller in scripts with marks above and below."""
    return float(theme.group("type/taller").get(script_of(language), 1.0))


@dataclass
class Typesetter:
    """Measures the texts of one sheet; each text once."""

    faces: Faces
    scale: Scale
    language: str
    _shaper: Shaper = field(init=False)
    _runs: dict[tuple[str, float, int, float], Run] = field(default_factory=dict)

    def __post_init__(self) -> None:
        self._shaper = Shaper(self.faces)

    def width(self, text: str, size: float, weight: int) -> float:
        """The width of a text on one line."""
        return self._shaper.width(text, size, weight)

    def detail(self, text: str, weight: int = REGULAR) -> Text:
        """A paragraph in the detail size."""
        return self._text(self._detail(text, weight))

    def lead(self, text: str) -> Text:
        """A lead, a question, an answer."""
        return self._text(self._lead(text))

    def title(self, text: str) -> Text:
        """The title of a sheet or a part."""
        return self._text(self._run(text, self.scale.title, BOLD, self.scale.title_line))

    def together(self, lead: str, detail: str) -> Text:
        """Lead and detail in one paragraph."""
        first, second = self._lead(lead), self._detail(detail, REGULAR)
        if first.words:
            *before, (last, _) = first.words
            space = self._shaper.width(" ", 1.0, REGULAR)
            first = Run((*before, (last, space)), first.line)
        return self._text(first, second)

    def _lead(self, text: str) -> Run:
        return self._run(text, self.scale.lead, BOLD, self.scale.lead_line)

    def _detail(self, text: str, weight: int) -> Run:
        return self._run(text, 1.0, weight, self.scale.text_line)

    def _text(self, *runs: Run) -> Text:
        return Text(tuple(run for run in runs if run.words))

    def _run(self, text: str, size: float, weight: int, line: float) -> Run:
        key = text, size, weight, line
        if key not in self._runs:
            words = tuple(
                (
                    self._shaper.width(word, size, weight),
                    self._shaper.width(space, size, weight) if space else 0.0,
                )
                for word, space in pieces(text, self.language, _word_ends)
            )
            self._runs[key] = Run(words, line)
        return self._runs[key]


def _word_ends(word: str) -> frozenset[int]:
    # loaded only for scripts without spaces: the engine takes longer to load than to be asked
    from compiler.products.pdf import word_ends

    return word_ends(word)
