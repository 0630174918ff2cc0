"""`python -m tests.posters 500 [START]`: lays out that many random posters and tells what is wrong."""

from __future__ import annotations

import sys
import time
from collections import Counter
from collections.abc import Iterator
from concurrent.futures import ProcessPoolExecutor

from compiler.products.poster import poster
from tests.printing.placed import faults
from tests.printing.random_posters import random_order


def tried(number: int) -> tuple[int, str, list[str], int, float]:
    """Number, what was asked for, what is wrong, layouts, and seconds."""
    order = random_order(number)
    begun = time.perf_counter()
    try:
        made = poster(order)
    except Exception as error:  # told like any other fault, and the sweep goes on
        return number, _asked(order), [repr(error)], 0, 0.0
    spent = time.perf_counter() - begun
    layouts = made.poster.report.layouts if made.poster else 0
    return number, _asked(order), faults(order, made), layouts, spent


def _asked(order) -> str:
    way = order.orientation or "either way up"
    return f"{order.words.tag}, {order.paper} {way}, {order.parts}"


def sweep(count: int, start: int) -> Iterator[tuple[int, str, list[str], int, float]]:
    with ProcessPoolExecutor(2) as pool:
        yield from pool.map(tried, range(start, start + count), chunksize=4)


def main(words: list[str]) -> int:
    """The exit status: 1 if anything was wrong."""
    count, start = (int(word) for word in (*words, "100", "0")[:2]) if words else (100, 0)
    layouts: Counter[int] = Counter()
    wrong, slowest = 0, 0.0
    for number, asked, told, tries, spent in sweep(count, start if len(words) > 1 else 0):
        layouts[tries] += 1
        slowest = max(slowest, spent)
        if told:
            wrong += 1
            print(f"poster {number} ({asked})", *told[:4], sep="\n    ", flush=True)
    made = dict(sorted(layouts.items()))
    print(f"{count} posters, {wrong} with faults; layouts needed (0: too full): {made}")
    print(f"slowest {slowest:.1f} s")
    return 1 if wrong else 0


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
