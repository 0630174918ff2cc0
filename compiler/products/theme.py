"""Where themes are, and what their `theme.yaml` says: colours, sizes, patterns."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cache
from importlib.resources import files
from pathlib import Path

from compiler.findings import UnreadableSourceError
from compiler.source import Source
from compiler.syntax.spelling import advice
from compiler.syntax.tree import Mapping, Node, Scalar
from compiler.syntax.yaml import read

DEFAULT = "default"


@dataclass(frozen=True)
class Theme:
    """One theme, read."""

    name: str
    folder: Path
    """Templates, CSS and pictograms; addresses in sheets are relative to it."""
    settings: dict[str, str | float]
    """Every value of `theme.yaml` by its keys joined with slashes: `poster/air/usual`."""

    def number(self, key: str) -> float:
        """A length, a share or a factor."""
        value = self.settings.get(key)
        if isinstance(value, float):
            return value
        raise UnreadableSourceError(self._wanted(key, "a number"))

    def text(self, key: str) -> str:
        """A word or a colour."""
        value = self.settings.get(key)
        if isinstance(value, str):
            return value
        raise UnreadableSourceError(self._wanted(key, "a text"))

    def group(self, key: str) -> dict[str, str | float]:
        """All values below a key, by what is left of theirs."""
        start = f"{key}/"
        return {
            k.removeprefix(start): v for k, v in self.settings.items() if k.startswith(start)
        }

    @property
    def colours(self) -> dict[str, str]:
        """All colours by name, as `#rrggbb`."""
        return {name: str(value) for name, value in self.group("colours").items()}

    def _wanted(self, key: str, what: str) -> str:
        return f"The theme {self.name} needs {what} at {key.replace('/', ', ')} in theme.yaml."


def home() -> Path:
    """The folder of all themes: inside the installed package, or beside it in a checkout."""
    package = Path(str(files("compiler")))
    inside = package / "themes"
    return inside if inside.is_dir() else package.parent / "themes"


def theme_names() -> tuple[str, ...]:
    """The themes there are."""
    return tuple(sorted(path.parent.name for path in home().glob("*/theme.yaml")))


@cache
def theme_named(name: str = DEFAULT) -> Theme:
    """The theme of that name.

    Raises:
        UnreadableSourceError: there is none, or its file cannot be read.
    """
    if name not in theme_names():
        hint = advice(name, theme_names(), "theme")
        raise UnreadableSourceError(f'There is no theme called "{name}": {hint}')
    return read_theme(home() / name)


def read_theme(folder: Path) -> Theme:
    """The theme in a folder."""
    path = folder / "theme.yaml"
    tree, findings = read(Source(path.name, path.read_text(encoding="utf-8")))
    if findings:
        raise UnreadableSourceError(
            f"The theme {folder.name} cannot be read: {findings[0].message} "
            f"(theme.yaml, line {findings[0].at.span.line})"
        )
    settings: dict[str, str | float] = {}
    if tree is not None:
        _gather(tree, "", settings)
    return Theme(folder.name, folder, settings)


def _gather(node: Node, key: str, settings: dict[str, str | float]) -> None:
    if isinstance(node, Mapping):
        for entry in node.entries:
            _gather(entry.value, f"{key}/{entry.key}" if key else entry.key, settings)
    elif isinstance(node, Scalar):
        number = isinstance(node.value, int | float) and not isinstance(node.value, bool)
        settings[key] = float(node.text) if number else node.text
