"""Every literate case of `cases/`, and that every rule of the readers has one."""

import pytest
import yaml as pyyaml

from compiler.findings import in_reading_order
from compiler.model import form, names, questions, read_head, read_kit, read_parts, read_steps
from compiler.syntax import limits, markdown, phrase, yaml
from tests.reading.cases import SOUND, accept, cases, read_set

MODULES = (
    limits, yaml, phrase, markdown, form, names, questions, read_head, read_kit, read_parts,
    read_steps,
)  # fmt: skip
RULES = [rule for module in MODULES for rule in module.RULES]
CASES = cases()


@pytest.mark.parametrize("case", CASES, ids=lambda case: f"{case.file.stem}: {case.title}")
def test_case_finds_exactly_what_it_says(case, request):
    if request.config.getoption("--accept", default=False):
        accept(case.file)
        return
    assert case.shown() == case.blocks["finds"], "run pytest --accept, and read the difference"


def test_sound_set_is_sound():
    read = read_set(SOUND)

    assert read.findings == []
    assert read.protocol is not None


@pytest.mark.parametrize("rule", RULES, ids=lambda rule: rule.slug)
def test_every_rule_has_a_case(rule):
    assert any(f"\n{rule.slug} " in "\n" + case.blocks["finds"] for case in CASES)


@pytest.mark.parametrize("case", CASES, ids=lambda case: f"{case.file.stem}: {case.title}")
def test_messages_state_and_only_remedies_advise(case):
    for finding in case.findings():
        words = finding.message.casefold().split()
        assert finding.message.endswith(".")
        assert "\n" not in finding.message + finding.remedy
        assert not {"should", "please", "try", "must"} & set(words)
        assert finding.remedy
        assert not finding.remedy.endswith(".")


@pytest.mark.parametrize("case", CASES, ids=lambda case: f"{case.file.stem}: {case.title}")
def test_one_fault_is_said_once_at_one_place(case):
    found = case.findings()
    places = [(finding.rule.slug, finding.at.span.order) for finding in found]

    assert len(set(places)) == len(places)
    assert found == in_reading_order(found)


def test_slugs_are_unique_words():
    slugs = [rule.slug for rule in RULES]

    assert len(set(slugs)) == len(slugs)
    assert all(rule.summary.endswith(".") for rule in RULES)


@pytest.mark.parametrize("case", CASES, ids=lambda case: f"{case.file.stem}: {case.title}")
def test_yaml_reads_alike_without_its_c_library(case, monkeypatch):
    """PyYAML may be installed without libyaml; its own scanner words its errors otherwise."""
    monkeypatch.setattr(yaml, "_Loader", pyyaml.SafeLoader)

    assert case.shown() == case.blocks["finds"]


@pytest.mark.parametrize("rule", RULES, ids=lambda rule: rule.slug)
def test_what_was_misread_cannot_be_waived(rule):
    """A waiver would print a text that was guessed at, or leave out a part of it."""
    assert not rule.waivable
