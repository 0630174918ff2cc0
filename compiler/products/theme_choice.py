"""Which theme sheets have: the one asked for, or else the clinic's own, or the default."""

from __future__ import annotations

from pathlib import Path, PurePosixPath

from compiler.findings import Finding, Mark
from compiler.model.clinic import Clinic
from compiler.products.theme import DEFAULT, SETTINGS, theme_named, theme_names
from compiler.rules.themes import THEME_MISTAKE
from compiler.syntax.spelling import advice, quoted


def chosen(wished: str, clinic: Clinic | None, folder: Path | None) -> str:
    """The name or the folder of the theme.

    Args:
        wished: What the person asks for now; nothing for the clinic's choice.
        clinic: Whose sheets they are.
        folder: The set's; nothing for a set given as texts, which has no theme of its own.
    """
    named = clinic.theme if clinic else ""
    if wished or not named or named in theme_names():
        return wished or named or DEFAULT
    own = own_folder(named, folder)
    return own.as_posix() if own else DEFAULT


def own_folder(name: str, folder: Path | None) -> Path | None:
    """A theme's folder inside the set; none if there is none, or if it leads out."""
    path = PurePosixPath(name)
    if folder is None or path.is_absolute() or ".." in path.parts or "\0" in name:
        return None
    try:
        root = folder.resolve(strict=True)
        place = (root / path).resolve(strict=True)
    except (OSError, RuntimeError):
        return None
    inside = place != root and place.is_relative_to(root)
    return folder / path if inside and (place / SETTINGS).is_file() else None


def theme_findings(clinic: Clinic, folder: Path | None) -> tuple[Finding, ...]:
    """What is wrong with the theme that a clinic names.

    Raises:
        UnreadableSourceError: a file of it cannot be used at all.
    """
    if not clinic.theme or clinic.theme in theme_names():
        return ()
    if own := own_folder(clinic.theme, folder):
        return theme_named(own.as_posix()).findings
    message = f"There is no theme called {quoted(clinic.theme)}."
    remedy = (
        f"{advice(clinic.theme, theme_names(), 'theme')}; "
        f"or name a folder of this set that holds a {SETTINGS}"
    )
    mark = Mark(clinic.theme_at or clinic.at, "named here")
    return (Finding(THEME_MISTAKE, message, mark, remedy=remedy),)
