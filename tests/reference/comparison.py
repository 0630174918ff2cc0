"""Sets what the product found beside what the reference found.

Rules that strike at the end of a part, or point back at where an item was put on or taken off,
have several places for one fault when several ways lead to it. The product carries equal states on
as one, with the way that was found first, and so names one of these places; the reference names
all, with a subject. For these the subjects must agree, and the place must be one of them.
"""

from __future__ import annotations

from collections.abc import Iterable

from compiler.findings import Finding
from tests.reference.scene import Strike

def disagreements(findings: Iterable[Finding], strikes: dict[Strike, int]) -> list[str]:
    """What only one of them found, or found in another round; nothing when they agree."""
    told: dict[tuple[str, tuple[str, int, int]], int] = {}
    for finding in findings:
        key = finding.rule.slug, finding.at.span.order
        told[key] = min(finding.round, told.get(key, finding.round))
    expected: dict[tuple[str, object], int] = {}
    places: dict[tuple[str, object], set] = {}
    for (slug, place, subject), number in strikes.items():
        key = slug, subject or place
        expected[key] = min(number, expected.get(key, number))
        places.setdefault(key, set()).add(place)
    wrong = []
    for key, number in expected.items():
        rounds = [told[key[0], place] for place in places[key] if (key[0], place) in told]
        if not rounds:
            wrong.append(f"only the reference: {key[0]} at {sorted(places[key])}")
        elif min(rounds) != number:
            wrong.append(f"{key[0]} at {sorted(places[key])}: round {min(rounds)}, not {number}")
    known = {(slug, place) for slug, place, _ in strikes}
    wrong += [f"only the product: {slug} at {p}" for slug, p in told if (slug, p) not in known]
    return sorted(wrong)
