"""A theme as sheets use it: colours and lengths, and files that stand in for one another."""

from __future__ import annotations

import re
from dataclasses import dataclass, field
from functools import cache
from pathlib import Path

from compiler.findings import Finding, UnreadableSourceError
from compiler.own_files import themes_home
from compiler.products.shelf import RefusedError, file_below
from compiler.products.theme_files import file_findings
from compiler.products.theme_settings import Settings, base_of, settings_of
from compiler.source import Source
from compiler.syntax.spelling import advice, quoted

DEFAULT = "default"
SETTINGS = "theme.yaml"
PAINTS = {"#1b1b1b": "line", "#c9ced6": "garment", "#fff": "ground"}
"""The paints that pictograms are drawn with, and the names that themes know them by."""
HATCH = (
    '<defs><pattern id="garment" width="5" height="5" patternUnits="userSpaceOnUse">'
    '<path d="M0 0H5V5H0Z" fill="{ground}"/>'
    '<path d="M-1 1L1 -1M-1 6L6 -1M4 6L6 4" stroke="{line}" stroke-width="0.75" fill="none"/>'
    "</pattern></defs>"
)
"""What garments are filled with where a theme has no grey."""


@dataclass(frozen=True)
class Theme:
    """One theme, read."""

    name: str
    folders: tuple[Path, ...]
    """Its own, then that of the theme it is based on: the first that has a file counts."""
    settings: Settings
    """Every value of `theme.yaml` by its keys joined with slashes: `poster/air/usual`."""
    findings: tuple[Finding, ...] = field(default=(), repr=False)
    """Its mistakes. With one that must be fixed no sheet may be made."""

    def number(self, key: str) -> float:
        """A length, a share or a factor."""
        value = self.settings[key]
        assert isinstance(value, float), key
        return value

    def text(self, key: str) -> str:
        """A word or a colour."""
        value = self.settings[key]
        assert isinstance(value, str), key
        return value

    def group(self, key: str) -> Settings:
        """All values below a key, by what is left of theirs."""
        start = f"{key}/"
        return {
            k.removeprefix(start): v for k, v in self.settings.items() if k.startswith(start)
        }

    @property
    def folder(self) -> Path:
        """Its own folder."""
        return self.folders[0]

    @property
    def colours(self) -> dict[str, str]:
        """All colours by name, as `#rrggbb`."""
        return {name: str(value) for name, value in self.group("colours").items()}

    def read(self, name: str) -> str:
        """The text of a file of the theme, or else of the one it is based on.

        Raises:
            UnreadableSourceError: no folder has it, or it leads out of its folder.
        """
        return self._found(name)[1]

    def css(self, name: str) -> str:
        """A style sheet, with what this theme and those below it add to it.

        What a theme adds counts from where the style sheet itself was found: one that
        brings a `poster.css` of its own starts afresh.
        """
        index, text = self._found(name)
        parts = [text]
        for folder in reversed(self.folders[: index + 1]):
            added = (more for more in ("more.css", f"more-{name}") if (folder / more).exists())
            parts.extend(_text(folder, more) for more in added)
        return "\n".join(parts)

    def pictogram(self, name: str) -> str:
        """A drawing as SVG, in the colours of the theme."""
        return self.painted(self.read(f"pictograms/{name}.svg"))

    def painted(self, drawing: str) -> str:
        """A drawing of the family in the colours of the theme."""
        paints = {name: self.text(f"pictograms/{name}") for name in PAINTS.values()}
        hatch = ""
        if self.text("pictograms/pattern") == "hatch":
            hatch = HATCH.format(**paints)
            paints["garment"] = "url(#garment)"
        painted = re.sub(
            '"(#[0-9a-f]+)"',
            lambda found: f'"{paints[PAINTS[found[1]]]}"' if found[1] in PAINTS else found[0],
            drawing,
        )
        return re.sub("(<svg[^>]*>)", lambda found: found[1] + hatch, painted, count=1)

    def _found(self, name: str) -> tuple[int, str]:
        for index, folder in enumerate(self.folders):
            if (folder / name).exists():
                return index, _text(folder, name)
        raise UnreadableSourceError(f"The theme {self.name} has no file {name}.")


def _text(folder: Path, name: str) -> str:
    shown = f"{folder.as_posix()}/{name}"
    try:
        return file_below(folder, name).decode("utf-8")
    except RefusedError as fault:
        raise UnreadableSourceError(f"{shown}: {fault}; keep it in the theme") from None
    except UnicodeDecodeError:
        raise UnreadableSourceError(f"{shown}: not UTF-8 text; save it as such") from None


def theme_names() -> tuple[str, ...]:
    """The themes that come with the compiler."""
    return tuple(sorted(path.parent.name for path in themes_home().glob(f"*/{SETTINGS}")))


def theme_named(name: str = DEFAULT) -> Theme:
    """The theme of that name, or the one in the folder of that name.

    Raises:
        UnreadableSourceError: there is none, or a file of it cannot be used at all.
    """
    if name in theme_names():
        return _packaged(name, themes_home())
    if (Path(name) / SETTINGS).is_file():
        return read_theme(Path(name))
    hint = advice(name, theme_names(), "theme")
    raise UnreadableSourceError(
        f"There is no theme called {quoted(name)}, and no folder with a {SETTINGS}: {hint}"
    )


@cache
def _packaged(name: str, below: Path) -> Theme:
    return read_theme(below / name)


def read_theme(folder: Path) -> Theme:
    """The theme in a folder; what is wrong with it is in its findings.

    Raises:
        UnreadableSourceError: a file of it cannot be used at all.
    """
    source = Source((folder / SETTINGS).as_posix(), _text(folder, SETTINGS))
    theme = theme_in(source, folder)
    if folder.parent == themes_home():
        return theme
    found = file_findings(folder, source, theme.colours, themes_home() / DEFAULT)
    return Theme(theme.name, theme.folders, theme.settings, (*theme.findings, *found))


def theme_in(source: Source, folder: Path) -> Theme:
    """The theme that a text of `theme.yaml` describes; its other files are not looked at."""
    if folder == themes_home() / DEFAULT:
        settings, findings = settings_of(source, {}, {})
        return Theme(DEFAULT, (folder,), settings, tuple(findings))
    known = _packaged(DEFAULT, themes_home())
    name, findings = base_of(source, DEFAULT, theme_names())
    base = known if folder == themes_home() / name else _packaged(name, themes_home())
    settings, told = settings_of(source, known.settings, base.settings)
    return Theme(folder.name, (folder, *base.folders), settings, (*findings, *told))
