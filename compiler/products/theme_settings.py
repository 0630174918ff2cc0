"""`theme.yaml` against the default's: known keys, and values of the right kind."""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator
from dataclasses import dataclass, field

from compiler.findings import Finding, Mark
from compiler.products.theme_colours import too_much_alike
from compiler.rules.themes import THEME_MISTAKE
from compiler.source import Source, Span
from compiler.syntax import yaml
from compiler.syntax.spelling import advice, alike, meant, nearest, quoted
from compiler.syntax.tree import Entry, Node, Refused, Scalar
from compiler.syntax.tree import Mapping as Map

Settings = dict[str, str | float]
"""Values by their keys joined with slashes."""
BASED_ON = "based on"
COLOUR = re.compile("#[0-9a-fA-F]{6}")
SCRIPT = re.compile("type/taller/[A-Z][a-z]{3}")
"""A script by its code (ISO 15924): any may be given a taller line."""
PATTERNS = ("plain", "hatch")
MOST_TIMES = 2
"""A length is at the least half of the default's, and at the most twice as long: what lies
beyond can only be a slip, and would make sheets that nobody can read or no paper holds."""
MOST_TYPE = 1.6
"""The same for sizes of type and the height of lines."""
MOST_NEW = 2.0
"""The same for a length that the default has as nothing."""
ORDERED = ("least", "usual", "most")


@dataclass
class _Reading:
    """One `theme.yaml` being read."""

    known: Settings
    """The default's values: every key that means something, and its kind of value."""
    findings: list[Finding]
    own: Settings = field(default_factory=dict)
    places: dict[str, Span] = field(default_factory=dict)

    def mistake(self, at: Span, message: str, remedy: str, likely: str = "") -> None:
        """Reports one thing."""
        mark = Mark(at, "here")
        self.findings.append(Finding(THEME_MISTAKE, message, mark, remedy=remedy, meant=likely))

    def gather(self, entries: Iterable[Entry], above: str = "") -> None:
        """Takes the values of a map, and of the maps in it."""
        for entry in entries:
            path = self._path(entry, above)
            if not path or isinstance(entry.value, Refused):
                continue
            if self._is_group(path):
                self._group(entry, path)
            else:
                self._take(entry, path)

    def _path(self, entry: Entry, above: str) -> str:
        """The whole key of an entry; empty when it means nothing here."""
        path = f"{above}{entry.key}"
        if not self.known or path in self.known or self._is_group(path):
            return path
        if SCRIPT.fullmatch(path) or path == BASED_ON:
            return path
        below = (key.removeprefix(above) for key in self._below(above))
        beside = list(dict.fromkeys(key.split("/")[0] for key in below))
        same = [key for key in beside if alike(key) == alike(entry.key)]
        if same:
            return f"{above}{same[0]}"
        where = quoted(above.strip("/").replace("/", ", ")) if above else "a theme"
        self.mistake(
            entry.key_at,
            f"{quoted(entry.key)} is not a key of {where}.",
            advice(entry.key, beside, "key"),
            meant(entry.key, nearest(entry.key, beside)),
        )
        return ""

    def _below(self, path: str) -> list[str]:
        return [key for key in self.known if key.startswith(path)]

    def _is_group(self, path: str) -> bool:
        return bool(self.known) and bool(self._below(f"{path}/"))

    def _group(self, entry: Entry, path: str) -> None:
        if isinstance(entry.value, Map):
            self.gather(entry.value.entries, f"{path}/")
            return
        keys = dict.fromkeys(k.split("/")[path.count("/") + 1] for k in self._below(f"{path}/"))
        self.mistake(
            entry.at,
            f"{quoted(entry.key)} is not a map of keys.",
            f"write KEY: VALUE below it, with the keys {', '.join(keys)}",
        )

    def _take(self, entry: Entry, path: str) -> None:
        node = entry.value
        if isinstance(node, Map) and not self.known:
            self.gather(node.entries, f"{path}/")
            return
        if path == BASED_ON:
            return
        if not isinstance(node, Scalar) or not node.text.strip():
            self.mistake(
                entry.at, f"The key {quoted(entry.key)} has no value.", self._example(path)
            )
            return
        value, remedy = self._valued(node, path)
        if value is None:
            message = f"{quoted(node.text)} cannot be the value of {quoted(entry.key)}."
            self.mistake(node.at, message, remedy)
            return
        self.own[path], self.places[path] = value, node.at

    def _valued(self, node: Scalar, path: str) -> tuple[str | float | None, str]:
        """The value, or what to write instead."""
        usual = self.known.get(path, node.text if isinstance(node.value, str) else 1.0)
        text = node.text.strip()
        if isinstance(usual, float):
            return (_number(node, path, usual) if self.known else float(text)), self._example(
                path
            )
        if usual.startswith("#"):
            good = COLOUR.fullmatch(text)
            return (text.lower() if good else None), self._example(path)
        return (text if text in PATTERNS else None), f"write {' or '.join(PATTERNS)}"

    def _example(self, path: str) -> str:
        key, usual = path.rsplit("/", 1)[-1], self.known.get(path, 1.1)
        if isinstance(usual, float):
            least, most = _bounds(path, usual)
            return f"write a number from {least:.3g} to {most:.3g}; the default's is {usual:g}"
        if usual.startswith("#"):
            return f'write a colour as # and six digits, in quotation marks: {key}: "{usual}"'
        return f"write {key}: {usual}"


def base_of(source: Source, usual: str, names: Iterable[str]) -> tuple[str, list[Finding]]:
    """The name of the theme that this one is based on."""
    tree, _ = yaml.read(source)
    entries = tree.entries if isinstance(tree, Map) else ()
    node = next((entry.value for entry in entries if entry.key == BASED_ON), None)
    if node is None or isinstance(node, Refused):
        return usual, []
    named = node.text.strip() if isinstance(node, Scalar) else ""
    if named in names:
        return named, []
    message = f"{quoted(named)} is not a theme that a theme can be based on."
    remedy = advice(named, names, "theme")
    mark = Mark(_seen(source, node), "here")
    return usual, [Finding(THEME_MISTAKE, message, mark, remedy=remedy)]


def _seen(source: Source, node: Node) -> Span:
    return node.at if node.at.text else source.span(0, min(1, len(source.text)))


def settings_of(
    source: Source, known: Settings, base: Settings
) -> tuple[Settings, list[Finding]]:
    """The values of a theme: its own over those of its base; and what is wrong with its own.

    Args:
        source: `theme.yaml`.
        known: The default's values; nothing for the default itself.
        base: Those of the theme that it is based on.
    """
    tree, findings = yaml.read(source)
    reading = _Reading(known, findings)
    if isinstance(tree, Map):
        reading.gather(tree.entries)
    elif tree is not None and not isinstance(tree, Refused):
        first = source.span(tree.at.start, min(tree.at.end, tree.at.start + 20))
        reading.mistake(first, "A theme is a map of keys.", "write, for example, colours:")
    settings = {**base, **reading.own}
    if known:
        findings += _disordered(settings, reading)
        findings += too_much_alike(settings, reading.places)
    return settings, findings


def _number(node: Scalar, path: str, usual: float) -> float | None:
    if not isinstance(node.value, int | float) or isinstance(node.value, bool):
        return None
    least, most = _bounds(path, usual)
    return float(node.value) if least <= node.value <= most else None


def _bounds(path: str, usual: float) -> tuple[float, float]:
    times = MOST_TYPE if path.startswith("type/") else MOST_TIMES
    return (usual / times, usual * times) if usual else (0.0, MOST_NEW)


def _disordered(settings: Settings, reading: _Reading) -> Iterator[Finding]:
    """Least values that are larger than the most."""
    groups: dict[str, Span] = {}
    for key, place in reading.places.items():
        above, _, last = key.rpartition("/")
        if last in ORDERED:
            groups.setdefault(above, place)
    for above, place in groups.items():
        values = [settings.get(f"{above}/{name}") for name in ORDERED]
        numbers = [value for value in values if isinstance(value, float)]
        if numbers != sorted(numbers):
            shown = " ".join(f"{number:g}" for number in numbers)
            yield Finding(
                THEME_MISTAKE,
                f"The values of {quoted(above.replace('/', ', '))} do not rise: {shown}.",
                Mark(place, "here"),
                remedy=f"write them so that {', '.join(ORDERED)} rise, or leave this one out",
            )
