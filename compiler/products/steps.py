"""The step list of a protocol: PDF for paper, plain text and Markdown for everything else."""

from __future__ import annotations

from compiler.layout.fonts import faces_for
from compiler.layout.legibility import reading_distance
from compiler.products.outcome import Outcome
from compiler.products.pages import printed
from compiler.products.sheet import Order
from compiler.products.sheet_rules import font_findings
from compiler.products.steps_listing import nothing_listed, step_list
from compiler.products.steps_markdown import markdown
from compiler.products.steps_sheet import StepsSheet
from compiler.products.steps_text import plain_text
from compiler.products.theme import theme_named


def steps(orders: tuple[Order, ...]) -> Outcome:
    """The three files of one step list."""
    order = orders[0]
    theme = theme_named(order.theme)
    listed = step_list(order)
    if not listed.parts:
        return Outcome(findings=(nothing_listed(order, "step list"),))
    faces = faces_for(order.words.tag)
    if faces.obstacles:
        return Outcome(findings=tuple(font_findings(faces, "", order.protocol.at)))
    sheet = StepsSheet(order, listed, theme, faces)
    laid, pdf, blocked = printed(sheet.document())
    if blocked or laid is None:
        return Outcome(findings=blocked, layouts=1)
    files = {
        "pdf": pdf,
        "txt": plain_text(listed, order.words).encode(),
        "md": markdown(listed, order.words).encode(),
    }
    pages = f"{laid.pages} page" + ("s" if laid.pages > 1 else "")
    far = reading_distance(sheet.base * sheet.letter)
    told = f"{sheet.paper.name}, {pages}, details to {far:.2f} m"
    return Outcome(files, told, layouts=1)
