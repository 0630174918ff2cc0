"""A pure reformat changes nothing: other line ends, markers, numbers, quotation marks, order.

That these say the same is CommonMark 0.31 (sections 2.2, 5.2, 5.3 and 6.2) and YAML 1.2.2
(sections 3.2.1.1, 7.3 and 7.4).
"""

from __future__ import annotations

import re

import pytest
import yaml

from tests.changes.changing import compared, unproved
from tests.mutations.spoiling import protocols

SETS = protocols()


def _bodies(text: str) -> tuple[str, str]:
    _, head, body = text.split("---\n", 2)
    return head, body


def _wrapped(text: str) -> str:
    """The words of a step broken before its last phrases, in the column of its words."""
    head, body = _bodies(text)
    lines = []
    for line in body.split("\n"):
        marker = re.match(r" *(?:\d+\.|-|>) ", line)
        at = line.find(" ", len(line) // 2)
        code = line[:at].count("`") % 2 or line[:at].count("**") % 2
        if marker and at > marker.end() and not code:
            space = " " * marker.end() if not line.lstrip().startswith(">") else ""
            space = space or f"{line[: line.index('>')]}> "
            lines += [line[:at], space + line[at + 1 :]]
        else:
            lines.append(line)
    return f"---\n{head}---\n" + "\n".join(lines)


def _numbered_alike(text: str) -> str:
    head, body = _bodies(text)
    return f"---\n{head}---\n" + re.sub(r"^( *)\d\. ", r"\g<1>1. ", body, flags=re.MULTILINE)


def _loose(text: str) -> str:
    """A blank line between the steps; the numbers of two digits keep their column."""
    head, body = _bodies(text)
    return f"---\n{head}---\n" + re.sub(r"\n(?=\d+\. )", "\n\n", body)


def _other_marks(text: str) -> str:
    head, body = _bodies(text)
    body = re.sub(r"^( *\d+)\. ", r"\1) ", body, flags=re.MULTILINE)
    body = re.sub(r"^( *)- ", r"\1* ", body, flags=re.MULTILINE)
    return f"---\n{head}---\n" + re.sub(r"\*\*(.+?)\*\*", r"__\1__", body)


def _head_turned(text: str) -> str:
    head, body = _bodies(text)
    return "---\n" + "\n".join(reversed(head.strip().split("\n"))) + f"\n---\n{body}"


def _head_quoted(text: str) -> str:
    head, body = _bodies(text)
    return (
        "---\n"
        + re.sub(r"^(title|owner): (.+)$", r'\1: "\2"', head, flags=re.MULTILINE)
        + f"---\n{body}"
    )


def _shouted(text: str) -> str:
    """Capital letters and spacing do not matter in a phrase (protocols/README.md)."""
    return re.sub(r"`([^`\n]+)`", lambda met: f"` {met[1].upper().replace(' ', '  ')} `", text)


def _windows(text: str) -> str:
    return text + "\n\n\n"


FORMS = {
    "steps over two lines": _wrapped,
    "every number one": _numbered_alike,
    "blank lines between steps": _loose,
    "other list marks and emphasis": _other_marks,
    "the head in another order": _head_turned,
    "the head in quotation marks": _head_quoted,
    "phrases in capital letters": _shouted,
    "blank lines at the end": _windows,
}


@pytest.mark.parametrize("form", FORMS)
@pytest.mark.parametrize("name", SETS)
def test_another_layout_of_a_protocol_changes_nothing(name, form):
    files = SETS[name]
    file = next(n for n in files if n.endswith(".md"))
    text = FORMS[form](files[file])
    assert text != files[file]

    assert unproved(files, {**files, file: text}) == []


def _in_blocks(text: str) -> str:
    """The same values written by PyYAML in block style, keys sorted, everything quoted."""
    tree = yaml.load(text, yaml.BaseLoader)
    return yaml.safe_dump(tree, default_flow_style=False, sort_keys=True, allow_unicode=True)


@pytest.mark.parametrize("name", [*SETS][:6])
def test_another_layout_of_clinic_and_kit_changes_nothing(name):
    files = SETS[name]
    clinic = (
        _in_blocks(files["clinic.yaml"]).replace("'true'", "true").replace("'false'", "false")
    )
    after = {**files, "clinic.yaml": clinic, "kit.yaml": _in_blocks(files["kit.yaml"])}

    assert after["kit.yaml"] != files["kit.yaml"]
    assert compared(files, after).changes == ()
