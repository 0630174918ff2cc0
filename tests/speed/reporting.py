"""The reviewer's report of the largest example, as its reviewer waits for it."""

from __future__ import annotations

import datetime
import tempfile
from collections.abc import Iterator
from pathlib import Path

from tests.speed.measuring import TOP, Row, process, python, seconds

NAME = "airborne-room"


def reporting() -> Iterator[Row]:
    """The page once warm, the whole process, and the PDF; all languages of the example."""
    from compiler.pipeline import open_set
    from compiler.reviewing.page import report_html
    from compiler.reviewing.report import report_of

    folder = TOP / "protocols"
    on = datetime.date(2026, 11, 25)

    def page() -> str:
        return report_html(report_of(open_set(folder, [folder / f"{NAME}.md"]), on))

    yield Row("report as a page, all languages, warm", seconds(page), "s", 1)
    with tempfile.TemporaryDirectory() as into:
        words = python("-m", "compiler", "report", f"protocols/{NAME}.md", "--into", into)
        alone = process([*words, "--form", "html"], runs=3)
        yield Row("  the same, process start included", alone.seconds, "s")
        size = Path(into, f"{NAME}-report.html").stat().st_size
        yield Row("  its size", size / 1000, "KB", 600)
        paper = process([*words, "--form", "pdf"], runs=1)
        yield Row("  as a PDF, process start included", paper.seconds, "s")
        yield Row(
            "  its size", Path(into, f"{NAME}-report.pdf").stat().st_size / 1000, "KB", 600
        )
