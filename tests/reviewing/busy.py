"""A set before and after: everything that a report can tell is in it, hostile words too."""

from __future__ import annotations

from pathlib import Path
from shutil import copytree

from tests.command.sheets import change, example_set
from tests.editions.making import LATER, signed

NAME = "airborne-room"
HOSTILE = "<img src=x onerror=alert(1)> & 'so' </table>"


def before_and_after(base: Path) -> Path:
    """A signed set as `old`; as `new` the same, edited for the worse and refused by somebody."""
    old = example_set(base / "old", (NAME, "rapid-entry"), ("en", "es", "ar"))
    signed(old, languages=("en", "es"), remark="Seen at night")
    new = copytree(old, base / "new")
    change(new / f"{NAME}.md", "Tie back your hair and", "Tie your hair back firmly and")
    change(new / f"{NAME}.md", "   > Do not wear one that already has five dates.\n", "")
    change(new / "kit.yaml", "rest: 5 days", "rest: 3 days")
    hygiene = "Clean your hands.** Rub until dry, 20 to 30 seconds. `handrub`"
    change(new / f"{NAME}.md", hygiene, "Wait.**")
    change(new / f"{NAME}.md", f"     3. **{hygiene}\n", "")
    head = 'allow: {first-hand-hygiene-missing: "Read aloud by the observer, 2026-11-02"}\n'
    change(new / f"{NAME}.md", "owner:", f"{head}owner:")
    signed(new, HOSTILE, "refused", day=LATER, languages=("en",), role="Ward nurse")
    return base
