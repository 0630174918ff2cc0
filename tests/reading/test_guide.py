"""The author's guide says what the readers do: its examples are sound, its tables are complete."""

import re
import subprocess
import sys
from pathlib import Path

import pytest

from compiler.model import read_clinic, read_head, read_kit
from compiler.model.clinic import Policy, Purpose, Zone
from compiler.model.kit import AfterUse, Kind
from compiler.model.languages import SUPPORTED
from compiler.source import Source
from compiler.syntax.markdown import read
from compiler.syntax.phrase import read_phrase
from compiler.syntax.phrase_words import FORMS, GRIPS
from compiler.syntax.spelling import RESERVED
from compiler.syntax.tree import Bullets, Heading, Paragraph, Steps
from tests.reading.cases import SOUND, read_set

ROOT = Path(__file__).parents[2]
TEXT = (ROOT / "protocols" / "README.md").read_text(encoding="utf-8")
SET = {file.name: file.read_text("utf-8") for file in (ROOT / "protocols").glob("*.yaml")}
BLOCKS = re.findall(r"^```(\w+)\n(.*?)^```$", TEXT, re.MULTILINE | re.DOTALL)
MARKDOWN = [text for kind, text in BLOCKS if kind == "markdown"]
YAML = [text for kind, text in BLOCKS if kind == "yaml"]
HEAD = next(text for text in YAML if text.startswith("title:"))


def section(title):
    """The words below a heading of the guide."""
    return re.search(rf"^## {title}\n(.*?)(?=^## |\Z)", TEXT, re.MULTILINE | re.DOTALL)[1]


def codes(text):
    return re.findall(r"`([^`\n]+)`", text)


def with_the_example_set(protocol):
    return read_set({**SET, "protocol.md": protocol})


@pytest.mark.parametrize("body", MARKDOWN, ids=lambda body: body.split("\n")[0])
def test_markdown_examples_are_sound(body):
    part = "" if body.startswith("#") else "# Taking off `doffing in transition bay`\n\n"

    assert with_the_example_set(f"---\n{HEAD}---\n{part}{body}").findings == []


def test_yaml_examples_are_sound():
    kit = next(text for text in YAML if text.startswith("coverall:"))
    allow = next(text for text in YAML if text.startswith("allow:"))

    assert with_the_example_set(f"---\n{HEAD}{allow}---\n{MARKDOWN[0]}").findings == []
    assert (
        read_set(
            {**SET, "kit.yaml": kit, "protocol.md": f"---\n{HEAD}---\n{MARKDOWN[0]}"}
        ).findings
        == []
    )


def test_phrase_table_has_an_example_of_every_phrase_and_each_is_sound():
    phrases = [
        code
        for line in section("The phrases").split("\n")
        if line.startswith("| `")
        for code in codes(line)
    ]
    phrases = [phrase for phrase in phrases if " " in phrase or phrase in FORMS]
    blocks, _ = read(Source("guide.md", " ".join(f"`{phrase}`" for phrase in phrases)))
    trees = [read_phrase(code) for code in blocks[0].prose.codes]

    assert all(tree for tree, _ in trees)
    assert {tree.verb for tree, _ in trees} == set(FORMS)
    assert set(GRIPS) <= set(re.findall(r"\w+", section("The phrases")))


@pytest.mark.parametrize(
    ("title", "keys"),
    [
        ("A protocol", read_head.KEYS),
        ("The clinic", read_clinic.KEYS),
        ("The kit", read_kit.KEYS),
    ],
)
def test_tables_name_every_key(title, keys):
    assert set(keys) <= set(codes(section(title)))


def test_every_fixed_value_is_named():
    named = set(codes(TEXT))
    enums = [each.value for kind in (Zone, Policy, Purpose, Kind, AfterUse) for each in kind]

    assert set(enums) - named == set()
    assert {*read_clinic.PAPERS, *SUPPORTED, *read_head.PRECAUTIONS} <= named
    assert ", ".join(RESERVED) in re.sub(r"[*\n]", " ", TEXT).replace("  ", " ")


@pytest.mark.parametrize(
    "name", sorted(file.name for file in (ROOT / "protocols").glob("*.md"))
)
def test_the_worked_example_is_sound(name):
    if name != "README.md":
        text = (ROOT / "protocols" / name).read_text("utf-8")
        assert with_the_example_set(text).findings == []


def test_leads_details_and_cautions_are_kept_apart():
    body = SOUND["protocol.md"].split("---\n", 2)[2]
    blocks, findings = read(Source("p.md", body))
    steps = blocks[2]

    assert findings == []
    assert [type(block) for block in blocks[:3]] == [Heading, Paragraph, Steps]
    assert steps.items[1].paragraphs[0].lead == "Put on the gown."
    assert steps.items[1].paragraphs[0].rest == "Tie it at the back."
    assert steps.items[1].quotes[0].paragraphs[0].rest == "Do not go in with an open gown."
    assert isinstance(blocks[-1].items[2].lists[0], Bullets)


def test_reading_loads_nothing_that_only_sheets_need():
    """Start-up stays short: no languages, no templates, no PDF engine, no command line."""
    code = "import sys, compiler.model.read_protocol, compiler.model.read_clinic; print(*sys.modules)"
    loaded = subprocess.run(
        [sys.executable, "-c", code], cwd=ROOT, capture_output=True, text=True, check=True
    ).stdout.split()

    assert "compiler.syntax.markdown" in loaded
    for name in (
        "markdown_it",
        "babel",
        "jinja2",
        "weasyprint",
        "click",
        "uharfbuzz",
        "pikepdf",
        "segno",
        "asyncio",
    ):
        assert name not in loaded
