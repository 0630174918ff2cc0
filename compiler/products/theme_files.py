"""The files of a theme that a clinic made: known names, known values, plain drawings."""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator, Mapping
from pathlib import Path
from xml.etree import ElementTree

from compiler.findings import Finding, Mark
from compiler.products.shelf import RefusedError, file_below
from compiler.rules.themes import THEME_MISTAKE
from compiler.source import Source, Span
from compiler.syntax.spelling import advice, nearest, quoted

VARIABLE = re.compile(r"var\(\s*--([a-z-]+)\s*\)")
HIDDEN = re.compile(r"display\s*:\s*none|visibility\s*:\s*(?:hidden|collapse)", re.IGNORECASE)
"""How a style sheet takes something off a sheet."""
COMPILERS = ("page.html", "page.js", "editions.html", "report.html", "report.js")
"""Of web pages, which may run programs: these always come with the compiler."""
SVG = "{http://www.w3.org/2000/svg}"
SHAPES = frozenset(
    {"svg", "g", "path", "rect", "circle", "ellipse", "polygon", "polyline", "line"}
)
LOOKS = frozenset(
    (
        *("viewBox", "transform", "d", "points", "fill", "fill-rule", "stroke", "stroke-width"),
        *("stroke-linecap", "stroke-linejoin", "x", "y", "width", "height", "rx", "ry", "r"),
        *("cx", "cy", "x1", "y1", "x2", "y2"),
    )
)
"""What a drawing may be made of: nothing that refers to another file, and nothing that runs."""
MOST_FILES = 500


def file_findings(
    folder: Path, settings: Source, colours: Mapping[str, str], default: Path
) -> Iterator[Finding]:
    """What is wrong with the files beside a `theme.yaml`.

    Args:
        folder: The theme's own.
        settings: Its `theme.yaml`, where faults of names are told.
        colours: Those of the theme, that every style sheet may use.
        default: The folder of the default theme, which knows all names.
    """
    top = settings.span(0, min(1, len(settings.text)))
    known = [path.name for path in default.iterdir() if path.suffix in {".css", ".html", ".js"}]
    more = ["more.css", *(f"more-{name}" for name in known if name.endswith(".css"))]
    drawings = [f"{path.stem}.svg" for path in (default / "pictograms").iterdir()]
    variables = Variables(default, colours)
    for path in _files(folder):
        name, inside = path.name, path.parent.name
        try:
            text = file_below(folder, path.relative_to(folder).as_posix()).decode(
                "utf-8", "replace"
            )
        except RefusedError as fault:
            yield _mistake(
                top, f"The file {quoted(name)} cannot be used: {fault}.", "put it right"
            )
            continue
        source = Source(path.as_posix(), text)
        if path.suffix == ".svg" and inside == "pictograms":
            if name not in drawings:
                yield _unknown(top, name, drawings, "pictogram")
            yield from _drawing_faults(source)
        elif path.suffix == ".css" and path.parent == folder:
            if name not in (*known, *more):
                yield _unknown(top, name, (*known, *more), "file")
            yield from variables.faults(source, name)
        elif path.suffix in {".html", ".js"}:
            if name in COMPILERS:
                message = f"The file {quoted(name)} always comes with the compiler."
                yield _mistake(top, message, "leave it out of the theme")
            elif name not in known:
                usable = [
                    each for each in known if each.endswith(".html") and each not in COMPILERS
                ]
                yield _unknown(top, name, usable, "template")
            else:
                yield from _template_faults(source, default / name)


def _files(folder: Path) -> list[Path]:
    kinds = {".css", ".html", ".js", ".svg"}
    places = (*folder.iterdir(), *(folder / "pictograms").glob("*"))
    return [path for path in sorted(places) if path.suffix in kinds][:MOST_FILES]


def _mistake(at: Span, message: str, remedy: str) -> Finding:
    return Finding(THEME_MISTAKE, message, Mark(at, "here"), remedy=remedy)


def _unknown(at: Span, name: str, known: Iterable[str], noun: str) -> Finding:
    close = nearest(name, known)
    message = f"The theme has a file {quoted(name)}, which is no {noun} that sheets use."
    return _mistake(at, message, advice(name, close or known, noun))


class Variables:
    """The values that style sheets may ask for with `var(--name)`."""

    def __init__(self, default: Path, colours: Mapping[str, str]) -> None:
        self.colours = {name.replace(" ", "-") for name in colours}
        self.usual = {p.name: p.read_text(encoding="utf-8") for p in default.glob("*.css")}
        self.asked = {name: set(VARIABLE.findall(css)) for name, css in self.usual.items()}

    def known(self, name: str) -> set[str]:
        """Those of one style sheet: the colours, and what the default's own asks for.

        What is added to every sheet may ask for what all of them know.
        """
        sheet = name.removeprefix("more-")
        return self.colours | self.asked.get(sheet, set())

    def faults(self, source: Source, name: str) -> Iterator[Finding]:
        """Values that there are not, and what would end the style of a web page."""
        known = self.known(name)
        for found in VARIABLE.finditer(source.text):
            if found[1] not in known:
                at = source.span(found.start(1), found.end(1))
                message = f"{quoted(found[1])} is not a value that {quoted(name)} can ask for."
                yield _mistake(at, message, advice(found[1], sorted(known), "value"))
        usual = len(HIDDEN.findall(self.usual.get(name, "")))
        for found in list(HIDDEN.finditer(source.text))[usual:]:
            at = source.span(found.start(), found.end())
            remedy = "leave it out: cautions, DRAFT and codes stay on every sheet"
            yield _mistake(at, "A style sheet hides something.", remedy)
        if (start := source.text.find("</")) >= 0:
            at = source.span(start, start + 2)
            yield _mistake(at, "A style sheet cannot hold HTML.", "leave it out")


def _drawing_faults(source: Source) -> Iterator[Finding]:
    """What a drawing holds that is no plain shape."""
    at = source.span(0, min(4, len(source.text)))
    remedy = "draw it with plain shapes: " + ", ".join(sorted(SHAPES - {"svg"}))
    if "<!" in source.text or "<?" in source.text:
        yield _mistake(at, "A pictogram holds more than shapes.", remedy)
        return
    try:
        root = ElementTree.fromstring(source.text)
    except ElementTree.ParseError as fault:
        line, column = fault.position
        start = source.offset(min(line, len(source.line_starts)), column + 1)
        yield _mistake(source.span(start, start + 1), "A pictogram is not sound SVG.", remedy)
        return
    names = (each.tag.removeprefix(SVG) for each in root.iter())
    wrong = [name for name in names if name not in SHAPES]
    wrong += [look for each in root.iter() for look in each.attrib if look not in LOOKS]
    if root.tag != f"{SVG}svg" or "viewBox" not in root.attrib:
        wrong.append("a drawing without viewBox")
    if wrong:
        yield _mistake(at, f"A pictogram uses {quoted(wrong[0])}.", remedy)


def _template_faults(source: Source, default: Path) -> Iterator[Finding]:
    """Where a template cannot be understood, and names that it will not be given."""
    # imported here because only a theme with templates of its own needs it
    from compiler.products.templates import faults

    for line, word, message, known in faults(source.text, default.read_text(encoding="utf-8")):
        start = source.offset(min(line, len(source.line_starts)))
        start = max(source.text.find(word, start), start)
        at = source.span(start, min(start + max(len(word), 1), len(source.text)))
        remedy = advice(word, sorted(known), "name") if word else "put the template right"
        yield _mistake(at, message.rstrip(".") + ".", remedy)
