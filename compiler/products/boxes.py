"""Where things came to lie on a sheet, in plain values: text boxes and block boxes by page."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from compiler.products.bare_fontconfig import Engine

MILLIMETRES = 25.4 / 96
"""Of one CSS pixel, by definition (W3C, CSS Values and Units Level 3, section 6.2)."""
POINTS = 72 / 96
"""Of one CSS pixel."""


@dataclass(frozen=True, slots=True)
class TextBox:
    """A stretch of text in one line and one style."""

    page: int
    """Counted from 1."""
    text: str
    left: float
    """Millimetres from the left edge of the page; the others too, from its top left corner."""
    top: float
    width: float
    height: float
    size: float
    """Type size in points."""
    weight: int
    families: tuple[str, ...]
    """CSS `font-family` as asked for; which face draws a character, `Faces.drawn_by` tells."""
    classes: tuple[str, ...]
    """Classes of the element it stands in."""


@dataclass(frozen=True, slots=True)
class BlockBox:
    """The outer edge of the border of an element's box: block, table part or picture."""

    page: int
    """Counted from 1."""
    element: str
    """Its HTML name."""
    name: str
    """Its `id`; empty for none."""
    classes: tuple[str, ...]
    left: float
    """Millimetres from the left edge of the page; the others too, from its top left corner."""
    top: float
    width: float
    height: float

    @property
    def bottom(self) -> float:
        """Its lower edge, in millimetres from the top of the page."""
        return self.top + self.height


def boxes_of(pages: Sequence[Engine]) -> tuple[tuple[TextBox, ...], tuple[BlockBox, ...]]:
    """All boxes of the engine's pages, in document order. Rotation by CSS is not followed."""
    texts: list[TextBox] = []
    blocks: list[BlockBox] = []
    for number, page in enumerate(pages, start=1):
        seen: set[int] = set()
        for box in _below(page._page_box):
            if hasattr(box, "pango_layout"):
                if box.text.strip():
                    texts.append(_text_box(number, box))
            elif box.element is not None and _is_block(box) and id(box.element) not in seen:
                # a table has two boxes, and the outer one comes first
                seen.add(id(box.element))
                blocks.append(_block_box(number, box))
    return tuple(texts), tuple(blocks)


def _below(box: Engine) -> Iterator[Engine]:
    for child in getattr(box, "children", ()):
        real = getattr(child, "_box", child)  # a box laid out apart stands behind a placeholder
        yield real
        yield from _below(real)


def _is_block(box: Engine) -> bool:
    own = "::" not in box.element_tag  # not content that a style sheet adds
    picture = hasattr(box, "replacement")
    return own and (picture or box.style["display"] != ("inline", "flow"))


def _text_box(page: int, box: Engine) -> TextBox:
    return TextBox(
        page=page,
        text=box.text,
        left=box.position_x * MILLIMETRES,
        # letters taller than their line stick out of it, half of that above
        top=(box.position_y + box.margin_top) * MILLIMETRES,
        width=box.width * MILLIMETRES,
        height=box.height * MILLIMETRES,
        size=box.style["font_size"] * POINTS,
        weight=box.style["font_weight"],
        families=tuple(box.style["font_family"]),
        classes=_classes(box.element),
    )


def _block_box(page: int, box: Engine) -> BlockBox:
    return BlockBox(
        page=page,
        element=box.element_tag.rpartition("}")[2],
        name=box.element.get("id", ""),
        classes=_classes(box.element),
        left=box.border_box_x() * MILLIMETRES,
        top=box.border_box_y() * MILLIMETRES,
        width=box.border_width() * MILLIMETRES,
        height=box.border_height() * MILLIMETRES,
    )


def _classes(element: Engine) -> tuple[str, ...]:
    return tuple(element.get("class", "").split()) if element is not None else ()
