"""`python -m tests.reference 10000`: sets product and reference side by side on that many sets.

A number after it begins another sample. Tells how often each rule was met and each kind of
disagreement with the smallest set that shows it; exits 1 if there is any.
"""

from __future__ import annotations

import sys
import time

from tests.reference.comparison import compared
from tests.strategies import sample


def main(words: list[str]) -> int:
    """Runs the comparison; the exit status."""
    count = int(words[0]) if words else 1_000
    start = int(words[1]) if len(words) > 1 else 0
    begun = time.monotonic()
    outcome = compared(sample(count, start))
    lines = [f"{times:7} {slug}" for slug, times in outcome.told.most_common()]
    lines.append(
        f"{outcome.sets} sets, {outcome.too_large} too large to list,"
        f" {time.monotonic() - begun:.0f} s"
    )
    if outcome.kinds:
        lines.append(outcome.report())
    sys.stdout.write("\n".join(lines) + "\n")
    return int(bool(outcome.kinds))


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
