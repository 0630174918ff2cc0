"""One worker's whole life, for `tests.speed`: makes posters of one language and tells figures.

`python -m tests.speed.sheet_process LANGUAGE MODE` with MODE `ours`, or `bare` for WeasyPrint
alone on our final HTML with the installed fonts. Prints JSON.
"""

from __future__ import annotations

import json
import re
import resource
import statistics
import sys
import tempfile
import time
from pathlib import Path

from compiler.pipeline import open_set
from compiler.storage import find_sets
from compiler.wish import Wish
from tests.speed.measuring import TOP

INSTALLED = (
    '"Noto Sans", "Noto Sans Arabic", "Noto Sans Devanagari", "Noto Sans CJK SC", '
    '"Noto Sans Symbols2", "Noto Sans Math"'
)
RUNS = 5


def tasks(language: str, into: Path) -> list:
    """The example's posters in one language."""
    from compiler.printing import tasks_of

    found = []
    for folder, files in find_sets([TOP / "protocols"]):
        found += tasks_of(
            open_set(folder, files), Wish(into, (language,), products=("poster",))
        )
    return found


def ours(language: str) -> dict[str, object]:
    """Our posters: seconds each once warm, layouts, bytes, and the HTML for the other mode."""
    from compiler.products.poster import poster
    from compiler.workshop import make, orders_of

    with tempfile.TemporaryDirectory() as into:
        wanted = tasks(language, Path(into))
        make(wanted[0])
        taken: dict[str, list[float]] = {}
        sizes, layouts = [], []
        for task in wanted:
            for _ in range(RUNS):
                begun = time.perf_counter()
                sheet, data = make(task)
                taken.setdefault(task.path.name, []).append(time.perf_counter() - begun)
            sizes.append(len(data["pdf"]))
            layouts.append(sheet.layouts)
        made = [poster(orders_of(task)[0]).poster for task in wanted]
    return {
        "seconds": [statistics.median(times) for times in taken.values()],
        "sizes": sizes,
        "layouts": layouts,
        "megabytes": peak(),
        "pages": [(sheet.html, sheet.css) for sheet in made if sheet],
    }


def bare(pages: list[tuple[str, str]]) -> dict[str, object]:
    """WeasyPrint alone: parse, lay out once, write, with the fonts installed."""
    import weasyprint

    base = (TOP / "themes" / "default").as_uri() + "/"
    taken = []
    for html, css in pages:
        style = re.sub(r"font-family:[^;}]*", f"font-family: {INSTALLED}", css)
        times = []
        for _ in range(RUNS + 1):
            begun = time.perf_counter()
            sheet = weasyprint.CSS(string=style, base_url=base)
            weasyprint.HTML(string=html, base_url=base).write_pdf(
                stylesheets=[sheet], pdf_variant="pdf/ua-1"
            )
            times.append(time.perf_counter() - begun)
        taken.append(statistics.median(times[1:]))
    return {"seconds": taken, "megabytes": peak()}


def peak() -> float:
    """Peak memory of this process in megabytes."""
    return resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 1024


if __name__ == "__main__":
    mine = sys.argv[2] == "ours"
    said = ours(sys.argv[1]) if mine else bare(json.loads(sys.stdin.read()))
    print(json.dumps(said))
