"""A small sound protocol into which a test writes the one text that it is about."""

from __future__ import annotations

import datetime
from pathlib import Path

from compiler.findings import Finding
from compiler.pipeline import check_texts

STARTER = Path(__file__).parent.parent.parent / "compiler" / "starter"
FILES = {name: (STARTER / name).read_text("utf-8") for name in ("clinic.yaml", "kit.yaml")}
PROTOCOL = (STARTER / "contact-droplet.md").read_text("utf-8")


def told(
    *changes: tuple[str, str], on: datetime.date | None = None, **files: tuple[str, str]
) -> list[Finding]:
    """Findings of the starter set after texts were replaced; each must be there to replace."""
    texts = {**FILES, "contact-droplet.md": PROTOCOL}
    for name, pairs in (
        ("contact-droplet.md", changes),
        ("clinic.yaml", [files["clinic"]] if "clinic" in files else []),
        ("kit.yaml", [files["kit"]] if "kit" in files else []),
    ):
        for old, new in pairs:
            assert old in texts[name], old
            texts[name] = texts[name].replace(old, new)
    return check_texts(texts, on)


def slugs(*changes: tuple[str, str], **more) -> list[str]:
    """The rules alone, in reading order; that sheets lack words in a language is not ours."""
    found = [finding.rule.slug for finding in told(*changes, **more)]
    return [slug for slug in found if slug != "language-without-words"]


def lead(words: str) -> tuple[str, str]:
    """The lead of the first step, which is advice without a phrase."""
    return "**Get ready.**", f"**{words}**"


def detail(words: str) -> tuple[str, str]:
    """The detail of the step that puts on the mask."""
    return "Press the strip to your nose. Pull the mask under your chin.", words
