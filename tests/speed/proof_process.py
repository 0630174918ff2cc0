"""One process that proves one protocol, for `tests.speed`: seconds, its own memory, and the end.

`python -m tests.speed.proof_process FILE`. Prints JSON. The system's figure for a child's memory
holds its parent's, so the process tells its own.
"""

from __future__ import annotations

import json
import re
import resource
import sys
import time
from pathlib import Path

from compiler.pipeline import open_set, validated


def megabytes() -> float:
    """Peak memory of this process since it was started."""
    status = Path("/proc/self/status")
    if status.exists():
        found = re.search(r"VmHWM:\s+(\d+) kB", status.read_text(encoding="ascii"))
        if found:
            return int(found[1]) / 1024
    return resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 1024


if __name__ == "__main__":
    file = Path(sys.argv[1])
    begun = time.perf_counter()
    findings = validated(open_set(file.parent, [file]))
    taken = time.perf_counter() - begun
    gave_up = any(finding.rule.slug == "too-many-ways" for finding in findings)
    print(json.dumps({"seconds": taken, "megabytes": megabytes(), "gave up": gave_up}))
